/**
 * Time goes by from one thing that is due to the next, as schedules and queues would bring them. Whatever the index
 * shows nothing for is left out, and now and then it is run all the same, to see that it would have done nothing.
 */
import type { Item } from '../../functions/store/table.ts'
import type { Chance } from '../../seed/chance.ts'
import { hour, minute, type Service } from '../faults/service.ts'
import type { FakeTable } from '../support/fake-table.ts'
import * as fleet from './fleet.ts'
import { Broken, type Hearing, soonMillis } from './hearing.ts'
import { type Day, dayAt, hourAt, instantOn } from './model.ts'
import type { There } from './there.ts'

interface Around {
  readonly service: Service
  readonly table: FakeTable
  readonly there: There
  readonly heard: Hearing
  readonly chance: Chance
  readonly isAnythingAway: () => boolean
  readonly tally: { sweeps: number; idleSweeps: number }
}

const never = Number.POSITIVE_INFINITY
const zones = ['UTC', ...Object.values(fleet.depots).map(({ timeZone }) => timeZone)]
const places = [...Object.values(fleet.depots), { timeZone: 'UTC', sweepHour: 6 }]

export function clockwork({ service, table, there, heard, chance, isAnythingAway, tally }: Around) {
  const { now } = service
  /** of each stick the day on which somebody is to look at it, as the index shows it */
  const lookOn = new Map<string, Day>()
  /** what waits in the queues of the table, and from when on */
  const waiting = new Map<string, { readonly queue: string; readonly at: string }>()
  const appointments: { readonly at: number; readonly does: () => Promise<void> }[] = []
  let listsBehind = false
  /** as many items were written when a round last found nothing to do */
  let quietAt = -1
  /** the day on which what lies at no depot was last looked through */
  let lookedThroughOn: Day = ''
  let lastRound = 0
  let nextHour = now() + hour
  const days = new Map<string, Day>()

  function noteWritten(items: readonly Item[]): void {
    for (const item of items) {
      if (item.entity === 'stick') lookOn.set(String(item.stickId), String(item.nextTellOn ?? '9999').slice(0, 10))
      if (typeof item.queue === 'string') waiting.set(item.pk, { queue: item.queue, at: String(item.queueAt) })
      else waiting.delete(item.pk)
    }
  }

  const isDue = (queues: RegExp) =>
    [...waiting.values()].some(({ queue, at }) => queues.test(queue) && at <= service.clock())

  const isWaiting = () => isDue(/./) || !service.isIdle() || listsBehind

  /** What runs every few minutes, or as something is written. */
  async function round(): Promise<void> {
    await service.drain()
    if (isDue(/UNSENT|URGENT/)) await service.unsent()
    await service.hear()
    await service.drain()
    await service.tellUndelivered()
    if (listsBehind) await bringListsUp()
    if (isDue(/UNANSWERED|UNDELIVERED|STILLOWED/)) await service.followUp()
  }

  /** Until a run finds nothing to write. */
  async function bringListsUp(): Promise<void> {
    const before = table.written()
    const outcome = await service.reindex()
    listsBehind = outcome === null || !outcome.finished || table.written() !== before
  }

  const sweepHourOf = (depotId: string | null) => (depotId === null ? 6 : (fleet.depots[depotId]?.sweepHour ?? 0))

  /** Some depot whose morning has come has a stick of which somebody is to be told. */
  function isSomebodyToBeTold(): boolean {
    const latest = dayAt(now() + 14 * hour, 'UTC')
    return [...there.sticks.values()].some((stick) => {
      const on = lookOn.get(stick.id) ?? '9999'
      if (on > latest) return false
      const { zone, depotId, today } = there.placeOf(stick)
      return on <= today && hourAt(now(), zone) >= sweepHourOf(depotId)
    })
  }

  /** A day alone may change how a stick stands; its people hear of that in the morning. */
  function followDays(): void {
    const begun = zones.filter((zone) => days.get(zone) !== dayAt(now(), zone))
    for (const zone of begun) days.set(zone, dayAt(now(), zone))
    for (const stick of begun.length > 0 ? there.sticks.values() : []) {
      const { zone, depotId, today } = there.placeOf(stick)
      if (!begun.includes(zone)) continue
      const morning = instantOn(today, `${String(sweepHourOf(depotId)).padStart(2, '0')}:00`, zone)
      heard.lookAt(stick, Math.max(0, morning - now()) + soonMillis + hour)
    }
  }

  async function fullHour(): Promise<void> {
    if (places.some(({ timeZone, sweepHour }) => hourAt(now(), timeZone) === sweepHour)) quietAt = -1
    const isToTell = isSomebodyToBeTold()
    // of calibrations no index tells: they are looked through with what lies at no depot
    const isOfNoDepot = hourAt(now(), 'UTC') >= 6 && lookedThroughOn !== dayAt(now(), 'UTC')
    const isFresh = isToTell && table.written() !== quietAt
    if (!isFresh && !isOfNoDepot && chance() >= 1 / 150) return
    const before = table.written()
    const outcome = await service.sweep()
    tally.sweeps += 1
    const written = table.written() - before
    if (!isToTell && !isOfNoDepot) checkIdle(written)
    if (isOfNoDepot && outcome !== null && outcome.failed === 0) lookedThroughOn = dayAt(now(), 'UTC')
    // what waits for tomorrow does so until then
    quietAt = outcome !== null && outcome.failed === 0 && written === 0 ? before : -1
  }

  function checkIdle(written: number): void {
    tally.idleSweeps += 1
    if (written > 0) throw new Broken(`a sweep for which the index showed nothing due wrote ${written} items`)
  }

  /** Goes on to this instant, and does what comes due on the way. */
  async function walkTo(until: number): Promise<void> {
    for (;;) {
      const patience = isAnythingAway() ? 30 * minute : 5 * minute
      const roundAt = isWaiting() ? Math.max(now(), lastRound + patience) : never
      const next = Math.min(roundAt, appointments[0]?.at ?? never, nextHour)
      if (next > until) break
      service.until(next)
      followDays()
      if (next === appointments[0]?.at) await appointments.shift()?.does()
      else if (next === nextHour) {
        nextHour += hour
        await fullHour()
      } else {
        lastRound = now()
        await round()
      }
    }
    service.until(until)
    followDays()
  }

  return {
    noteWritten,
    isWaiting,
    walkTo,
    appoint(at: number, does: () => Promise<void>) {
      appointments.push({ at, does })
      appointments.sort((a, b) => a.at - b.at)
    },
    /** the rules, or where a crew is, have changed */
    listsAreBehind() {
      listsBehind = true
    },
  }
}
