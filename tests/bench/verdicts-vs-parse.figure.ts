/** What a verdict costs beside what the door has done by then: reading the same body as JSON and against its schema. */
import type { Figure } from './figure.ts'
import { interleaved } from './interleaved.ts'
import { judge, parsed } from './verdicts.ts'

export const figure: Figure = {
  unit: 'ratio to JSON.parse and schema check of the same bytes',
  better: 'lower',
  goal: 2,
  measure: (rounds) => interleaved(parsed, judge, rounds),
}
