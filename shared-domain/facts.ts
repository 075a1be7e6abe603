/**
 * What happens to a stick, as people hand it in and as it is kept. A fact is never edited or deleted; a correction is a
 * new fact. Bodies here are what the doors accept; `RecordedFact` is what the store keeps.
 */
import * as z from 'zod'
import type { BenchTest } from './bench-test/bench-test.ts'
import type { Judgement } from './bench-test/judge.ts'
import { type CalendarDate, calendarDate, type Instant, localTime } from './calendar.ts'
import { factId } from './fact-id.ts'
import { line, note, registerId, type Stick } from './registers.ts'
import { defectKinds } from './words.ts'

const occurrence = { factId, occurredOn: calendarDate, at: localTime.optional() }

export const correctiveStep = z.strictObject({
  ...occurrence,
  kind: z.enum(['cleaned', 'waxed', 'refinished', 'repaired']),
  by: line(120),
  note: note.optional(),
})
export type CorrectiveStep = z.output<typeof correctiveStep>

export const use = z.strictObject({
  ...occurrence,
  days: z.int().min(1).max(366).default(1),
  conditions: z
    .array(z.enum(['wet', 'salt', 'contaminated', 'high duty']))
    .max(4)
    .default([]),
  note: note.optional(),
})
export type Use = z.output<typeof use>

export const defect = z.strictObject({ ...occurrence, kind: z.enum(defectKinds), note: note.optional() })
export type Defect = z.output<typeof defect>

export const destination = z.union(
  [
    z.strictObject({ crewId: registerId }),
    z.strictObject({ store: registerId }),
    z.strictObject({ bench: registerId }),
    z.strictObject({ lentTo: line(120), returnBy: calendarDate }),
    z.literal(['missing', 'found', 'scrapped']),
  ],
  {
    error:
      '{ "crewId" }, { "store": depot }, { "bench": depot }, { "lentTo", "returnBy": date }, "missing", "found" or "scrapped"',
  },
)
export type Destination = z.output<typeof destination>

export const move = z
  .strictObject({ ...occurrence, to: destination, note: note.optional() })
  .superRefine(({ occurredOn, to }, context) => {
    if (typeof to === 'string' || !('lentTo' in to) || to.returnBy >= occurredOn) return
    const message = `a date not before ${occurredOn}, the day it is lent out`
    context.addIssue({ code: 'custom', path: ['to', 'returnBy'], message })
  })
export type Move = z.output<typeof move>

/** The maker's certificate that came with a new stick. */
export const certificate = z.strictObject({
  ...occurrence,
  issuedBy: line(120),
  number: line(120).optional(),
  note: note.optional(),
})
export type Certificate = z.output<typeof certificate>

/** A look at a stick for its presence and condition; what is not sound is told as a defect. */
export const conditionCheck = z.strictObject({
  ...occurrence,
  by: line(120),
  sound: z.boolean(),
  note: note.optional(),
})
export type ConditionCheck = z.output<typeof conditionCheck>

/** A second person has looked at a stick that failed and passed since, and lets it go back. */
export const release = z.strictObject({ ...occurrence, note: note.optional() })
export type Release = z.output<typeof release>

/** The editions a test was judged by, so that it can be judged again with the same ones years later. */
export interface Pinned {
  readonly stickSeq: number
  readonly procedureEdition: string
  readonly instrumentEditions: readonly string[]
  /** where the policy had a say in the verdict */
  readonly policyEdition?: string
}

export type Happening =
  | { readonly kind: 'registered'; readonly stick: Stick }
  | { readonly kind: 'tested'; readonly test: BenchTest; readonly pinned: Pinned; readonly judgement: Judgement }
  | { readonly kind: 'corrective step'; readonly step: CorrectiveStep }
  | { readonly kind: 'used'; readonly use: Use }
  | { readonly kind: 'defect reported'; readonly defect: Defect }
  | { readonly kind: 'moved'; readonly move: Move }
  | { readonly kind: 'released'; readonly release: Release }
  | { readonly kind: 'certificate received'; readonly certificate: Certificate }
  | { readonly kind: 'condition checked'; readonly check: ConditionCheck }

export interface Recording {
  readonly factId: string
  /** recording order on this stick, from 1 without gaps */
  readonly seq: number
  readonly occurredOn: CalendarDate
  /** local time as stated, if it was */
  readonly at?: string
  /** of an hour that is not known, on the day of recording: by when it had happened */
  readonly byHour?: string
  readonly recordedAt: Instant
  readonly recordedBy: string
}

export type RecordedFact = Recording & Happening
