/** One clock of a rule, as data: what winds it, how long it runs, for which sticks and in which service, who says so. */
import * as z from 'zod'
import { calendarDate } from '../calendar.ts'
import { line, registerId } from '../registers.ts'
import { constructions } from '../words.ts'

/**
 * What a stick can show for itself. A full bench test that counts is an examination, a dry test, for FRP a wet test, and a
 * condition check, all at once.
 */
export const evidenceKinds = [
  'examination',
  'dry test',
  'wet test',
  'demonstrated examination',
  'acceptance test',
  'certificate',
  'condition check',
] as const
export type EvidenceKind = (typeof evidenceKinds)[number]

/** How a stick is used; the strictest first. */
export const serviceClasses = ['frequent', 'occasional', 'stored'] as const
export type ServiceClass = (typeof serviceClasses)[number]

/** What can put a stick out of service until new evidence, beside the reports and repairs that always do. */
export const stoppingEvents = [
  'cleaned',
  'waxed',
  'repaired',
  'refinished',
  'suspicion',
  'incident',
  'use without protectors',
  'batch problem',
] as const
export type StoppingEvent = (typeof stoppingEvents)[number]

export const interval = z
  .union(
    [
      z.strictObject({
        months: z.int().min(1).max(600),
        /** to the day, clamped, and so never later than the anniversary, unless the source itself counts to a month's end */
        counting: z.enum(['anniversary', 'end of month']).optional(),
      }),
      /** none: good on its own day alone */
      z.strictObject({ days: z.int().min(0).max(20_000) }),
      z.strictObject({ useDays: z.int().min(1).max(20_000) }),
    ],
    { error: '{ "months", "counting" }, { "days" } or { "useDays" }' },
  )
  .meta({ id: 'Interval' })
export type Interval = z.output<typeof interval>

const source = z.strictObject({
  /** as printed beside the date: document and section */
  cited: line(200),
  edition: line(120).optional(),
  jurisdiction: line(120),
  /** how the text was read */
  confidence: z.enum(['read in a copy of the rule', 'read in a secondary copy', 'from memory', 'the employer’s own']),
  effectiveFrom: calendarDate.optional(),
  effectiveTo: calendarDate.optional(),
})

const duty = z.strictObject({
  id: registerId,
  /** the duty in plain words */
  words: line(300),
  source,
  /** all of these are needed; the clock runs from the oldest of the newest of each */
  evidence: z.array(z.enum(evidenceKinds)).min(1),
  /** what winds it too, for these constructions, where the employer's policy lets an examination stand alone */
  examinationOnly: z.array(z.enum(constructions)).optional(),
  /** null: needed once and for all */
  interval: interval.nullable(),
  /**
   * Where the source lets others state the interval, such as the maker, else the company: those that do, in its order. The
   * first governs; `interval` is for where none does.
   */
  statedBy: z
    .array(z.strictObject({ by: line(80), interval, source: line(200) }))
    .max(5)
    .optional(),
  /** where it differs by service class; null: it does not run in that class */
  byClass: z.partialRecord(z.enum(serviceClasses), interval.nullable()).optional(),
  /** tested and not issued since: how long it may lie before its first issue */
  shelfMonths: z.int().min(1).max(240).optional(),
  /** does not run out in recorded storage that has lasted longer than this; a test is due before it is used again */
  suspendedInStorageAfterMonths: z.int().min(0).max(240).optional(),
  /** a sound stick is waxed with its test; by which words of the source */
  waxing: line(200).optional(),
  /** what puts the stick out of service until this evidence is new */
  stops: z.array(z.enum(stoppingEvents)).optional(),
  appliesTo: z.strictObject({
    /** only sticks relied on for primary employee protection; otherwise all */
    primaryProtectionOnly: z.boolean(),
    constructions: z.array(z.enum(constructions)).min(1),
    /** only sticks put into service from this day on; one whose day is not on the register is taken for one of them */
    inServiceFrom: calendarDate.optional(),
  }),
  /** the source states the interval as a maximum: nothing the employer sets can lengthen it */
  legalMaximum: z.boolean(),
  /** off unless the employer turns it on */
  optional: z.boolean().optional(),
})
export type Requirement = z.output<typeof duty>

type Refine = Parameters<typeof duty.superRefine>[0]

/** By a full test. */
const notRenewed: readonly EvidenceKind[] = ['acceptance test', 'certificate', 'demonstrated examination']

/** Use and service are kept since the last full test: of evidence that one does not renew they would tell too little. */
const countsWhatIsKnown: Refine = ({ evidence, interval, statedBy = [], byClass }, context) => {
  const intervals = [interval, ...statedBy.map((one) => one.interval)]
  const counted = byClass !== undefined || intervals.some((one) => one !== null && 'useDays' in one)
  const older = evidence.find((kind) => notRenewed.includes(kind))
  if (!counted || older === undefined) return
  const message = `evidence other than ${older}, which a full test does not renew: use and service class are known since that test`
  context.addIssue({ code: 'custom', path: ['evidence'], message })
}

/** A maximum is nobody else’s to state. */
const statedWhereItMayBe: Refine = ({ statedBy, legalMaximum, byClass }, context) => {
  if (statedBy === undefined || (!legalMaximum && byClass === undefined)) return
  const message = 'left out of what is a legal maximum, or differs by service class'
  context.addIssue({ code: 'custom', path: ['statedBy'], message })
}

export const requirement = duty.superRefine(countsWhatIsKnown).superRefine(statedWhereItMayBe)

/** Of a text that speaks of the tool, whoever relies on it for what. */
export const everyStick: Requirement['appliesTo'] = { primaryProtectionOnly: false, constructions: [...constructions] }

/** How long a rule lets the calibration of an instrument count, whatever its certificate says. */
export interface CalibrationCap {
  /** by which an employer turns it on */
  readonly id: string
  readonly months: number
  readonly cited: string
}

export interface RulePack {
  readonly id: string
  readonly title: string
  /** what a reader must know before relying on it */
  readonly caveat: string
  readonly requirements: readonly Requirement[]
  /** off unless the employer turns it on: most certificates of instruments state a period of their own */
  readonly calibrationCap?: CalibrationCap
}
