/**
 * The day where a stick lies, the rules by which it is judged on a day, and how it stands there today. A stick lies
 * where `StoredStick.depotId` says, which is its crew's depot only while nothing else is recorded of it.
 */
import { type CalendarDate, type Instant, localDateAt, localTimeAt } from '../../shared-domain/calendar.ts'
import type { Rules } from '../../shared-domain/policy/rules.ts'
import { type Standing, standingOn } from '../../shared-domain/state/standing.ts'
import type { Organisation } from '../store/organisation.ts'
import type { StoredStick } from '../store/sticks.ts'

export interface OrganisationNow {
  readonly organisation: Organisation
  readonly now: Instant
}

export interface Today {
  /** the zone by whose clock the day is told */
  readonly zone: string
  readonly today: CalendarDate
}

/** The day at a depot; that of UTC where nobody knows where a stick lies. */
export async function todayAt({ organisation, now }: OrganisationNow, depotId: string | null): Promise<Today> {
  const zone = await organisation.zoneAt(depotId, now)
  return { zone, today: localDateAt(now, zone) }
}

/** The rules in force on that day, whenever they are asked for. */
export function rulesOn(organisation: Organisation, day: CalendarDate): Promise<Rules> {
  return organisation.rulesOn(day)
}

export interface StandsToday extends Today {
  readonly rules: Rules
  readonly standing: Standing
}

export async function standingToday(when: OrganisationNow, { depotId, state }: StoredStick): Promise<StandsToday> {
  const { zone, today } = await todayAt(when, depotId)
  const rules = await rulesOn(when.organisation, today)
  return { zone, today, rules, standing: standingOn(state, today, rules) }
}

/** The day where a stick lies; that of UTC where no such stick is known. It tells nobody whether there is one. */
export async function dayAtStick({ organisation, now }: OrganisationNow, stickId: string): Promise<CalendarDate> {
  const stored = await organisation.sticks.stored(stickId)
  return (await todayAt({ organisation, now }, stored?.depotId ?? null)).today
}

/** The day and the hour that the clock on the wall showed at an instant, where a stick lies now. */
export async function wallAtStick(
  { organisation, now }: OrganisationNow,
  stickId: string,
  at: Instant,
): Promise<{ readonly day: CalendarDate; readonly hour: string }> {
  const stored = await organisation.sticks.stored(stickId)
  const { zone } = await todayAt({ organisation, now }, stored?.depotId ?? null)
  return { day: localDateAt(at, zone), hour: localTimeAt(at, zone) }
}
