/**
 * Everything that binds on a day, as one value: the packs of this build opened up, and the employer's own layer with
 * its settings filled in.
 */

import { fingerprint } from '../fingerprint.ts'
import { nameOfRecalls, type Recall } from '../recall/recall.ts'
import { shapeOfState } from '../shape-of-state.ts'
import type { RemovesOnlyAfter } from '../words.ts'
import { confirmHoursWithoutPolicy, rulePacks, shorteningName } from './packs.ts'
import type { EmployerPolicy } from './policy.ts'
import type { Requirement } from './requirement.ts'
import type { CalibrationCap } from './rule-pack.ts'
import type { OccasionalUse } from './service-class.ts'

export interface Rules {
  /** false before anybody entered a policy: then no stick may be used */
  readonly entered: boolean
  /** the edition of the employer's layer, once one is in the register */
  readonly edition?: string
  /** a name for all that binds: the employer's edition, the packs and the fold of this build, and the recalls */
  readonly id: string
  readonly requirements: readonly Requirement[]
  readonly occasionalUse?: OccasionalUse | undefined
  readonly useWeights: NonNullable<EmployerPolicy['useWeights']>
  readonly tellDaysBefore: readonly number[]
  readonly tellOverdueEveryDays: number
  readonly answerWithinHours: number
  readonly overdueClimbs: {
    readonly foremanAfterWeeks: number
    readonly managerAfterWeeks: number
    readonly ownerAfterWeeks: number
  }
  readonly examinationOnly: boolean
  readonly releaseAfterFailure: boolean
  readonly removesOnlyAfter?: RemovesOnlyAfter | undefined
  readonly woodForbidden: boolean
  /** the employer's own rule or practice by which every stick is waxed with its test */
  readonly waxing?: string | undefined
  /** the shortest of the caps turned on */
  readonly calibrationCap?: CalibrationCap | undefined
  /** every recall there is: one that is closed binds whatever it has not cleared */
  readonly recalls: readonly Recall[]
}

/**
 * A fingerprint that stays the same while the packs say the same and the fold keeps the same, in whichever build. A
 * corrected pack gives another.
 */
const rulesOfThisBuild = `${fingerprint(JSON.stringify(rulePacks))}.${shapeOfState}`

const idOf = (edition: string | undefined) => `${edition ?? 'none'}/${rulesOfThisBuild}`

/** The rules before anybody entered a policy. */
export const noRules: Rules = { ...rulesFrom({ packs: [] }), entered: false }

export function rulesFrom(employer: EmployerPolicy, edition?: string): Rules {
  const packs = rulePacks.filter((pack) => employer.packs.includes(pack.id))
  const ofPacks = packs.flatMap((pack) => pack.requirements)
  const [calibrationCap] = packs
    .flatMap((pack) => pack.calibrationCap ?? [])
    .filter(({ id }) => employer.turnOn?.includes(id))
    .sort((a, b) => a.months - b.months)
  const inForce = ofPacks.filter((one) => !one.optional || employer.turnOn?.includes(one.id))
  return {
    entered: true,
    ...(edition === undefined ? {} : { edition }),
    id: idOf(edition),
    requirements: [...inForce, ...shortened(inForce, employer), ...(employer.add ?? [])],
    occasionalUse: employer.occasionalUse,
    useWeights: employer.useWeights ?? {},
    tellDaysBefore: employer.tellDaysBefore ?? [60, 30, 14, 7, 1, 0],
    tellOverdueEveryDays: employer.tellOverdueEveryDays ?? 7,
    answerWithinHours: employer.answerWithinHours ?? confirmHoursWithoutPolicy,
    overdueClimbs: {
      foremanAfterWeeks: employer.overdueClimbs?.foremanAfterWeeks ?? 0,
      managerAfterWeeks: employer.overdueClimbs?.managerAfterWeeks ?? 0,
      ownerAfterWeeks: employer.overdueClimbs?.ownerAfterWeeks ?? 2,
    },
    examinationOnly: employer.examinationOnly ?? false,
    releaseAfterFailure: employer.releaseAfterFailure ?? false,
    ...(employer.removesOnlyAfter === undefined ? {} : { removesOnlyAfter: employer.removesOnlyAfter }),
    woodForbidden: employer.woodForbidden ?? false,
    waxing: employer.waxing,
    calibrationCap,
    recalls: [],
  }
}

/** The rules with the recalls that bind beside them; the name is another with each. */
export function withRecalls(rules: Rules, recalls: readonly Recall[]): Rules {
  const id = [rules.id, nameOfRecalls(recalls)].filter((name) => name !== '').join('/')
  return { ...rules, id, recalls }
}

/** Shortened clocks run beside the rules' own, so that no edit can put a date past a legal maximum. */
function shortened(inForce: readonly Requirement[], { shorten = [] }: EmployerPolicy): Requirement[] {
  return shorten.flatMap((one) => {
    const rule = inForce.find(({ id }) => id === one.requirement)
    if (rule === undefined) return []
    const { byClass, stops: _, optional: __, statedBy: ___, waxing: ____, ...kept } = rule
    const source = {
      cited: `${one.source}, within ${rule.source.cited}`,
      jurisdiction: rule.source.jurisdiction,
      confidence: 'the employer’s own' as const,
    }
    const shorter = { ...kept, id: shorteningName(rule.id), source, interval: one.interval, legalMaximum: false }
    return [byClass === undefined ? shorter : { ...shorter, byClass: onlyWhereItRuns(byClass) }]
  })
}

/** A rule that asks nothing of a class asks nothing of it shortened either. */
function onlyWhereItRuns(byClass: NonNullable<Requirement['byClass']>): NonNullable<Requirement['byClass']> {
  return Object.fromEntries(Object.entries(byClass).filter(([, inClass]) => inClass === null))
}

/** The number of days before its due date from which a stick is `due soon`. */
export function dueSoonDays(policy: Rules): number {
  return policy.tellDaysBefore[0] ?? 0
}
