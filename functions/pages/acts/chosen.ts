/** The sticks that were chosen on the roster, and the list that they were chosen from. */
import { invalid } from '../../ground/errors.ts'
import type { Acting } from './act.ts'
import type { Form } from './form.ts'

const mostAtOnce = 100

const sticksIn = ({ queries }: Acting): readonly string[] => [...new Set(queries.stick ?? [])]

/** @throws Refused where the form was sent with none of them, or too many: it was not our form */
export function chosenSticks(acting: Acting): readonly string[] {
  const sticks = sticksIn(acting)
  if (sticks.length === 0 || sticks.length > mostAtOnce)
    throw invalid({
      pointer: '/stick',
      came: sticks.length,
      expected: { is: 'right: so many sticks', most: mostAtOnce },
    })
  return sticks
}

/** What is said in place of a form where nothing was chosen, or more than one step takes. */
export function tooFewOrMany(acting: Acting): Form | null {
  const { say } = acting.wording
  const count = sticksIn(acting).length
  if (count > 0 && count <= mostAtOnce) return null
  const said =
    count === 0
      ? { title: say('nothing chosen'), lead: say('choose first') }
      : { title: say('too many chosen'), lead: say('choose fewer', { most: mostAtOnce, sticks: count }) }
  return { ...said, fields: [], send: null, back: { path: listPath(acting), text: say('to the roster') } }
}

/** The roster as it was narrowed when the sticks were chosen: never another page, whatever the address says. */
export function listPath({ query: { list = '' } }: Acting): string {
  return list === '' ? '/roster' : `/roster?${new URLSearchParams(list)}`
}
