/** Sticks go to a crew, a store, the bench or somebody outside, one of them or a selection. */
import { html } from 'hono/html'
import { localDateAt } from '../../../shared-domain/calendar.ts'
import { directoryFor } from '../../questions/directory.ts'
import { checkRole } from '../../questions/rights.ts'
import { dayAtStick } from '../../questions/today.ts'
import { documentOf } from '../layout.ts'
import type { PageWording } from '../wording.ts'
import { type Act, type Acting, type Result, whyNot } from './act.ts'
import { chosenSticks, listPath, tooFewOrMany } from './chosen.ts'
import type { Field, Option } from './form.ts'
import { noteField, stickPath, whenFields } from './parts.ts'

export const moveSticks: Act = {
  route: { method: 'POST', path: '/v1/sticks/:id/moves' },
  isFact: true,
  each: (acting) => chosenSticks(acting).map((id) => ({ id })),
  form: async (acting) => {
    const { by, wording } = acting
    const { say, list } = wording
    checkRole(by.caller, 'move a stick')
    const nothing = tooFewOrMany(acting)
    if (nothing !== null) return nothing
    const sticks = chosenSticks(acting)
    const [first = ''] = sticks
    const day = sticks.length === 1 ? await dayAtStick(by, first) : localDateAt(by.now, 'UTC')
    return {
      title: sticks.length === 1 ? say('move stick', { stick: first }) : say('move sticks', { sticks: sticks.length }),
      lead: html`${say('move follows')} ${list(sticks)}.`,
      fields: [...(await placeFields(acting)), ...whenFields(day, say), noteField(say)],
      send: say('record the move'),
      back: { path: wayBack(acting, sticks), text: say('back without') },
    }
  },
  /** Somebody outside who is named is where it goes; else the place that was chosen. */
  body: (body) => {
    const { lentTo, returnBy, ...rest } = body as Readonly<Record<string, unknown>>
    return lentTo === undefined && returnBy === undefined ? rest : { ...rest, to: { lentTo, returnBy } }
  },
  done: async ({ wording }) => documentOf({ title: wording.say('were moved', { sticks: 0 }), main: html`` }, wording),
  results: async (acting, results) => {
    const { wording } = acting
    const title = wording.say('were moved', { sticks: results.filter(({ refusal }) => refusal === null).length })
    const onward = html`<p><a href="${listPath(acting)}">${wording.say('to the roster')}</a></p>`
    return documentOf({ title, main: html`<h1>${title}</h1>${lines(results, wording)}${onward}` }, wording)
  },
}

/** Whoever came from a list goes back to it; else to the stick. */
function wayBack(acting: Acting, [first = '', ...others]: readonly string[]): string {
  return acting.query.list === undefined && others.length === 0 ? stickPath(first) : listPath(acting)
}

async function placeFields({ by, wording: { say } }: Acting): Promise<readonly Field[]> {
  const { crews, depots } = await directoryFor(by)
  const options: Option[] = [
    ...crews.map(({ id, name }): Option => [JSON.stringify({ crewId: id }), say('to crew', { name })]),
    ...depots.map(({ id, name }): Option => [JSON.stringify({ store: id }), say('to store', { name })]),
    ...depots.map(({ id, name }): Option => [JSON.stringify({ bench: id }), say('to bench', { name })]),
    [JSON.stringify('scrapped'), say('to scrap')],
  ]
  return [
    { name: '/to', kind: 'choice', label: say('where to'), options, isJson: true, optional: true },
    { name: '/lentTo', kind: 'line', label: say('lent to'), hint: say('lent hint'), optional: true },
    { name: '/returnBy', kind: 'date', label: say('back by'), optional: true },
  ]
}

function lines(results: readonly Result[], wording: PageWording) {
  const { say } = wording
  const line = ({ params: { id = '' }, refusal }: Result) =>
    html`<li><a href="${stickPath(id)}">${id}</a>: ${
      refusal === null
        ? say('move recorded')
        : html`<strong>${say('move not recorded')}</strong> ${whyNot(refusal, wording).join(' ')}`
    }</li>`
  return html`<ul class="reasons" role="status">${results.map(line)}</ul>`
}
