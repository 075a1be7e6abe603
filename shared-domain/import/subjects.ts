/** Subjects of rows: rows about one thing are judged and recorded one after the other. */
import type { ImportKind } from './choices.ts'

export const subjectField: { readonly [kind in ImportKind]: string } = {
  sticks: 'stickId',
  'bench-tests': 'stickId',
  uses: 'stickId',
  moves: 'stickId',
  people: 'personId',
  crews: 'crewId',
  instruments: 'instrumentId',
}
