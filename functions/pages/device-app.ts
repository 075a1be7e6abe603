/** The pages as an app: its manifest, its icon, and the page that opens without a link. */
import { html } from 'hono/html'
import { type Language, useConditions } from '../../shared-domain/words.ts'
import type { WebDocument } from '../web/web-page.ts'
import type { Form } from './acts/form.ts'
import { formMarkup } from './acts/form-markup.ts'
import { noteField, whenFields } from './acts/parts.ts'
import { defectsByDanger } from './acts/report.ts'
import { documentOf } from './layout.ts'
import { type PageWording, pageWordingFor } from './wording.ts'

/** A stick on its bench, turned by a quarter. */
const icon = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 512 512">
<rect width="512" height="512" fill="#0b4f79"/>
<path d="M256 96a160 160 0 0 1 160 160" fill="none" stroke="#f0d675" stroke-width="28" stroke-linecap="round"/>
<path d="m384 232 32 40 36-36" fill="none" stroke="#f0d675" stroke-width="28" stroke-linejoin="round"/>
<path d="M136 376 352 160" stroke="#fbfaf7" stroke-width="44" stroke-linecap="round"/>
<path d="m172 304 36 36m20-92 36 36m20-92 36 36" stroke="#0b4f79" stroke-width="12"/>
<path d="M112 352 160 400" stroke="#fbfaf7" stroke-width="28" stroke-linecap="round"/></svg>`

interface AppFile {
  readonly name: string
  readonly type: string
  readonly text: string
}

export function filesOfApp(build: string): readonly AppFile[] {
  const manifest = (lang: Language) => ({
    name: `app.${lang}.webmanifest`,
    type: 'application/manifest+json',
    text: JSON.stringify({
      ...{ id: '/', name: 'Quarterturn', short_name: 'Quarterturn', lang, start_url: '/', scope: '/' },
      ...{ display: 'standalone', background_color: '#fbfaf7', theme_color: '#0b4f79' },
      icons: [{ src: `/device/${build}/icon.svg`, type: 'image/svg+xml', sizes: 'any', purpose: 'any' }],
    }),
  })
  return [manifest('en'), manifest('es'), { name: 'icon.svg', type: 'image/svg+xml', text: icon }]
}

/** The same for everybody: it names nobody, and the script fills in what the device keeps. */
export async function pageWithoutLink(language: Language): Promise<WebDocument> {
  const wording = await pageWordingFor({ language })
  const form = formWithoutLink(wording)
  return documentOf({ title: wording.say('device without link'), main: formMarkup(form, unsent, wording) }, wording)
}

const unsent = { typed: null, faults: null, factId: '' }

/** A choice stands for the form that it would be in: the address of the act, the field, the value in it. */
function formWithoutLink({ say, word }: PageWording): Form {
  const kinds = defectsByDanger.map((kind) => [`report /kind ${kind}`, word('defect', kind)] as const)
  const uses = (['dry', ...useConditions] as const).map((one) => {
    const condition = say(`condition ${one}`)
    return [`use /conditions ${one === 'dry' ? '' : one}`, say('used with', { condition })] as const
  })
  return {
    title: say('device without link'),
    lead: say('device without link, do'),
    about: html`<div id="device-list"></div>
<h2>${say('device report')}</h2>`,
    fields: [
      { name: '/stick', kind: 'line', label: say('device which stick') },
      {
        name: '/what',
        kind: 'choice',
        label: say('what to say of it'),
        options: [
          ...kinds,
          ['missing /to missing', say('it is missing')],
          ['missing /to found', say('it was found')],
          ...uses,
          ['look', say('tile look')],
        ],
      },
      ...whenFields('', say),
      noteField(say),
    ],
    send: say('device keep it'),
    back: { path: '', text: say('device try again') },
  }
}
