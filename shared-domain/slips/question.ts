/**
 * Likely slips of the keyboard, asked as questions before a fact is recorded: never a refusal, and no part of a
 * verdict.
 */
import type { BenchTest } from '../bench-test/bench-test.ts'
import type { JudgedBy } from '../bench-test/judge.ts'
import type { Place } from '../bench-test/places.ts'
import type { CalendarDate } from '../calendar.ts'
import type { questions } from '../catalogue/en/questions.ts'
import type { SaidOf } from '../catalogue/say.ts'
import type { Happening } from '../facts.ts'
import type { Stick } from '../registers.ts'

export const questionCodes = [
  'another-number',
  'date-far-off',
  'length-in-feet',
  'reading-far-from-neighbours',
  'decimal-slipped',
] as const

/** Whoever asks begins such a question with its place on the stick. */
type WithoutPlace<Says> = Says extends { readonly place: unknown } ? Omit<Says, 'place'> : Says

/** An oddity at one place of the fact. */
export interface OddPlace {
  /** the pointer into the body of the fact; empty for the fact as a whole */
  readonly pointer: string
  /** the question and its values; `questionIn` says it */
  readonly says: WithoutPlace<SaidOf<typeof questions>>
  /** the place on the stick that is asked about */
  readonly place?: Place
}

export interface Question extends OddPlace {
  readonly code: (typeof questionCodes)[number]
}

/** The fact that is about to be recorded. */
export interface Asked {
  readonly stickId: string
  readonly happening: Happening
  /** the day as stated; the first day of something that lasted */
  readonly on: CalendarDate
  /** the name of the date in the body */
  readonly dateField: string
}

/** Everything known beside the fact. */
export interface SlipContext {
  /** the date where the stick lies */
  readonly today: CalendarDate
  /** the stick's entry on the day of the fact */
  readonly stick: Stick | undefined
  /** the basis for comparing a bench test */
  readonly tests?: Tests | undefined
  readonly isAtBench: boolean
  /** sticks whose numbers are one slip away, that lie at a bench and may be named; the likeliest first */
  readonly alikeAtBench: readonly string[]
}

export interface Tests {
  readonly by: JudgedBy
  /** tests on record that prove something, the newest first */
  readonly earlier: readonly BenchTest[]
}
