/** A new entry of a register, and a new edition of one: a form filled with what stands today. */
import { html } from 'hono/html'
import { procedureWarnings } from '../../../shared-domain/bench-test/procedure-warnings.ts'
import { localDateAt } from '../../../shared-domain/calendar.ts'
import { registerIdPattern } from '../../../shared-domain/identifier-pattern.ts'
import type { Procedure } from '../../../shared-domain/registers.ts'
import { mayAtAll } from '../../../shared-domain/rights.ts'
import { effectIn, wayIn } from '../../../shared-domain/wording.ts'
import { notAllowed, Refused } from '../../ground/errors.ts'
import { proposalsFor } from '../../questions/proposals.ts'
import { todayAt } from '../../questions/today.ts'
import type { WebDocument } from '../../web/web-page.ts'
import { documentOf } from '../layout.ts'
import { changesMarkup } from '../registers/pages.ts'
import { policyPreview, procedurePreview } from '../registers/previews.ts'
import {
  drawingFor,
  type Entry,
  entryPath,
  entryWithHistory,
  formPartsOf,
  mayChange,
  mayEnter,
  onlyEntry,
  type Register,
  registerAt,
} from '../registers/registers.ts'
import type { Act, Acting } from './act.ts'
import type { Field, Form, FormPart } from './form.ts'

/** Changes an entry; one that is the only one of its register may be new. */
export function changing(path: string): Act {
  const register = registerAt(path)
  return {
    ...common(register),
    form: async (acting) => {
      const { by, params, wording } = acting
      const { id = '' } = params
      const entry = await entryIfAny(acting, register, id)
      const isNew = entry === undefined
      if (isNew ? !mayEnter(by.caller, register) : !mayChange(by.caller, register, entry)) throw notYours()
      const { say } = wording
      const what = say(`the ${register.kind}`, { id })
      const parts = formPartsOf(register, entry?.body, await drawingFor(by, wording))
      return {
        title: isNew ? say(`enter ${register.kind}`) : say('new edition of', { what }),
        lead: say(isNew ? 'new entry lead' : 'new edition lead'),
        fields: [...parts, await fromWhen(acting, register, entry)],
        send: say('record it'),
        ...(register.kind === 'policy' || (register.kind === 'procedure' && !isNew)
          ? { preview: say('show what would follow') }
          : {}),
        from: String(entry?.editions.length ?? 0),
        back: { path: entry === undefined ? `/registers/${path}` : entryPath(register, id), text: say('back without') },
      } satisfies Form
    },
  }
}

/** Enters what nobody entered yet: under a name that nothing else has. */
export function entering(path: string): Act {
  const register = registerAt(path)
  return {
    ...common(register),
    inPath: { id: '/id' },
    check: async ({ by, params: { id = '' }, wording: { say } }) => {
      // nothing is looked up of what can be no id: the request says what is wrong with it
      if (!registerIdPattern.test(id)) return null
      const isTaken =
        register.kind === 'stick'
          ? (await by.organisation.sticks.stored(id)) !== undefined
          : await by.organisation.registers.has(register.kind, id)
      return isTaken ? { byField: new Map([['/id', [say('taken id')]]]), others: [] } : null
    },
    body: (body) => {
      const { id: _, ...others } = asBody(register, body) as { readonly id?: unknown }
      return others
    },
    form: async (acting) => {
      const { by, wording } = acting
      if (!mayEnter(by.caller, register) || onlyEntry(by, register) !== undefined) throw notYours()
      const { say } = wording
      const parts = formPartsOf(register, undefined, await drawingFor(by, wording))
      return {
        title: say(`enter ${register.kind}`),
        lead: say('new entry lead'),
        fields: [named(register, acting), ...parts, await fromWhen(acting, register, undefined)],
        send: say('record it'),
        back: { path: `/registers/${path}`, text: say('back without') },
      } satisfies Form
    },
  }
}

const notYours = () => notAllowed({ is: 'not allowed: such an entry' })

function common(register: Register): Pick<Act, 'route' | 'isFact' | 'body' | 'goTo' | 'done' | 'preview'> {
  const { kind, path } = register
  return {
    route: { method: 'PUT', path: `/v1/${path}/:id` },
    isFact: false,
    body: (body) => asBody(register, body),
    ...(kind === 'policy' ? { preview: (acting, body) => policyPreview(acting, body) } : {}),
    ...(kind === 'procedure' ? { preview: (acting, body) => procedurePreview(acting, body) } : {}),
    goTo: ({ params: { id = '' } }, { status, body }) => {
      const address = `${entryPath(register, id)}/edition`
      if (status !== 202) return `${address}?done=recorded`
      const { proposal, alone } = body as { readonly proposal: { readonly id: string }; readonly alone: boolean }
      const waiting = { done: 'waits', proposal: proposal.id, ...(alone ? { alone: 'yes' } : {}) }
      return `${address}?${new URLSearchParams(waiting)}`
    },
    done: (acting, way) => (way === 'waits' ? waits(acting, register) : recorded(acting, register)),
  }
}

const asBody = ({ asBody: change }: Register, body: object): object =>
  change === undefined ? body : change(body as Readonly<Record<string, unknown>>)

async function entryIfAny({ by }: Acting, register: Register, id: string): Promise<Entry | undefined> {
  try {
    return await entryWithHistory(by, register, id)
  } catch (error) {
    const isMissing = error instanceof Refused && error.refusal.kind === 'not found'
    if (isMissing && onlyEntry(by, register) === id) return undefined
    throw error
  }
}

function named({ kind }: Register, { wording: { say } }: Acting): Field {
  return {
    kind: 'line',
    name: '/id',
    label: say(kind === 'person' ? 'field id of person' : 'field id'),
    hint: say(kind === 'person' ? 'hint id of person' : 'hint id'),
  }
}

/** The day is told by the clock that the entry goes by, as far as that is known before it is sent. */
async function fromWhen({ by, wording }: Acting, { kind }: Register, entry: Entry | undefined): Promise<FormPart> {
  const { say } = wording
  const today = entry?.today ?? (await todayAt(by, null)).today
  return {
    kind: 'date',
    name: '/effectiveFrom',
    label: say('field from when'),
    hint: say(kind === 'stick' ? 'hint from when of stick' : 'hint from when', { today }),
    value: today,
  }
}

async function recorded({ by, params: { id = '' }, wording }: Acting, register: Register): Promise<WebDocument> {
  const { say } = wording
  const [entry, drawing] = await Promise.all([entryWithHistory(by, register, id), drawingFor(by, wording)])
  const newest = Math.max(...entry.editions.map(({ recordedAt }) => Date.parse(recordedAt)))
  const place = entry.editions.findLastIndex(({ recordedAt }) => Date.parse(recordedAt) === newest)
  const title = say('was recorded', { what: say(`the ${register.kind}`, { id }) })
  const on = entry.editions[place]?.effectiveFrom ?? localDateAt(by.now, 'UTC')
  const main = html`<h1>${title}</h1><p class="lead">${say('recorded lead', { on })}</p>
${changesMarkup(entry, place, drawing)}
${register.kind === 'procedure' ? await warned(entry.editions[place]?.body as Procedure, wording) : ''}
<p><a class="act" href="${entryPath(register, id)}">${say('to the entry')}</a></p>
<p><a href="/registers/${register.path}">${say('to the register')}</a></p>`
  return documentOf({ title, main, here: 'registers' }, wording)
}

/** Few procedures are warned of: the sentences are loaded with the first that is. */
async function warned(body: Procedure, wording: Acting['wording']) {
  const warnings = procedureWarnings(body)
  if (warnings.length === 0) return ''
  const lines = warnings.map(({ code, says }) => html`<li>${wording.told({ code, says })}</li>`)
  return html`<h2>${wording.say('look again')}</h2><ul class="reasons">${lines}</ul>`
}

async function waits({ by, params: { id = '' }, query, wording }: Acting, register: Register): Promise<WebDocument> {
  const { say } = wording
  const mayRead = mayAtAll(by.caller.role, 'read proposals')
  const proposal = mayRead ? (await proposalsFor(by, undefined)).find((one) => one.id === query.proposal) : undefined
  const title = say('waits', { what: say(`the ${register.kind}`, { id }) })
  const hangs = proposal?.fleet == null ? '' : effectIn(wording, proposal.fleet).join(' ')
  const second = html`<a href="/enter/people">${say('enter second')}</a>`
  const ways = proposal?.ways.map((way) => html`<li>${wayIn(wording, way)}</li>`)
  const main = html`<h1>${title}</h1><p class="lead">${say('waits lead')}</p>
${query.alone === 'yes' ? html`<p class="note">${say('waits alone')} ${second}</p>` : ''}
${ways === undefined ? '' : html`<h2>${say('what loosens')}</h2><ul class="reasons">${ways}</ul>`}
${hangs === '' ? '' : html`<h2>${say('what hangs on it')}</h2><p>${hangs}</p>`}
${mayRead ? html`<p><a class="act" href="/proposals">${say('to proposals')}</a></p>` : ''}
<p><a href="${entryPath(register, id)}">${say('to the entry')}</a></p>`
  return documentOf({ title, main, here: 'registers' }, wording)
}
