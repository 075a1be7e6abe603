/** The status of a stick on a date, with every reason. The one function that every caller asks. */
import { addDays, addMonths, type CalendarDate, daysBetween } from '../calendar.ts'
import type { whys } from '../catalogue/en/whys.ts'
import type { SaidOf } from '../catalogue/say.ts'
import { applies, type Clock, clocksOf } from '../policy/clocks.ts'
import { expectedEnd } from '../policy/expected-use.ts'
import type { Requirement } from '../policy/requirement.ts'
import { dueSoonDays, type Rules } from '../policy/rules.ts'
import { type CustodySpell, isUse } from '../policy/service-class.ts'
import type { Stick } from '../registers.ts'
import type { ServiceClass, Status, StoppingEvent } from '../words.ts'
import { type Duty, dutyOf, pressing } from './duty.ts'
import { entryHolds } from './entry-holds.ts'
import { type Detail, type Hold, holdFor } from './hold.ts'
import { type LabelOnDay, labelOnDay } from './label.ts'
import { recallHolds } from './recall-holds.ts'
import { type Custody, isProven, type KnownBefore, registrationOn, type StickState } from './state.ts'

/** Why the status is what it is; beside `held` and `removed` stand the holds, and what removed it. */
export type Why = SaidOf<typeof whys>

export interface Standing {
  readonly status: Status
  /** the last day on which the stick may be used; null when no clock runs or one was never wound */
  readonly dueOn: CalendarDate | null
  /** whole calendar days since the due date, 0 until then */
  readonly daysOverdue: number
  readonly governedBy: {
    readonly requirement: string
    readonly words: string
    readonly source: string
    readonly since: CalendarDate
    /** the class, where the interval differs by class */
    readonly serviceClass: ServiceClass | null
  } | null
  readonly clocks: readonly Clock[]
  readonly holds: readonly Hold[]
  readonly custody: Custody | null
  readonly why: Why
  /** the details of what removed a stick for good */
  readonly removedFor?: Detail
  /** the duty by the due date, where that is no more than a look */
  readonly duty?: Exclude<Duty, 'test'>
  /** the stick is not relied on for primary protection: said wherever its status is, since less is asked of it */
  readonly notPrimary?: true
  /**
   * a test from before the service was used, without readings; left out once the stick passed here in full.
   * `countsFrom`: the day of the newest by which the due date goes
   */
  readonly testedBefore?: Pick<KnownBefore, 'on' | 'passed' | 'countsFrom'>
  /** the label, where one was recorded */
  readonly label?: LabelOnDay
}

/** A stick on a day, by the rules, and what they ask of it as the register has it then. */
interface StickOnDay {
  readonly state: StickState
  readonly day: CalendarDate
  readonly rules: Rules
  readonly asked: readonly Requirement[]
  /** all clocks there are, also those that rest */
  readonly clocks: readonly Clock[]
}

/** The grounds that decide the status of a stick that is still kept. */
interface Grounds {
  readonly holds: readonly Hold[]
  /** the clocks that do not rest */
  readonly running: readonly Clock[]
  readonly dueOn: CalendarDate | null
}

export function standingOn(state: StickState, day: CalendarDate, rules: Rules): Standing {
  const registration = registrationOn(state, day)
  const stick = registration?.stick
  const clocks = stick === undefined ? [] : clocksOf(stick, state, rules)
  const asked = stick === undefined ? [] : rules.requirements.filter((one) => applies(one, stick))
  const onDay: StickOnDay = { state, day, rules, asked, clocks }
  const resting = clocks.filter((clock) => isResting(clock, onDay))
  const running = clocks.filter((clock) => !resting.includes(clock))
  const holds = [
    ...state.holds,
    ...releaseAwaited(state, rules),
    ...notWaxed(state, rules, asked),
    ...standingDoubts(stick, rules, clocks),
    ...entryHolds(state, registration),
    ...recallHolds(state, day, rules.recalls),
    ...stopped(state, asked),
    ...shelved(onDay),
    ...resting.flatMap((clock) => (clock.dueOn === null ? [] : [holdFor.restingInStore(clock.dueOn, clock.source)])),
  ]
  const governing = running.find((clock) => clock.dueOn !== null && clock.since !== null)
  const unwound = running.some((clock) => clock.since === null)
  const dueOn = unwound ? null : (governing?.dueOn ?? null)
  const { status, why } = statusOf(onDay, { holds, running, dueOn })
  const label = labelOnDay(state, { status, dueOn, clocks: running })
  return {
    status,
    why,
    ...(status === 'removed from service' && state.removed !== null ? { removedFor: state.removed.detail } : {}),
    ...lookOnly(pressing(running, day), dueOn),
    dueOn,
    daysOverdue: dueOn === null ? 0 : Math.max(0, daysBetween(dueOn, day)),
    governedBy: dueOn === null || governing?.since == null ? null : governedBy(governing, governing.since),
    clocks: clocks.map((clock) => withExpectedEnd(clock, onDay)),
    holds,
    custody: state.custody,
    ...(stick?.primaryProtection === false ? { notPrimary: true } : {}),
    ...carriedOver(state),
    ...(label === undefined ? {} : { label }),
  }
}

function carriedOver({ testedBefore, lastPass }: StickState): Pick<Standing, 'testedBefore'> {
  if (testedBefore === undefined || lastPass !== null) return {}
  const { on, passed, countsFrom } = testedBefore
  return { testedBefore: { on, passed, countsFrom } }
}

function lookOnly(clock: Clock | undefined, dueOn: CalendarDate | null): Pick<Standing, 'duty'> {
  return dueOn !== null && clock !== undefined && dutyOf(clock) === 'look' ? { duty: 'look' } : {}
}

/** The expected end stands beside the certain date, which does not depend on the day of asking. */
function withExpectedEnd(clock: Clock, { state, day, rules }: StickOnDay): Clock {
  if (clock.useDaysLeft === undefined) return clock
  const usage = { uses: state.uses, weights: rules.useWeights }
  const expected = expectedEnd(clock.useDaysLeft, usage, day)
  return expected === null ? clock : { ...clock, expected }
}

function governedBy({ requirement, words, source, serviceClass }: Clock, since: CalendarDate): Standing['governedBy'] {
  return { requirement, words, source, since, serviceClass }
}

/** Non-use suspends a clock only where its source says so, and only recorded storage that has lasted. */
function isResting({ requirement, dueOn }: Clock, { state, day, asked }: StickOnDay): boolean {
  const { custody, custodySpells } = state
  const months = asked.find(({ id }) => id === requirement)?.suspendedInStorageAfterMonths
  const spell = custodySpells.at(-1)
  if (months === undefined || spell?.kind !== 'store' || custody === null || !('store' in custody)) return false
  return dueOn !== null && day > dueOn && day > addMonths(spell.since, months)
}

/** Events that always put a stick out of service have their own holds; `stopped` adds those by a rule of the policy. */
const alwaysHeld: readonly StoppingEvent[] = ['repaired', 'refinished', 'suspicion', 'incident']

function stopped({ events }: StickState, asked: readonly Requirement[]): Hold[] {
  return events.flatMap(({ event, since, factId }) => {
    if (alwaysHeld.includes(event)) return []
    const rule = asked.find(({ stops }) => stops?.includes(event))
    return rule === undefined ? [] : [holdFor.stoppedBy({ since, factId }, event, rule.source.cited)]
  })
}

/**
 * A stick that was tested, laid by and not issued within the limit is on hold. Issue or use after the limit does not
 * mend that.
 */
function shelved({ state: { custodySpells }, day, asked, clocks }: StickOnDay): Hold[] {
  if (custodySpells.length === 0) return []
  return asked.flatMap(({ id, shelfMonths, source }) => {
    const since = clocks.find(({ requirement }) => requirement === id)?.since
    if (shelfMonths === undefined || since == null) return []
    const until = addMonths(since, shelfMonths)
    if (day <= until || custodySpells.some((_, i) => wasIssued(custodySpells, i, { testedOn: since, until }))) return []
    return [holdFor.shelfLimit(since, shelfMonths, source.cited)]
  })
}

/** The days from a test through which a stick may lie on the shelf. */
interface ShelfTime {
  readonly testedOn: CalendarDate
  readonly until: CalendarDate
}

/** A test in the hands of its crew does not issue a stick: it is in use only as long as it was not laid by. */
function wasIssued(spells: readonly CustodySpell[], i: number, { testedOn, until }: ShelfTime): boolean {
  const spell = spells[i]
  if (spell === undefined || !isUse(spell.kind) || spell.since > until) return false
  const laidByOn = spells[i + 1]?.since
  const sinceTheTest = i > 0 || spell.since > testedOn
  return sinceTheTest || laidByOn === undefined || laidByOn > until
}

/** A stick that passed without wax is on hold where a rule in force asks for wax. */
function notWaxed({ unwaxed }: StickState, rules: Rules, asked: readonly Requirement[]): Hold[] {
  if (unwaxed === undefined) return []
  const source = rules.waxing ?? asked.find(({ waxing }) => waxing !== undefined)?.waxing
  if (source === undefined) return []
  // a rule that asks for a test after waxing would else never be done with
  const beforeReadings = asked.some(({ stops }) => stops?.includes('waxed'))
  if (beforeReadings && unwaxed.waxedBefore) return []
  const { since, factId } = unwaxed
  return [holdFor.notWaxed({ since, factId }, source, beforeReadings)]
}

function releaseAwaited({ toBeReleased }: StickState, rules: Rules): Hold[] {
  if (toBeReleased === undefined || !rules.releaseAfterFailure) return []
  const { since, factId } = toBeReleased
  return [holdFor.releaseAwaited({ since, factId })]
}

/** Doubt never reads as `in service`: what the register and the policy leave open is a hold too. */
function standingDoubts(stick: Stick | undefined, rules: Rules, clocks: readonly Clock[]): Hold[] {
  if (!rules.entered) return [holdFor.policyMissing()]
  if (stick === undefined) return [holdFor.notRegistered()]
  if (stick.construction === 'wood' && rules.woodForbidden) return [holdFor.woodForbidden()]
  if (stick.primaryProtection && !clocks.some(({ evidence }) => evidence.includes('dry test')))
    return [holdFor.noRequirement(stick.construction)]
  return []
}

function statusOf(
  { state, day, rules }: StickOnDay,
  { holds, running, dueOn }: Grounds,
): Pick<Standing, 'status' | 'why'> {
  if (state.scrapped !== null) return { status: 'scrapped', why: { is: 'why scrapped' } }
  if (state.removed !== null) return { status: 'removed from service', why: { is: 'why removed' } }
  if (holds.length > 0) return { status: 'on hold', why: { is: 'why held' } }
  const unwound = running.find((clock) => clock.since === null)
  if (unwound !== undefined) {
    return { status: 'awaiting first test', why: { is: whyAwaited[dutyOf(unwound)] } }
  }
  if (dueOn === null) {
    // a stick that nobody tested or certified is not fit, though no rule asks for a test
    if (!isProven(state)) return { status: 'awaiting first test', why: { is: 'why never tested' } }
    return { status: 'in service', why: { is: 'why in service without a date' } }
  }
  const by = pressing(running, day)
  const duty = by === undefined ? 'test' : dutyOf(by)
  if (day > dueOn) return { status: 'overdue', why: { is: whyOverdue[duty], dueOn: by?.dueOn ?? dueOn } }
  if (day >= addDays(dueOn, -dueSoonDays(rules))) {
    return { status: 'due soon', why: { is: whyDueSoon[duty], dueOn } }
  }
  return { status: 'in service', why: { is: 'why in service', dueOn } }
}

const whyAwaited = { test: 'why not tested yet', look: 'why not looked over yet' } as const
const whyOverdue = { test: 'why overdue', look: 'why overdue, look' } as const
const whyDueSoon = { test: 'why due soon', look: 'why due soon, look' } as const
