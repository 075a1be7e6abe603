/** The table of likely slips: what is asked, by which code, from what is odd. */
import { dateFarOff } from './dates.ts'
import type { Asked, Found, Known, Question } from './question.ts'

interface Row {
  readonly code: Question['code']
  readonly finds: (asked: Asked, known: Known) => readonly Found[]
}

/** Of two that ask about one place, the first is asked. */
const rows: readonly Row[] = [{ code: 'date-far-off', finds: dateFarOff }]

/** Nobody answers more of them; a test of which everything is odd shows so by these. */
const mostQuestions = 40

export function questionsAbout(asked: Asked, known: Known): Question[] {
  const all = rows.flatMap(({ code, finds }) => finds(asked, known).map((found) => ({ code, ...found })))
  const first = new Map<string, Question>()
  for (const one of all) if (!first.has(one.pointer)) first.set(one.pointer, one)
  return [...first.values()].slice(0, mostQuestions)
}
