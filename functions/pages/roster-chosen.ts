/** What is done to the sticks that are ticked on the roster: one form around the list, sent on without a script. */
import { html, raw } from 'hono/html'
import { type Action, may, mayAtAll } from '../../shared-domain/rights.ts'
import type { Asker } from '../questions/asker.ts'
import type { RosterRow } from '../questions/roster.ts'
import type { Markup } from '../web/web-page.ts'
import type { FirstWording } from './first-wording.ts'
import { addressHere, type RosterChoice } from './roster-choice.ts'

type Caller = Asker['caller']

const acts = [
  { path: '/remind', action: 'remind of a stick', name: 'remind crews' },
  { path: '/move', action: 'move a stick', name: 'move chosen' },
  { path: '/count-before', action: 'count a test from before', name: 'count before' },
] as const satisfies readonly { path: string; action: Action; name: string }[]

const actsFor = ({ role }: Caller) => acts.filter(({ action }) => mayAtAll(role, action))

/** A manager reads of a crew's stick that lies in a yard of others, and may do nothing to it. */
export function mayBeChosen(caller: Caller, { stored: { state, depotId } }: RosterRow): boolean {
  return acts.some(({ action }) => may(caller, action, { crewId: state.crewId, depotId }))
}

interface Around {
  readonly caller: Caller
  readonly choice: RosterChoice
  /** there is a row that the caller may choose */
  readonly isAny: boolean
  readonly table: Markup
}

/** Enter in a box presses the first button: that only leads on to a form. */
export function chosenForm({ caller, choice, isAny, table }: Around, wording: FirstWording): Markup {
  const { say } = wording
  const [first, ...others] = actsFor(caller)
  if (first === undefined || !isAny) return table
  const list = addressHere(choice, {}, '').replace(/^\?/, '')
  const buttons = [
    html`<button>${say(first.name)}</button>`,
    ...others.map(({ path, name }) => html`<button formaction="${path}">${say(name)}</button>`),
  ]
  const { isAllTicked } = choice
  const all = isAllTicked ? addressHere(choice) : addressHere(choice, { tick: 'all' })
  return html`<form class="chosen" method="get" action="${first.path}">
${list === '' ? '' : html`<input type="hidden" name="list" value="${list}">`}
${table}
<div class="with" role="group" aria-labelledby="with"><span id="with">${say('with chosen')}</span>
${buttons} <a href="${all}">${say(isAllTicked ? 'choose none' : 'choose all')}</a></div></form>`
}

export function boxOf(stickId: string, isTicked: boolean, { say }: FirstWording): Markup {
  const label = say('choose stick', { stick: stickId })
  const ticked = isTicked ? raw(' checked') : ''
  return html`<td class="box"><label><input type="checkbox" name="stick" value="${stickId}"
aria-label="${label}"${ticked}></label></td>`
}
