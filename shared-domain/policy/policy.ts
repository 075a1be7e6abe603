/** What an organisation holds itself to: the rule packs in force and the employer's own settings for telling people. */
import * as z from 'zod'
import { calendarDate } from '../calendar.ts'
import type { Requirement, RulePack } from './requirement.ts'
import { us29Cfr1910269j } from './us-29-cfr-1910-269-j.ts'

export const rulePacks: readonly RulePack[] = [us29Cfr1910269j]

const packIds = rulePacks.map((pack) => pack.id)

export const employerPolicy = z.strictObject({
  packs: z
    .array(z.string().refine((id) => packIds.includes(id), { error: `a rule pack: ${packIds.join(', ')}` }))
    .min(1)
    .max(20),
  /** days before the due date on which its crew is told; the first also begins `due soon` */
  tellDaysBefore: z
    .array(z.int().min(0).max(365))
    .min(1)
    .max(20)
    .refine((days) => days.every((day, i) => i === 0 || day < (days[i - 1] ?? 0)), {
      error: 'days that fall, such as [60, 30, 0]',
    })
    .optional(),
  tellOverdueEveryDays: z.int().min(1).max(31).optional(),
  /** lets an examination with the employer's demonstration stand in place of a periodic test, where the rule does */
  examinationOnly: z.boolean().optional(),
  /** a stick that failed and passed since stays on hold until a second person releases it */
  releaseAfterFailure: z.boolean().optional(),
  /** no stick of wood is used (UFC 3-560-01 5-4.2 authorises FRP only) */
  woodForbidden: z.boolean().optional(),
  effectiveFrom: calendarDate.optional(),
})
export type EmployerPolicy = z.output<typeof employerPolicy>

/** A policy ready to be asked: its packs opened up, its settings filled in. */
export interface Policy {
  readonly requirements: readonly Requirement[]
  readonly tellDaysBefore: readonly number[]
  readonly tellOverdueEveryDays: number
  readonly examinationOnly: boolean
  readonly releaseAfterFailure: boolean
  readonly woodForbidden: boolean
}

export function policyFrom(employer: EmployerPolicy): Policy {
  return {
    requirements: rulePacks.filter((pack) => employer.packs.includes(pack.id)).flatMap((pack) => pack.requirements),
    tellDaysBefore: employer.tellDaysBefore ?? [60, 30, 14, 7, 1, 0],
    tellOverdueEveryDays: employer.tellOverdueEveryDays ?? 7,
    examinationOnly: employer.examinationOnly ?? false,
    releaseAfterFailure: employer.releaseAfterFailure ?? false,
    woodForbidden: employer.woodForbidden ?? false,
  }
}

/** How many days before its due date a stick begins to be `due soon`. */
export function dueSoonDays(policy: Policy): number {
  return policy.tellDaysBefore[0] ?? 0
}
