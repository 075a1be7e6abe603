/**
 * The instant at which a fact happened. Its day and hour are those of the clock where the stick was then. A time that
 * is not known for certain is read twice: as early as it can have been where it speaks for a stick, as late as it can
 * have been where it speaks against it.
 */
import {
  addSeconds,
  type CalendarDate,
  endOfDay,
  type Instant,
  instantsAt,
  isCalendarDate,
  localDateAt,
  startOfDay,
} from '../calendar.ts'
import { knownSince, type RecordedFact, seatOf, speaks, type Within } from '../facts.ts'

/** A stay by the clock of one depot, until the next stay begins, or for as long as it may have lasted. */
export interface Stay {
  readonly zone: string
  /** empty: the stay goes back as far as anything is known of the stick */
  readonly since: Instant | ''
  readonly until?: Instant
}

export interface Stated {
  readonly day: string
  readonly at?: string | undefined
  /** seconds by which the clock that was read may run ahead of ours; as many as of one at the bench, unless said */
  readonly aheadSeconds?: number | undefined
}

/** Faults of a stated time: a day still to come, an hour still to come, an hour that the day does not have. */
export type TimeFault = 'no such day' | 'day to come' | 'hour to come' | 'no such hour'

export interface When {
  readonly within: Within
  /** the zone of the clock that was read; of several the last */
  readonly zone: string
  readonly today: CalendarDate
  readonly fault: TimeFault | null
}

/** A clock at the bench may run ahead of ours by ten minutes: the house's own figure. */
const bench = { aheadSeconds: 600 }

/**
 * `stays` are in order of time; `now` is the instant of recording. A report of danger may not lie ahead at all: whoever
 * keeps it has it stand at the hour of its recording then.
 */
export function whenOf(
  { day, at, aheadSeconds = bench.aheadSeconds }: Stated,
  stays: readonly Stay[],
  now: Instant,
): When {
  const spells = spellsOf(stays)
  const home = spells.at(-1)?.zone ?? 'UTC'
  const atRecording = (fault: TimeFault, today = localDateAt(now, home)): When => ({
    within: { earliest: now, latest: now },
    zone: home,
    today,
    fault,
  })
  if (!isCalendarDate(day)) return atRecording('no such day')
  if (spells.every(({ zone }) => day > localDateAt(now, zone))) return atRecording('day to come')
  const here = spells.filter((spell) => overlaps(spell, startOfDay(day, spell.zone), endOfDay(day, spell.zone)))
  // a stick that came back over the date line was tested where it was already tomorrow
  const begun = (here.length > 0 ? here : spells).filter(({ zone }) => day <= localDateAt(now, zone))
  const zone = begun.at(-1)?.zone
  if (zone === undefined) return atRecording('day to come')
  const today = localDateAt(now, zone)
  if (at === undefined) {
    const earliest = least(begun.map((spell) => startOfDay(day, spell.zone)))
    const latest = most(begun.map((spell) => least([endOfDay(day, spell.zone), now])))
    return { within: { earliest, latest }, zone, today, fault: null }
  }
  const readings = begun.flatMap((spell) => instantsAt(day, at, spell.zone).map((instant) => ({ instant, spell })))
  if (readings.length === 0) return atRecording('no such hour', today)
  const fitting = readings.filter(({ instant, spell }) => overlaps(spell, instant, instant))
  const possible = (fitting.length > 0 ? fitting : readings).map(({ instant }) => instant)
  const come = possible.filter((instant) => instant <= addSeconds(now, aheadSeconds))
  if (come.length === 0) return atRecording('hour to come', today)
  return { within: { earliest: least(come), latest: most(come) }, zone, today, fault: null }
}

interface Spell {
  readonly zone: string
  readonly from: string
  readonly to: string
}

/** A spell lasts until the next begins; the instant of the move belongs to both. */
function spellsOf(stays: readonly Stay[]): Spell[] {
  const known: readonly Stay[] = stays.length > 0 ? stays : [{ zone: 'UTC', since: '' }]
  return known.map(({ zone, since, until }, i) => ({
    zone,
    from: i === 0 ? '' : since,
    to: until ?? known[i + 1]?.since ?? '~',
  }))
}

function overlaps({ from, to }: Spell, first: Instant, last: Instant): boolean {
  return first <= to && last >= from
}

/**
 * The stays as far as today, with the clock where the stick is now. Nobody recorded when a crew's depot changed, so
 * both clocks may have been its own.
 */
export function staysThrough(stays: readonly Stay[], zone: string, lastFact: Instant | undefined): readonly Stay[] {
  const last = stays.at(-1)
  if (last === undefined) return [{ zone, since: '' }]
  if (last.zone === zone) return stays
  const open = { ...last, until: '~' as Instant }
  return [...stays.slice(0, -1), open, { zone, since: lastFact ?? last.since }]
}

const byTime = (all: readonly Instant[]) => [...all].sort()
const least = (all: readonly Instant[]) => byTime(all)[0] as Instant
const most = (all: readonly Instant[]) => byTime(all).at(-1) as Instant

/** A place in the order of a stick's facts. */
export interface Position {
  readonly instant: Instant
  /** the order among facts of one instant: what speaks against a stick stands last, and what mends it before that */
  readonly rank: number
  /** order of recording */
  readonly seq: number
}

const ranks = { for: 0, changes: 0, mends: 1, against: 2 } as const

/**
 * A fact that speaks for a stick stands as early as it can have happened, and had happened by the time it was recorded.
 * All other facts stand as late as they can have happened. A fact that clears is thus proved to be later than what it
 * clears.
 *
 * Hours are stated in minutes: a report of the minute of a test's recording is not taken for older than the test. The
 * first entry on the register stands before all that is known of its day.
 */
export function positionOf(fact: RecordedFact): Position {
  const { within } = fact
  const seq = seatOf(fact)
  const side = speaks(fact)
  const early = side === 'for' || (fact.kind === 'registered' && seq === 1)
  const instant = early ? least([within.earliest, minuteOf(knownSince(fact))]) : within.latest
  return { instant, rank: ranks[side], seq }
}

const minuteOf = (instant: Instant) => `${instant.slice(0, 16)}:00.000Z` as Instant

/**
 * A move that is recorded late shows that hours stated meanwhile were read by the wrong clock. Each fact keeps every
 * reading: the one of its recording, and those by the clocks under which the stick is known to have been by now.
 * @lintignore held to its readings by themselves
 */
export function readAnew(facts: readonly RecordedFact[]): readonly RecordedFact[] {
  const moves = facts
    .filter((fact) => fact.clockAfter !== undefined)
    .map((fact) => ({ fact, place: positionOf(fact) }))
    .sort((a, b) => comparePositions(a.place, b.place))
  const stays = moves.reduce<readonly Stay[]>((so, { fact, place }) => stayedIn(so, fact.clockAfter, place.instant), [])
  if (stays.length < 2) return facts
  return facts.map((fact) => {
    const read = whenOf({ day: fact.occurredOn, at: fact.at }, stays, knownSince(fact))
    if (read.fault !== null) return fact
    const earliest = least([fact.within.earliest, read.within.earliest])
    // something that lasted ends on another day than it began
    const latest = fact.kind === 'used' ? fact.within.latest : most([fact.within.latest, read.within.latest])
    return { ...fact, within: { earliest, latest } }
  })
}

/** The most stays kept are far more than any stick goes through: a stick that moves on and on stays readable. */
const mostStays = 100

export function stayedIn(stays: readonly Stay[], zone: string | undefined, since: Instant): readonly Stay[] {
  if (zone === undefined || stays.at(-1)?.zone === zone) return stays
  return [...stays, { zone, since }].slice(-mostStays)
}

export function comparePositions(a: Position, b: Position): number {
  if (a.instant !== b.instant) return a.instant < b.instant ? -1 : 1
  return a.rank - b.rank || a.seq - b.seq
}

/** A fact, and where it belongs in time. */
export interface FactInTime {
  readonly fact: RecordedFact
  readonly place: Position
}

/** Facts in order of time, in whatever order they come. */
export function inOrder(facts: readonly RecordedFact[]): FactInTime[] {
  return readAnew(facts)
    .map((fact) => ({ fact, place: positionOf(fact) }))
    .sort((a, b) => comparePositions(a.place, b.place))
}
