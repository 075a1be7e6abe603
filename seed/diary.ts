/** The life of one stick, written down as the requests that record it. Days are counted back from the start. */
import type { BenchTest } from '../shared-domain/bench-test/bench-test.ts'
import { addDays, type CalendarDate, daysBetween } from '../shared-domain/calendar.ts'
import type { CorrectiveStep, Defect, Destination, Use } from '../shared-domain/fact-bodies.ts'
import { benchTestOf, instrumentFor, type TestChange } from './bench.ts'
import { uuidOf } from './chance.ts'
import { type DemoStick, demoCrews, type InstrumentId, testerAt } from './fleet.ts'
import type { Blemish } from './readings.ts'

export type SeedRole = 'crew' | 'bench' | 'manager' | 'manager-2' | 'owner'

export interface SeedRequest {
  /** the day on which it happened or was over, or from which an entry holds */
  readonly on: CalendarDate
  readonly method: 'PUT' | 'POST'
  readonly path: string
  readonly body: object
  readonly role: SeedRole
}

interface TestPlan {
  readonly reason?: BenchTest['reason']
  readonly instrumentId?: InstrumentId
  readonly blemishes?: readonly Blemish[]
  readonly change?: TestChange
}

/** What is written of a stick so far, and where the stick is by then. */
interface Pages {
  readonly stick: DemoStick
  readonly startDay: CalendarDate
  readonly requests: SeedRequest[]
  crewId: string
  inServiceSince: CalendarDate
}

export type Diary = ReturnType<typeof openDiary>

export function openDiary(stick: DemoStick, startDay: CalendarDate) {
  const pages: Pages = { stick, startDay, requests: [], crewId: stick.crewId, inServiceSince: startDay }
  const move = (days: number, to: Destination, note?: string) => {
    const role = to === 'missing' ? fromUse(pages) : 'bench'
    post(pages, 'moves', { days, role, body: { to, ...(note === undefined ? {} : { note }) } })
  }
  return {
    stick,
    requests: pages.requests,
    enter: (days: number, boughtBefore: number) => enter(pages, days, boughtBefore),
    test: (days: number, plan: TestPlan = {}) => test(pages, days, plan),
    move,
    toBench: (days: number) => move(days, { bench: depotOf(pages) }),
    toStore: (days: number) => move(days, { store: depotOf(pages) }),
    toCrew: (days: number) => move(days, { crewId: pages.crewId }),
    toOtherCrew: (days: number, other: string) => {
      pages.crewId = other
      move(days, { crewId: other })
    },
    lend: (days: number, lentTo: string, returnDays: number) =>
      move(days, { lentTo, returnBy: addDays(startDay, -returnDays) }),
    step: (days: number, kind: CorrectiveStep['kind'], note?: string) => {
      const body = { kind, by: testerAt(depotOf(pages)), ...(note === undefined ? {} : { note }) }
      post(pages, 'corrective-steps', { days, role: 'bench', body })
    },
    use: (days: number, lasted = 1, conditions: Use['conditions'] = []) => {
      const over = Math.min(lasted, days)
      post(pages, 'uses', { days, role: fromUse(pages), body: { days: over, conditions }, lasted: over })
    },
    release: (days: number) => post(pages, 'releases', { days, role: 'manager', body: {} }),
    defect: (days: number, kind: Defect['kind'], note: string) =>
      post(pages, 'defects', { days, role: fromUse(pages), body: { kind, note } }),
  }
}

const pathOf = ({ stick }: Pages) => `/v1/sticks/${stick.id}`
const ago = ({ startDay }: Pages, days: number) => workday(addDays(startDay, -days))
const depotOf = ({ crewId }: Pages) => demoCrews[crewId]?.depotId ?? 'DEP-1'
const keyIn = ({ stick, requests }: Pages) => `${stick.id} ${requests.length}`
// the crew that can sign in writes for itself, the bench for all others
const fromUse = ({ crewId }: Pages): SeedRole => (crewId === 'CR-1' ? 'crew' : 'bench')

/** Events of one day come one after the other. */
function hourAfter({ requests }: Pages, on: CalendarDate, atTheEarliest = '07:10'): string {
  const hours = requests.flatMap((one) => (one.on === on && 'at' in one.body ? [String(one.body.at)] : []))
  const last = hours.sort().at(-1)
  return last === undefined || last < atTheEarliest ? atTheEarliest : laterBy(25, last)
}

/** An event so many days ago. `lasted`: what goes on for days is recorded once it is over. */
interface Event {
  readonly days: number
  readonly role: SeedRole
  readonly body: object
  readonly lasted?: number
}

function post(pages: Pages, door: string, { days, role, body, lasted = 1 }: Event): void {
  const occurredOn = ago(pages, days)
  pages.requests.push({
    on: addDays(occurredOn, lasted - 1),
    method: 'POST',
    path: `${pathOf(pages)}/${door}`,
    body: { factId: uuidOf(keyIn(pages)), occurredOn, at: hourAfter(pages, occurredOn), ...body },
    role,
  })
}

/** The stick comes onto the register, bought so many days before. */
function enter(pages: Pages, days: number, boughtBefore: number): void {
  const on = ago(pages, days)
  const inServiceSince = addDays(on, -boughtBefore)
  pages.inServiceSince = inServiceSince
  const { id: _, ...entry } = pages.stick
  const body = { ...entry, inServiceSince, effectiveFrom: on }
  pages.requests.push({ on, method: 'PUT', path: pathOf(pages), body, role: 'manager' })
}

function test(
  pages: Pages,
  days: number,
  { reason = 'periodic', instrumentId, blemishes = [], change }: TestPlan,
): void {
  const { stick, startDay, inServiceSince } = pages
  const testedOn = ago(pages, days)
  const sound = benchTestOf({
    stick,
    testedOn,
    testedBy: testerAt(depotOf(pages)),
    key: keyIn(pages),
    reason,
    yearsInService: daysBetween(inServiceSince, testedOn) / 365.25,
    instrumentId: instrumentId ?? instrumentFor(stick, testedOn, (back) => addDays(startDay, -back)),
    blemishes,
  })
  const body = { ...sound, at: hourAfter(pages, testedOn, sound.at) }
  pages.requests.push({
    on: testedOn,
    method: 'POST',
    path: `${pathOf(pages)}/bench-tests`,
    body: change === undefined ? body : change(body),
    role: 'bench',
  })
}

function laterBy(minutes: number, hour: string): string {
  const [hours = 0, past = 0] = hour.split(':').map(Number)
  const all = hours * 60 + past + minutes
  return [Math.floor(all / 60), all % 60].map((part) => String(part).padStart(2, '0')).join(':')
}

/** Benches work from Monday to Friday: a weekend's entry is the Friday's before. */
function workday(day: CalendarDate): CalendarDate {
  const afterMonday = ((daysBetween('2024-01-01' as CalendarDate, day) % 7) + 7) % 7
  return afterMonday < 5 ? day : addDays(day, 4 - afterMonday)
}
