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

export type Diary = ReturnType<typeof openDiary>

export function openDiary(stick: DemoStick, startDay: CalendarDate) {
  const requests: SeedRequest[] = []
  const path = `/v1/sticks/${stick.id}`
  const ago = (days: number) => workday(addDays(startDay, -days))
  let crewId: string = stick.crewId
  let inServiceSince = startDay

  const depot = () => demoCrews[crewId]?.depotId ?? 'DEP-1'
  const key = () => `${stick.id} ${requests.length}`
  // the crew that can sign in writes for itself, the bench for all others
  const fromUse = (): SeedRole => (crewId === 'CR-1' ? 'crew' : 'bench')

  /** Events of one day come one after the other. */
  function hourAfter(on: CalendarDate, atTheEarliest = '07:10'): string {
    const hours = requests.flatMap((one) => (one.on === on && 'at' in one.body ? [String(one.body.at)] : []))
    const last = hours.sort().at(-1)
    return last === undefined || last < atTheEarliest ? atTheEarliest : laterBy(25, last)
  }

  /** `lasted`: what goes on for days is recorded once it is over. */
  function post(days: number, door: string, role: SeedRole, body: object, lasted = 1): void {
    requests.push({
      on: addDays(ago(days), lasted - 1),
      method: 'POST',
      path: `${path}/${door}`,
      body: { factId: uuidOf(key()), occurredOn: ago(days), at: hourAfter(ago(days)), ...body },
      role,
    })
  }

  /** The stick comes onto the register, bought so many days before. */
  function enter(days: number, boughtBefore: number): void {
    inServiceSince = addDays(ago(days), -boughtBefore)
    const { id: _, ...entry } = stick
    const body = { ...entry, inServiceSince, effectiveFrom: ago(days) }
    requests.push({ on: ago(days), method: 'PUT', path, body, role: 'manager' })
  }

  function test(days: number, { reason = 'periodic', instrumentId, blemishes = [], change }: TestPlan = {}): void {
    const testedOn = ago(days)
    const sound = benchTestOf({
      stick,
      testedOn,
      testedBy: testerAt(depot()),
      key: key(),
      reason,
      yearsInService: daysBetween(inServiceSince, testedOn) / 365.25,
      instrumentId: instrumentId ?? instrumentFor(stick, testedOn, (back) => addDays(startDay, -back)),
      blemishes,
    })
    const body = { ...sound, at: hourAfter(testedOn, sound.at) }
    requests.push({
      on: testedOn,
      method: 'POST',
      path: `${path}/bench-tests`,
      body: change === undefined ? body : change(body),
      role: 'bench',
    })
  }

  const move = (days: number, to: Destination, note?: string) =>
    post(days, 'moves', to === 'missing' ? fromUse() : 'bench', { to, ...(note === undefined ? {} : { note }) })

  return {
    stick,
    requests,
    enter,
    test,
    move,
    toBench: (days: number) => move(days, { bench: depot() }),
    toStore: (days: number) => move(days, { store: depot() }),
    toCrew: (days: number) => move(days, { crewId }),
    toOtherCrew: (days: number, other: string) => {
      crewId = other
      move(days, { crewId })
    },
    lend: (days: number, lentTo: string, returnDays: number) =>
      move(days, { lentTo, returnBy: addDays(startDay, -returnDays) }),
    step: (days: number, kind: CorrectiveStep['kind'], note?: string) =>
      post(days, 'corrective-steps', 'bench', { kind, by: testerAt(depot()), ...(note === undefined ? {} : { note }) }),
    use: (days: number, lasted = 1, conditions: Use['conditions'] = []) => {
      const over = Math.min(lasted, days)
      post(days, 'uses', fromUse(), { days: over, conditions }, over)
    },
    release: (days: number) => post(days, 'releases', 'manager', {}),
    defect: (days: number, kind: Defect['kind'], note: string) => post(days, 'defects', fromUse(), { kind, note }),
  }
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
