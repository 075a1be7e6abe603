/** Likely slips of the keyboard, asked as questions before a fact is recorded: never a refusal, and no part of a verdict. */
import type { BenchTest } from '../bench-test/bench-test.ts'
import type { JudgedBy } from '../bench-test/judge.ts'
import type { CalendarDate } from '../calendar.ts'
import type { Happening } from '../facts.ts'
import type { Stick } from '../registers.ts'

export const questionCodes = [
  'another-number',
  'date-far-off',
  'length-in-feet',
  'reading-far-from-neighbours',
  'decimal-slipped',
] as const

export interface Question {
  readonly code: (typeof questionCodes)[number]
  /** for people */
  readonly text: string
  /** into the body of the fact; of the fact as a whole where it is empty */
  readonly pointer: string
}

/** What is about to be recorded. */
export interface Asked {
  readonly stickId: string
  readonly happening: Happening
  /** as stated; of something that lasted, its first day */
  readonly on: CalendarDate
  /** the name of the date in the body */
  readonly dateField: string
}

/** What is known beside it. */
export interface SlipContext {
  /** where the stick lies */
  readonly today: CalendarDate
  /** its entry on the day of the fact */
  readonly stick: Stick | undefined
  /** of a bench test */
  readonly tests?: Tests | undefined
  readonly isAtBench: boolean
  /** of the sticks whose numbers are one slip away those that lie at a bench and may be named, the likeliest first */
  readonly alikeAtBench: readonly string[]
}

export interface Tests {
  readonly by: JudgedBy
  /** those on record that prove something, the newest first */
  readonly earlier: readonly BenchTest[]
}

/** What is odd about one place of it. */
export interface OddPlace {
  readonly pointer: string
  readonly text: string
}
