/** One clock of a rule, as data: what winds it, how long it runs, for which sticks and in which service, who says so. */
import * as z from 'zod'
import { calendarDate } from '../date-fields.ts'
import { registerId } from '../identifiers.ts'
import { line } from '../text.ts'
import { constructions, type EvidenceKind, evidenceKinds, serviceClasses, stoppingEvents } from '../words.ts'

export const interval = z.lazy(() =>
  z
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
    .meta({ id: 'Interval' }),
)
export type Interval = z.output<typeof interval>

const source = () =>
  z.strictObject({
    /** as printed beside the date: document and section */
    cited: line(200),
    edition: line(120).optional(),
    jurisdiction: line(120),
    /** how the text was read */
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
    /** all of these are needed; the clock runs from the oldest of the newest of each */
    evidence: z.array(z.enum(evidenceKinds)).min(1).max(evidenceKinds.length),
    /** what winds it too, for these constructions, where the employer's policy lets an examination stand alone */
    examinationOnly: z.array(z.enum(constructions)).max(constructions.length).optional(),
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
    stops: z.array(z.enum(stoppingEvents)).max(stoppingEvents.length).optional(),
    appliesTo: z.strictObject({
      /** only sticks relied on for primary employee protection; otherwise all */
      primaryProtectionOnly: z.boolean(),
      constructions: z.array(z.enum(constructions)).min(1).max(constructions.length),
      /** only sticks put into service from this day on; one whose day is not on the register is taken for one of them */
      inServiceFrom: calendarDate.optional(),
    }),
    /** the source states the interval as a maximum: nothing the employer sets can lengthen it */
    legalMaximum: z.boolean(),
    /** off unless the employer turns it on */
    optional: z.boolean().optional(),
  })
export type Requirement = z.output<ReturnType<typeof duty>>

type Refine = Parameters<ReturnType<typeof duty>['superRefine']>[0]

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

export const requirement = z.lazy(() => duty().superRefine(countsWhatIsKnown).superRefine(statedWhereItMayBe))
