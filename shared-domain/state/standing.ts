/** The status of a stick on a date, with every reason. The one function that every caller asks. */
import { addDays, type CalendarDate, daysBetween, inWords } from '../calendar.ts'
import { type Clock, clocksOf } from '../policy/clocks.ts'
import { dueSoonDays, type Policy } from '../policy/policy.ts'
import type { Stick } from '../registers.ts'
import type { Status } from '../words.ts'
import { type Hold, holdFor } from './hold.ts'
import { type Custody, registrationOn, type StickState } from './state.ts'

export interface Standing {
  readonly status: Status
  /** the last day on which it may be used; null when no clock runs or one was never wound */
  readonly dueOn: CalendarDate | null
  /** whole calendar days since the due date, 0 until then */
  readonly daysOverdue: number
  readonly governedBy: {
    readonly requirement: string
    readonly words: string
    readonly source: string
    readonly since: CalendarDate
  } | null
  readonly clocks: readonly Clock[]
  readonly holds: readonly Hold[]
  readonly custody: Custody | null
  /** one sentence that says why the status is what it is */
  readonly why: string
}

export function standingOn(state: StickState, day: CalendarDate, policy: Policy | null): Standing {
  const stick = registrationOn(state, day)?.stick
  const clocks = stick === undefined || policy === null ? [] : clocksOf(stick, state.evidence, policy)
  const holds = [...state.holds, ...releaseAwaited(state, policy), ...standingDoubts(stick, policy, clocks)]
  const first = clocks[0]
  const governing =
    first?.dueOn != null && first.since !== null ? { ...first, dueOn: first.dueOn, since: first.since } : null
  const dueOn = governing?.dueOn ?? null
  const { status, why } = statusOf(state, day, policy, clocks, holds, dueOn)
  return {
    status,
    why,
    dueOn,
    daysOverdue: dueOn === null ? 0 : Math.max(0, daysBetween(dueOn, day)),
    governedBy:
      governing === null
        ? null
        : {
            requirement: governing.requirement,
            words: governing.words,
            source: governing.source,
            since: governing.since,
          },
    clocks,
    holds,
    custody: state.custody,
  }
}

function releaseAwaited({ toBeReleased }: StickState, policy: Policy | null): Hold[] {
  if (toBeReleased === undefined || !policy?.releaseAfterFailure) return []
  const { since, factId } = toBeReleased
  return [holdFor.releaseAwaited({ since, factId })]
}

/** Doubt never reads as `in service`: what the register and the policy leave open is a hold too. */
function standingDoubts(stick: Stick | undefined, policy: Policy | null, clocks: readonly Clock[]): Hold[] {
  if (policy === null) return [holdFor.policyMissing()]
  if (stick?.construction === 'wood' && policy.woodForbidden) return [holdFor.woodForbidden()]
  if (stick?.primaryProtection && clocks.length === 0) return [holdFor.noRequirement(stick.construction)]
  return []
}

function statusOf(
  state: StickState,
  day: CalendarDate,
  policy: Policy | null,
  clocks: readonly Clock[],
  holds: readonly Hold[],
  dueOn: CalendarDate | null,
): { status: Status; why: string } {
  if (state.scrapped !== null) return { status: 'scrapped', why: 'It was scrapped.' }
  if (state.removed !== null) return { status: 'removed from service', why: `${state.removed.why}.` }
  if (holds.length > 0) return { status: 'on hold', why: holds.map((hold) => `${hold.text}.`).join(' ') }
  const unwound = clocks.find((clock) => clock.dueOn === null)
  if (unwound !== undefined) {
    return { status: 'awaiting first test', why: `It was never ${unwound.words.replace(/ at most .*$/, '')}.` }
  }
  if (dueOn === null) return { status: 'in service', why: 'No requirement with an interval applies to it.' }
  if (day > dueOn) return { status: 'overdue', why: `Its test ran out on ${inWords(dueOn)}.` }
  if (policy !== null && day >= addDays(dueOn, -dueSoonDays(policy))) {
    return { status: 'due soon', why: `Its test runs out on ${inWords(dueOn)}; it may be used through that day.` }
  }
  return { status: 'in service', why: `It may be used through ${inWords(dueOn)}.` }
}

/** May a stick be put into hands that would use it? */
export function mayBeUsed(status: Status): boolean {
  return status === 'in service' || status === 'due soon'
}
