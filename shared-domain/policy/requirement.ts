/**
 * A clock of one rule, as data: the evidence that winds it, its interval, the sticks and the service it is for, and its
 * source.
 */
import * as z from 'zod'
import { calendarDate } from '../date-fields.ts'
import { expecting } from '../fault.ts'
import { registerId } from '../identifiers.ts'
import { line } from '../text.ts'
import { constructions, type EvidenceKind, evidenceKinds, serviceClasses, stoppingEvents } from '../words.ts'

export const interval = z.lazy(() =>
  z
    .union(
      [
        z.strictObject({
          months: z.int().min(1).max(600),
          /**
           * months count to the day, clamped, and so never past the anniversary, unless the source itself counts to a
           * month's end
           */
          counting: z.enum(['anniversary', 'end of month']).optional(),
        }),
        /** 0 days: the evidence is good on its own day alone */
        z.strictObject({ days: z.int().min(0).max(20_000) }),
        z.strictObject({ useDays: z.int().min(1).max(20_000) }),
      ],
      expecting({ is: 'right: forms', forms: '{ "months", "counting" }, { "days" }', last: '{ "useDays" }' }),
    )
    .meta({ id: 'Interval' }),
)
export type Interval = z.output<typeof interval>

const source = () =>
  z.strictObject({
    /** document and section, as printed beside the date */
    cited: line(200),
    edition: line(120).optional(),
    jurisdiction: line(120),
    /** the way in which the text was read */
    confidence: z.enum(['read in a copy of the rule', 'read in a secondary copy', 'from memory', 'the employer’s own']),
    effectiveFrom: calendarDate.optional(),
    effectiveTo: calendarDate.optional(),
  })

const duty = () =>
  z.strictObject({
    id: registerId,
    /** the duty in plain words */
    words: line(300),
    source: source(),
    /** all of these kinds are needed; the clock runs from the one whose newest evidence is oldest */
    evidence: z.array(z.enum(evidenceKinds)).min(1).max(evidenceKinds.length),
    /**
     * constructions for which an examination winds the clock too, where the employer's policy lets an examination stand
     * alone
     */
    examinationOnly: z.array(z.enum(constructions)).max(constructions.length).optional(),
    /** null: the evidence is needed once and for all */
    interval: interval.nullable(),
    /**
     * Parties that state the interval, in the order of the source, such as the maker, else the company. The source must
     * let them do so. The first governs; `interval` is for where none states one.
     */
    statedBy: z
      .array(z.strictObject({ by: line(80), interval, source: line(200) }))
      .max(5)
      .optional(),
    /** intervals that differ by service class; null: the clock does not run in that class */
    byClass: z.partialRecord(z.enum(serviceClasses), interval.nullable()).optional(),
    /** months that a stick may lie between its test and its first issue */
    shelfMonths: z.int().min(1).max(240).optional(),
    /**
     * months of recorded storage after which the clock does not run out there; a test is due before the stick is used
     * again
     */
    suspendedInStorageAfterMonths: z.int().min(0).max(240).optional(),
    /** the words of the source by which a sound stick is waxed with its test */
    waxing: line(200).optional(),
    /** events that put the stick out of service until this evidence is new */
    stops: z.array(z.enum(stoppingEvents)).max(stoppingEvents.length).optional(),
    appliesTo: z.strictObject({
      /** true: only sticks relied on for primary employee protection; false: all */
      primaryProtectionOnly: z.boolean(),
      constructions: z.array(z.enum(constructions)).min(1).max(constructions.length),
      /**
       * first day of service from which sticks are covered; a stick whose day is not on the register is taken for one
       * of them
       */
      inServiceFrom: calendarDate.optional(),
    }),
    /** the source states the interval as a maximum: nothing the employer sets can lengthen it */
    legalMaximum: z.boolean(),
    /** true: the requirement is off unless the employer turns it on */
    optional: z.boolean().optional(),
  })
export type Requirement = z.output<ReturnType<typeof duty>>

type Refine = Parameters<ReturnType<typeof duty>['superRefine']>[0]

/** Kinds of evidence that a full test does not renew. */
const notRenewed: readonly EvidenceKind[] = ['acceptance test', 'certificate', 'demonstrated examination']

/**
 * Use and service are kept since the last full test, and tell too little where a clock runs from evidence it does not
 * renew.
 */
const countsWhatIsKnown: Refine = ({ evidence, interval, statedBy = [], byClass }, context) => {
  const intervals = [interval, ...statedBy.map((one) => one.interval)]
  const counted = byClass !== undefined || intervals.some((one) => one !== null && 'useDays' in one)
  const older = evidence.find((kind) => notRenewed.includes(kind))
  if (!counted || older === undefined) return
  const { error: message } = expecting({ is: 'right: evidence that a test renews', evidence: older })
  context.addIssue({ code: 'custom', path: ['evidence'], message })
}

/** A legal maximum is nobody else’s to state. */
const statedWhereItMayBe: Refine = ({ statedBy, legalMaximum, byClass }, context) => {
  if (statedBy === undefined || (!legalMaximum && byClass === undefined)) return
  const { error: message } = expecting({ is: 'right: no maximum' })
  context.addIssue({ code: 'custom', path: ['statedBy'], message })
}

export const requirement = z.lazy(() => duty().superRefine(countsWhatIsKnown).superRefine(statedWhereItMayBe))
