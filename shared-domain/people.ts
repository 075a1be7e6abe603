/**
 * People on their register over time: from when they count and until when, and on which day nobody would own the
 * organisation.
 */
import { addDays, type CalendarDate, type Instant, localDateAt } from './calendar.ts'
import { inForce } from './in-force.ts'
import type { Person } from './registers.ts'
import type { RightsHolder as WithRights } from './rights.ts'

/** An edition of somebody's entry. */
export interface PersonEdition {
  readonly effectiveFrom: CalendarDate
  readonly recordedAt: Instant
  readonly body: Pick<Person, 'role' | 'until'>
}

/** The last day is still one of theirs. */
export function hasEnded<Entry extends Pick<Person, 'until'>>(
  entry: Entry,
  day: CalendarDate,
): entry is Entry & { readonly until: CalendarDate } {
  return entry.until !== undefined && entry.until < day
}

/** An entry covers days before its own only where its own day had come when it was made. */
export function hasBegun({ effectiveFrom, recordedAt }: Omit<PersonEdition, 'body'>, day: CalendarDate): boolean {
  return effectiveFrom <= day || effectiveFrom <= localDateAt(recordedAt, 'UTC')
}

export function isOn(entered: PersonEdition, day: CalendarDate): boolean {
  return hasBegun(entered, day) && !hasEnded(entered.body, day)
}

export function rightsOf({ role, depots, crewId }: Pick<Person, 'role' | 'depots' | 'crewId'>): WithRights {
  return { role, depots, crewId: crewId ?? null }
}

/** Somebody as an organisation knows them. */
export interface KnownPerson {
  readonly personId: string
  /** the name, where the person has an entry */
  readonly name?: string | undefined
}

/** A tester may be written down by name alone: in doubt somebody who has that name is the one. */
export function isAmong(
  { personId, name }: KnownPerson,
  all: readonly (string | { readonly personId: string })[],
): boolean {
  const names = [personId, name ?? personId].map(asRead)
  return all.some((one) => (typeof one === 'string' ? names.includes(asRead(one)) : one.personId === personId))
}

const asRead = (name: string) => name.normalize('NFKC').trim().replaceAll(/\s+/g, ' ').toLowerCase()

/** Everybody's editions: those of today and those to come, each person's in the order in which they take effect. */
type Everybody = readonly (readonly PersonEdition[])[]

export interface PeopleChange {
  readonly before: Everybody
  readonly after: Everybody
}

/** The first day from today on that a change leaves without an owner, though the day had one. */
export function ownerlessOn({ before, after }: PeopleChange, today: CalendarDate): CalendarDate | null {
  const days = daysOfChange([...before, ...after], today)
  return days.find((day) => isOwned(before, day) && !isOwned(after, day)) ?? null
}

function isOwned(people: Everybody, day: CalendarDate): boolean {
  return people.some((editions) => {
    const present = inForce(editions, day)
    return present?.body.role === 'owner' && isOn(present, day)
  })
}

const lastDay = '9999-12-31'

/** The days on which anything changes: nothing does between two of them. */
function daysOfChange(people: Everybody, today: CalendarDate): CalendarDate[] {
  const days = people
    .flat()
    .flatMap(({ effectiveFrom, body: { until } }) => [
      effectiveFrom,
      ...(until === undefined || until >= lastDay ? [] : [addDays(until, 1)]),
    ])
  return [...new Set([today, ...days.filter((day) => day > today)])].sort()
}

/**
 * The last day on which one of somebody's editions binds that fits, from today on; null where none does, and
 * `without an end`. The editions are those of today and those to come.
 */
export function bindsThrough<One extends PersonEdition>(
  editions: readonly One[],
  fits: (one: One) => boolean,
  today: CalendarDate,
): CalendarDate | 'without an end' | null {
  let last: CalendarDate | null = null
  for (const [place, one] of editions.entries()) {
    const next = editions[place + 1]
    const { until } = one.body
    const ends = [...(until === undefined ? [] : [until]), ...(next ? [addDays(next.effectiveFrom, -1)] : [])].sort()[0]
    if (!fits(one)) continue
    if (ends === undefined || ends >= lastDay) return 'without an end'
    if (ends >= today && ends >= one.effectiveFrom && (last === null || ends > last)) last = ends
  }
  return last
}
