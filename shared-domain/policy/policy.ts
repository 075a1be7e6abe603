/**
 * The policy an organisation holds itself to: the rule packs in force, and the employer's own layer, which can only add
 * to them.
 */
import * as z from 'zod'
import { calendarDate } from '../date-fields.ts'
import { expecting } from '../fault.ts'
import { registerId } from '../identifiers.ts'
import { between } from '../quantity-fields.ts'
import { line } from '../text.ts'
import { removesOnlyAfter, useConditions } from '../words.ts'
import { mostConfirmHours, rulePacks, shorteningName } from './packs.ts'
import { interval, requirement } from './requirement.ts'
import { isNoLonger, longestOf, saidInterval } from './shorter.ts'

const packIds = rulePacks.map((pack) => pack.id)
const packRequirements = rulePacks.flatMap((pack) => pack.requirements)
const namedRequirement = z.lazy(() =>
  registerId.refine(
    (id) => packRequirements.some((one) => one.id === id),
    expecting({ is: 'right: a requirement', names: packRequirements.map(({ id }) => id).join(', ') }),
  ),
)

const optionalNames = [
  ...packRequirements.filter((one) => one.optional).map(({ id }) => id),
  ...rulePacks.flatMap(({ calibrationCap }) => calibrationCap?.id ?? []),
]
/** A requirement that runs without being turned on may be named too. */
const namedOption = z.lazy(() =>
  registerId.refine(
    (id) => optionalNames.includes(id) || packRequirements.some((one) => one.id === id),
    expecting({ is: 'right: optional', names: optionalNames.join(', ') }),
  ),
)

const shortening = z.lazy(() =>
  z.strictObject({ requirement: namedRequirement, interval, source: line(200) }).superRefine((one, context) => {
    const rule = packRequirements.find(({ id }) => id === one.requirement)
    if (rule === undefined || isNoLonger(one.interval, rule)) return
    const own = saidInterval(longestOf(rule))
    const { error: message } = expecting({ is: 'right: no longer interval', own, source: rule.source.cited })
    context.addIssue({ code: 'custom', path: ['interval'], message })
  }),
)

const takenName = expecting({ is: 'right: a name of its own' }).error
const namesTaken = new Set(packRequirements.flatMap(({ id }) => [id, shorteningName(id)]))
const ownRequirements = () =>
  z.array(requirement).superRefine((all, context) => {
    const taken = new Set(namesTaken)
    for (const [i, { id }] of all.entries()) {
      if (!taken.has(id)) {
        taken.add(id)
        continue
      }
      context.addIssue({ code: 'custom', path: [i, 'id'], message: takenName })
    }
  })

export const employerPolicy = z.lazy(() =>
  z
    .strictObject({
      packs: z.array(z.enum(packIds)).min(1).max(20),
      /**
       * requirements of the packs that the employer runs on a shorter interval; the rule's own clock goes on beside it
       */
      shorten: z
        .array(shortening)
        .max(50)
        .refine(
          (all) => new Set(all.map((one) => one.requirement)).size === all.length,
          expecting({ is: 'right: each requirement once' }),
        )
        .optional(),
      /** requirements of the employer's own */
      add: ownRequirements().max(50).optional(),
      /** ids of what the packs leave optional and the employer wants */
      turnOn: z.array(namedOption).max(50).optional(),
      /** days of use so few that a crew's stick is in occasional use, where its use is logged */
      occasionalUse: z
        .strictObject({ windowDays: z.int().min(30).max(730), atMostUseDays: z.int().min(1).max(730) })
        .optional(),
      /** the weight of a day of use under hard conditions, where days of use are counted */
      useWeights: z.partialRecord(z.enum(useConditions), between(1, 100)).optional(),
      /**
       * days before the due date on which the crew is told. The first also begins `due soon`; the day after the due
       * date is always told
       */
      tellDaysBefore: z
        .array(z.int().min(0).max(365))
        .min(1)
        .max(20)
        .refine(
          (days) => days.every((day, i) => i === 0 || day < (days[i - 1] ?? 0)),
          expecting({ is: 'right: falling days' }),
        )
        .optional(),
      tellOverdueEveryDays: z.int().min(1).max(31).optional(),
      /** clock hours, nights and weekends among them, within which a hold or a removal is to be confirmed as read */
      answerWithinHours: z.int().min(1).max(mostConfirmHours).optional(),
      /**
       * weeks overdue after which foremen, managers and owners are told again with the crew.
       * - 0 for the foreman: told from the first step of the ladder on.
       * - 0 for the depot's managers and the owners: told from the first overdue day on.
       * - The first word that a stick is overdue always reaches foreman and managers, whatever is set here.
       */
      overdueClimbs: z
        .strictObject({
          foremanAfterWeeks: z.int().min(0).max(52),
          managerAfterWeeks: z.int().min(0).max(52),
          ownerAfterWeeks: z.int().min(0).max(52).optional(),
        })
        .optional(),
      /**
       * true: an examination with the employer's demonstration stands in place of a periodic test, where the rule lets
       * it
       */
      examinationOnly: z.boolean().optional(),
      /** a stick that failed and passed since stays on hold until a second person releases it */
      releaseAfterFailure: z.boolean().optional(),
      /**
       * failures that count toward removal for good, narrowed. Left out, a failure after cleaning counts too. Source:
       * 29 CFR 1910.269(j)(2)(iii)(B) has a stick that fails repaired and refinished, or removed
       */
      removesOnlyAfter: z.literal(removesOnlyAfter).optional(),
      /**
       * the rule or practice by which a stick that passed without being waxed stays on hold until it is, whatever the
       * packs ask
       */
      waxing: line(200).optional(),
      /** no stick of wood is used (UFC 3-560-01 5-4.2 authorises FRP only) */
      woodForbidden: z.boolean().optional(),
      effectiveFrom: calendarDate.optional(),
    })
    .meta({ id: 'Policy' }),
)
export type EmployerPolicy = z.output<typeof employerPolicy>
