/** What waits for a second person, and what became of it: the newest first. It is decided through the API. */
import { html } from 'hono/html'
import type { Correction } from '../../shared-domain/fact-bodies.ts'
import { effectIn, wayIn } from '../../shared-domain/wording.ts'
import type { Asker } from '../questions/asker.ts'
import { directoryFor } from '../questions/directory.ts'
import { type ListedProposal, proposalsFor } from '../questions/proposals.ts'
import type { Markup, WebDocument } from '../web/web-page.ts'
import { documentOf } from './layout.ts'
import type { PageWording } from './wording.ts'
import { moment, sharedZone } from './words.ts'

const mostShown = 100

interface Beside {
  readonly nameOf: (id: string) => string
  readonly zone: string
}

export async function proposalsPage(asker: Asker, wording: PageWording): Promise<WebDocument> {
  const { say } = wording
  const [all, directory] = await Promise.all([proposalsFor(asker, undefined), directoryFor(asker)])
  const names = new Map(directory.people.map(({ id, name }) => [id, name]))
  const beside = { nameOf: (id: string) => names.get(id) ?? id, zone: sharedZone(directory) }
  // what waits is what somebody has to do
  const shown = [...all]
    .sort((a, b) => Number(b.stateNow === 'open') - Number(a.stateNow === 'open'))
    .slice(0, mostShown)
    .map((one) => section(one, beside, wording))
  const title = say('changes that need two')
  const main = html`<h1>${title}</h1>
<p>${say('why two')}</p>
${shown.length === 0 ? html`<p class="empty">${say('no changes')}</p>` : shown}`
  return documentOf({ title, main, here: 'changes' }, wording)
}

function section(one: ListedProposal, { nameOf, zone }: Beside, wording: PageWording): Markup {
  const { id, stateNow, by, at, ways, kind, entryId } = one
  const { say } = wording
  const reason = one.corrects?.reason ?? (kind === 'correction' ? (one.body as Correction).reason : undefined) // it was checked when it was proposed
  const asked = say('asked for by', { who: nameOf(by), when: moment(at, zone, wording), id })
  const because = reason === undefined ? '' : ` ${say('asked because', { reason })}`
  const what = kind === 'policy' ? say('change of policy') : say(`change of ${kind}`, { id: entryId })
  return html`<section class="hold" aria-labelledby="${id}"><h2 id="${id}">${what}: ${say(`change ${stateNow}`)}</h2>
<p>${asked}${because}</p>
<ul class="reasons">${ways.map((way) => html`<li>${wayIn(wording, way)}</li>`)}</ul>
${one.fleet === null ? '' : html`<p>${effectIn(wording, one.fleet).join(' ')}</p>`}
${decision(one, { nameOf, zone }, wording)}</section>`
}

function decision({ decided, state }: ListedProposal, beside: Beside, wording: PageWording): Markup | string {
  if (decided === null) return ''
  const values = { who: beside.nameOf(decided.by), when: moment(decided.at, beside.zone, wording) }
  const what = wording.say(state === 'approved' ? 'approved by and when' : 'declined by and when', values)
  return html`<p>${what}${decided.reason === undefined ? '' : `: ${decided.reason}`}</p>`
}
