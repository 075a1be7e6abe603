/** The table of likely slips: what is asked, by which code, from what is odd. */
import type { BenchTest } from '../bench-test/bench-test.ts'
import { dateFarOff } from './dates.ts'
import { airSlipped, checkSlipped, conductivitySlipped, kilovoltsSlipped } from './figures.ts'
import { lengthInFeet } from './lengths.ts'
import { anotherNumber } from './numbers.ts'
import type { Asked, OddPlace, Question, SlipContext, Tests } from './question.ts'
import { farFromNeighbours, offFromLastTest } from './readings.ts'

interface Row {
  readonly code: Question['code']
  readonly finds: (asked: Asked, known: SlipContext) => readonly OddPlace[]
}

/** The order counts: of two rows that ask about one place, the first is asked. */
const rows: readonly Row[] = [
  { code: 'another-number', finds: anotherNumber },
  { code: 'date-far-off', finds: dateFarOff },
  { code: 'length-in-feet', finds: ofTest(lengthInFeet) },
  { code: 'decimal-slipped', finds: ofTest(checkSlipped) },
  { code: 'decimal-slipped', finds: ofTest(conductivitySlipped) },
  { code: 'decimal-slipped', finds: ofTest(airSlipped) },
  { code: 'decimal-slipped', finds: ofTest(kilovoltsSlipped) },
  { code: 'reading-far-from-neighbours', finds: ofTest(farFromNeighbours) },
  { code: 'decimal-slipped', finds: ofTest(offFromLastTest) },
]

function ofTest(finds: (test: BenchTest, tests: Tests) => readonly OddPlace[]): Row['finds'] {
  return ({ happening }, { tests }) =>
    happening.kind === 'tested' && tests !== undefined ? finds(happening.test, tests) : []
}

/** The most questions asked: nobody answers more, and a test of which everything is odd shows so by these. */
const mostQuestions = 40

export function questionsAbout(asked: Asked, known: SlipContext): Question[] {
  const all = rows.flatMap(({ code, finds }) => finds(asked, known).map((found) => ({ code, ...found })))
  const first = new Map<string, Question>()
  for (const one of all) if (!first.has(one.pointer)) first.set(one.pointer, one)
  return [...first.values()].slice(0, mostQuestions)
}
