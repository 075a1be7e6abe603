/**
 * Instruments: until when their calibration counts, how they read what is known, and the tests that were judged with
 * them. Instruments belong to no depot, so their day is the register's own, which is that of UTC.
 */
import { type CheckChart, checkCharts, daysWithoutCheck } from '../../shared-domain/bench-test/check-charts.ts'
import { type CheckBesideProcedure, checksBeside } from '../../shared-domain/bench-test/check-readings.ts'
import { calibratedThrough } from '../../shared-domain/bench-test/trust.ts'
import type { CalendarDate } from '../../shared-domain/calendar.ts'
import { notTakenBack } from '../../shared-domain/in-force.ts'
import type { Instrument } from '../../shared-domain/registers.ts'
import { may } from '../../shared-domain/rights.ts'
import { asKnownNow } from '../../shared-domain/state/known-now.ts'
import { notFound } from '../ground/errors.ts'
import type { Edition } from '../store/registers.ts'
import type { Tested } from '../store/sticks.ts'
import type { Asker } from './asker.ts'
import { checkRole } from './rights.ts'
import { rulesOn, todayAt } from './today.ts'

export interface InstrumentToday {
  readonly id: string
  /** the entry as it is today */
  readonly body: Instrument
  readonly today: CalendarDate
  /** the day of its last calibration by today; null where none is recorded by then */
  readonly calibratedOn: CalendarDate | null
  /** the last day on which tests with it count, or counted; null where no calibration is recorded by today */
  readonly through: CalendarDate | null
  readonly isIn: boolean
}

/** Those out of calibration first, the longest out first; of the others the soonest to run out. */
export async function instrumentsFor(asker: Asker): Promise<InstrumentToday[]> {
  checkRole(asker.caller, 'read instruments')
  const { today } = await todayAt(asker, null)
  const known = await asker.organisation.registers.allInForce('instrument', today)
  const all = await Promise.all(known.map(async ({ id, body }) => (await onDay(asker, { id, body, today })).instrument))
  return all.sort((a, b) => (orderOf(a) < orderOf(b) ? -1 : 1))
}

const orderOf = ({ isIn, through, id }: InstrumentToday) => `${isIn ? 1 : 0} ${through ?? ''} ${id}`

interface OnDay {
  readonly instrument: InstrumentToday
  readonly editions: readonly Edition<Instrument>[]
}

async function onDay(
  { organisation }: Asker,
  { id, body, today }: { readonly id: string; readonly body: Instrument; readonly today: CalendarDate },
): Promise<OnDay> {
  const [kept, { calibrationCap }] = await Promise.all([
    organisation.registers.editions('instrument', id),
    rulesOn(organisation, today),
  ])
  const editions = notTakenBack(kept)
  const bodies = editions.map((edition) => edition.body)
  const through = calibratedThrough(bodies, today, calibrationCap)
  const calibratedOn = lastCalibrated(bodies, today)
  const isIn = through !== null && through >= today
  return { instrument: { id, body, today, calibratedOn, through, isIn }, editions }
}

function lastCalibrated(bodies: readonly Instrument[], today: CalendarDate): CalendarDate | null {
  const begun = bodies.map(({ calibratedOn }) => calibratedOn).filter((on) => on <= today)
  return begun.sort().at(-1) ?? null
}

export interface InstrumentSheet extends InstrumentToday {
  /** calibrations, the newest first, each by the last edition that tells of it */
  readonly calibrations: readonly Edition<Instrument>[]
}

export async function instrumentSheetFor(asker: Asker, id: string): Promise<InstrumentSheet> {
  checkRole(asker.caller, 'read instruments')
  const { today } = await todayAt(asker, null)
  const known = await asker.organisation.registers.inForce('instrument', id, today)
  if (known === undefined) throw notFound({ is: 'none: entry', entry: 'instrument', id })
  const { instrument, editions } = await onDay(asker, { id, body: known.body, today })
  const byPeriod = new Map(editions.map((one) => [`${one.body.calibratedOn} ${one.body.calibrationDueOn}`, one]))
  const calibrations = [...byPeriod].sort(([a], [b]) => (a < b ? 1 : -1)).map(([, edition]) => edition)
  return { ...instrument, calibrations }
}

/** A test with an instrument, as it is known by now. */
export interface TestWith {
  readonly place: string
  readonly stickId: string
  readonly fact: Tested
  readonly checks: readonly CheckBesideProcedure[]
  /** true where the caller may read the test's stick */
  readonly isSeen: boolean
}

export interface TestsWith {
  readonly tests: readonly TestWith[]
  /** the place to go on after; null when there is no more */
  readonly next: string | null
}

/** A stick's history is read for each test: a verdict may be another by now. */
const mostTests = 50

/** Tests with the instrument, the newest day first, from after a place on, or from it on. */
export async function testsWith(
  asker: Asker,
  { id, ...range }: { readonly id: string; readonly limit: number } & ({ readonly after: string } | { from: string }),
): Promise<TestsWith> {
  checkRole(asker.caller, 'read instruments')
  const { organisation } = asker
  if (!(await organisation.registers.has('instrument', id)))
    throw notFound({ is: 'none: entry', entry: 'instrument', id })
  const limit = Math.min(range.limit, mostTests)
  const [from, seen] = 'from' in range ? [range.from, ''] : [range.after, range.after]
  // the last one seen lies at the head of what is read
  const read = await organisation.sticks.testPlaces(id, { from: from === '' ? '~' : from, limit: limit + 2 })
  const left = read.places.filter(({ place }) => place !== seen)
  const places = left.slice(0, limit)
  const sticks = await sticksOf(asker, [...new Set(places.map(({ stickId }) => stickId))])
  const tests = places.map(async ({ place, stickId, seq }): Promise<TestWith[]> => {
    const { facts, isSeen } = sticks.get(stickId) ?? { facts: [], isSeen: false }
    const fact = facts.find((one) => one.seq === seq)
    // the index may show for a moment what is a slip by now
    if (fact === undefined) return []
    return [{ place, stickId, fact, checks: await checksOf(asker, fact), isSeen }]
  })
  const isAll = left.length <= limit && read.isAll
  return { tests: (await Promise.all(tests)).flat(), next: isAll ? null : (places.at(-1)?.place ?? null) }
}

async function sticksOf({ organisation, caller }: Asker, stickIds: readonly string[]) {
  const known = new Map((await organisation.sticks.known(stickIds)).map((one) => [one.stickId, one]))
  const read = stickIds.map(async (stickId) => {
    const facts = asKnownNow(await organisation.sticks.facts(stickId)).filter((one) => one.kind === 'tested')
    const stick = known.get(stickId)
    const subject = stick && { crewId: stick.state.crewId, depotId: stick.depotId }
    return [stickId, { facts, isSeen: subject !== undefined && may(caller, 'read a stick', subject) }] as const
  })
  return new Map(await Promise.all(read))
}

async function checksOf({ organisation }: Asker, { test, pinned }: Tested): Promise<CheckBesideProcedure[]> {
  const editions = await organisation.registers.editions('procedure', test.procedureId)
  const procedure = editions.find(({ edition }) => edition === pinned.procedureEdition)?.body
  if (procedure === undefined)
    throw new Error(`procedure ${test.procedureId}: an edition that judged a test is missing`)
  return checksBeside(test, procedure)
}

export interface ChartsOf {
  /** the day of the calibration from which readings are charted; null where none is recorded by today */
  readonly since: CalendarDate | null
  readonly charts: readonly CheckChart[]
  readonly daysWithoutCheck: number
  /** false where there are more tests since then than are looked at */
  readonly isAll: boolean
}

/** A bench that tests thirty sticks a day shows twenty days by so many. */
export const mostCharted = 600

/**
 * Control charts of an instrument's checks since it was last calibrated: what it read before that day may have been put
 * right there.
 */
export async function chartsOf(asker: Asker, id: string): Promise<ChartsOf> {
  checkRole(asker.caller, 'read instruments')
  const { organisation } = asker
  const { today } = await todayAt(asker, null)
  const editions = notTakenBack(await organisation.registers.editions('instrument', id))
  const since = lastCalibrated(
    editions.map(({ body }) => body),
    today,
  )
  const { tests, isAll } = await organisation.sticks.newestTestsFrom(id, { from: since, most: mostCharted })
  const checked = await Promise.all(
    tests.map(async (fact) => ({
      occurredOn: fact.occurredOn,
      ...(fact.at === undefined ? {} : { at: fact.at }),
      checks: await checksOf(asker, fact),
    })),
  )
  return { since, charts: checkCharts(checked), daysWithoutCheck: daysWithoutCheck(checked), isAll }
}

/** Answers whether an earlier answer can have named this place. */
export function isPlaceOfTest(place: string): boolean {
  return /^\d{4}-\d{2}-\d{2}#[\w.-]{1,64}#\d{1,9}$/.test(place)
}

export interface CheckReading extends CheckBesideProcedure {
  readonly of: Pick<TestWith, 'stickId' | 'fact' | 'isSeen'>
}

export interface ChecksWith {
  readonly checks: readonly CheckReading[]
  readonly next: string | null
}

/** Check readings, those of the newest test first and in a test as they were recorded. */
export async function checksWith(
  asker: Asker,
  { id, after, limit }: { readonly id: string; readonly after: string; readonly limit: number },
): Promise<ChecksWith> {
  const [from, seen] = partsOf(after)
  const { tests, next } = await testsWith(asker, { id, from, limit: mostTests })
  const all = tests.flatMap(({ place, checks, ...of }) =>
    checks.map((one, i) => ({ reading: { ...one, of }, place, number: i })),
  )
  const left = all.filter(({ place, number }) => place !== from || number > seen)
  const shown = left.slice(0, limit)
  const last = shown.at(-1)
  const isAll = shown.length === left.length
  const end = isAll ? (next === null ? null : endOf(next)) : last && placeOfCheck(last)
  return { checks: shown.map(({ reading }) => reading), next: end ?? null }
}

const placeOfCheck = ({ place, number }: { readonly place: string; readonly number: number }) => `${place}#${number}`

/** A test has fewer checks than this. */
const endOf = (place: string) => placeOfCheck({ place, number: 999 })

function partsOf(after: string): [place: string, number: number] {
  const at = after.lastIndexOf('#')
  return after === '' ? ['', -1] : [after.slice(0, at), Number(after.slice(at + 1))]
}

export function isPlaceOfCheck(place: string): boolean {
  const [test, number] = partsOf(place)
  return isPlaceOfTest(test) && Number.isSafeInteger(number)
}
