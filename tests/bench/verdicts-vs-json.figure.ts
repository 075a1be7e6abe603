/** The same beside JSON.parse alone, which no schema of ours can make slower. */
import type { Figure } from './figure.ts'
import { interleaved } from './interleaved.ts'
import { bodies, judge } from './verdicts.ts'

const parse = () => bodies.map((body) => JSON.parse(body))

export const figure: Figure = {
  unit: 'ratio to JSON.parse of the same bytes',
  better: 'lower',
  goal: 1.6,
  measure: (rounds) => interleaved(parse, judge, rounds),
}
