/** Sticks are called back: by their lot, by an order, or by the instrument that tested them; and a recall is closed. */
import { html } from 'hono/html'
import { instrumentsFor } from '../../questions/instruments.ts'
import { recallFor } from '../../questions/recalls.ts'
import { checkRole } from '../../questions/rights.ts'
import { recallPath, titleOf } from '../recalls-page.ts'
import type { PageWording } from '../wording.ts'
import { type Act, type Acting, performed } from './act.ts'
import type { Field } from './form.ts'
import { donePage } from './parts.ts'

type Say = PageWording['say']
type Kind = 'lot' | 'order' | 'instrument'

const route = { method: 'POST', path: '/v1/recalls' } as const
const back = '/recalls'

function opening(kind: Kind, fieldsFor: (acting: Acting) => Promise<readonly Field[]>, body?: Act['body']): Act {
  return {
    route,
    isFact: true,
    ...(body === undefined ? {} : { body }),
    form: async (acting) => {
      const { by, wording } = acting
      const { say } = wording
      checkRole(by.caller, 'open a recall')
      return {
        title: say(`recall ${kind}`),
        lead: say('open recall follows'),
        fields: [...(await fieldsFor(acting)), reasonField(say)],
        preview: say('what would follow'),
        send: say('open the recall'),
        back: { path: back, text: say('back without') },
      }
    },
    preview: async (acting, sent) => {
      const asked = { ...acting, query: { preview: 'true' } }
      const { body: found } = await performed(route, asked, { ...sent, factId: crypto.randomUUID() })
      return followed(found as Followed, acting.wording) // the route's own answer
    },
    // the route's own answer
    goTo: (_, { body: opened }) => `${recallPath(opened as { readonly id: string })}?done=recorded`,
    done: async ({ wording }) => {
      const { say } = wording
      const onward = { path: back, text: say('to recalls') }
      return donePage({ title: say('recalls'), text: say('recall goes on'), onward }, wording)
    },
  }
}

interface Followed {
  readonly counts: { readonly held: number; readonly cleared: number }
  readonly readers: number
  readonly sticks: readonly { readonly stickId: string }[]
}

function followed({ counts: { held, cleared }, readers, sticks }: Followed, { say, list }: PageWording) {
  if (held === 0) return html`<p>${say('would be nothing')}</p>`
  return html`<p>${say('would be held', { held, cleared, readers })}</p>
<p>${list(sticks.map(({ stickId }) => stickId))}</p>
${sticks.length < held ? html`<p class="quiet">${say('first of many', { shown: sticks.length })}</p>` : ''}`
}

const reasonField = (say: Say): Field => ({
  name: '/reason',
  kind: 'line',
  label: say('field recall reason'),
  hint: say('field recall reason hint'),
})

export const recallLot = opening('lot', async ({ query: { lot }, wording: { say } }) => [
  {
    name: '/cause/lot',
    kind: 'line',
    label: say('field recall lot'),
    hint: say('field recall lot hint'),
    ...(lot === undefined ? {} : { value: lot }),
  },
])

export const recallOrder = opening('order', async ({ wording: { say } }) => [
  { name: '/cause/order', kind: 'line', label: say('field order'), hint: say('field order hint') },
  {
    name: '/cause/stickIds',
    kind: 'list',
    of: 'lines',
    label: say('field order sticks'),
    hint: say('field order sticks hint'),
  },
])

export const recallInstrument = opening('instrument', fieldsOfInstrument, withError)

async function fieldsOfInstrument({ by, query, wording: { say } }: Acting): Promise<readonly Field[]> {
  const { instrument, lastGoodOn, foundOutOn, errorKind, errorValue, fullScale } = query
  const all = await instrumentsFor(by)
  return [
    {
      name: '/cause/instrumentId',
      kind: 'choice',
      label: say('field recall instrument'),
      options: all.map(({ id }) => [id, id] as const),
      ...(instrument === undefined ? {} : { value: instrument }),
    },
    {
      name: '/cause/lastGoodOn',
      kind: 'date',
      label: say('field last good'),
      hint: say('field last good hint'),
      ...(lastGoodOn === undefined ? {} : { value: lastGoodOn }),
    },
    {
      name: '/cause/foundOutOn',
      kind: 'date',
      label: say('field found wrong'),
      ...(foundOutOn === undefined ? {} : { value: foundOutOn }),
    },
    {
      name: '/cause/error/kind',
      kind: 'choice',
      label: say('field error kind'),
      optional: true,
      options: [
        ['', say('error kind unknown')],
        ['percent of reading', say('error kind reading')],
        ['offset microamps', say('error kind offset')],
        ['percent of full scale', say('error kind scale')],
      ],
      ...(errorKind === undefined ? {} : { value: errorKind }),
    },
    {
      name: '/cause/error/value',
      kind: 'number',
      label: say('field error value'),
      hint: say('field error value hint'),
      optional: true,
      ...(errorValue === undefined ? {} : { value: errorValue }),
    },
    {
      name: '/cause/error/fullScaleMicroamps',
      kind: 'number',
      label: say('field full scale'),
      hint: say('field full scale hint'),
      optional: true,
      ...(fullScale === undefined ? {} : { value: fullScale }),
    },
  ]
}

/** Where nothing of it was filled in, nobody knows the error, and the request says so. */
function withError(body: object): object {
  const { cause = {}, ...others } = body as { readonly cause?: { readonly error?: object } }
  const { error = {} } = cause
  return { ...others, cause: { ...cause, error: Object.keys(error).length === 0 ? null : error } }
}

export const closingRecall: Act = {
  route: { method: 'POST', path: '/v1/recalls/:id/close' },
  isFact: true,
  form: async ({ by, params: { id = '' }, wording: { say } }) => {
    checkRole(by.caller, 'close a recall')
    const { recall, open } = await recallFor(by, id)
    return {
      title: say('close recall'),
      lead: say('close follows'),
      about: html`<p>${titleOf(recall, say)}</p>`,
      fields: [
        ...(open.length === 0
          ? []
          : [
              {
                name: '/notFound',
                kind: 'choices',
                label: say('close not found'),
                hint: say('close not found hint'),
                optional: true,
                options: open.map(({ stored: { stickId } }) => [stickId, stickId] as const),
              } as const,
            ]),
        { name: '/note', kind: 'text', label: say('close note'), optional: true },
      ],
      send: say('close it'),
      back: { path: recallPath({ id }), text: say('back without') },
    }
  },
  done: async ({ params: { id = '' }, wording }) => {
    const { say } = wording
    const onward = { path: recallPath({ id }), text: say('to the recall') }
    return donePage({ title: say('recall is closed'), text: say('closed follows'), onward }, wording)
  },
}
