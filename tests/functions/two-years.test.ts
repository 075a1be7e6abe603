/**
 * The reminders of two years for the demo fleet, held to a count of its own: day by day, in the plain words of the
 * policy, with luxon for the dates and nothing of the product but its answers on the first day.
 */
import { DateTime } from 'luxon'
import { beforeAll, describe, expect, test } from 'vitest'
import type { Notice } from '../../functions/store/notices.ts'
import type { Item } from '../../functions/store/table.ts'
import { sweep } from '../../functions/sweep/sweep.ts'
import { demoCrews, demoHumans } from '../../seed/fleet.ts'
import { loadDemo } from '../../seed/load.ts'
import { sampled } from '../support/tier.ts'
import { day } from '../support/trade.ts'
import { type House, openHouse, type Who } from './house.ts'

const zones = ['America/St_Johns', 'Asia/Kathmandu', 'Australia/Lord_Howe', 'Europe/Berlin']
const startDay = '2026-03-02'
const days = 730

let loaded: readonly Item[]
let sticks: readonly {
  stickId: string
  status: string
  dueOn: string | null
  crewId: string | null
  depotId: string
  custody: { returnBy: string } | Record<never, never> | null
}[]
beforeAll(async () => {
  const house = openHouse([], '2023-01-01T12:00:00.000Z')
  await house.done('PUT', '/v1/policies/employer', { packs: ['us-29-cfr-1910-269-j'], effectiveFrom: '2020-01-01' })
  for (const role of ['manager', 'bench', 'crew', 'owner']) {
    const person = { name: role, email: `${role}@demo-utility.example`, role, depots: role === 'crew' ? [] : ['*'] }
    await house.done('PUT', `/v1/people/${role}`, { ...person, ...(role === 'crew' ? { crewId: 'CR-1' } : {}) })
  }
  await loadDemo({
    call: async ({ role, method, path, body }) => {
      // what the manager proposes the owner approves here: of the managers there is one
      const who = role === 'manager-2' ? 'owner' : role
      const { status, json } = await house.call(method, path, body, who as Who)
      return { status, body: json }
    },
    setClock: async (instant) => house.at(instant),
    startDay: day(startDay),
  })
  loaded = house.table.items()
  sticks = await wholeRoster(house)
}, 300_000)

async function wholeRoster(house: House) {
  const found = []
  for (let query = ''; ; ) {
    const { json } = await house.done('GET', `/v1/roster?limit=200${query}`)
    found.push(...json.items)
    if (json.next === null) return found
    query = `&cursor=${json.next}`
  }
}

/** Who has the mail of a crew: its people with an address. Where there is none, the managers of its depot. */
const mailOf = (crewId: string) =>
  demoHumans.flatMap(({ email, work }) => ('crewId' in work && work.crewId === crewId && email ? [email] : []))
const managersOf = (depotId: string) => [
  'manager@demo-utility.example',
  ...demoHumans.flatMap(({ email, work }) =>
    'staff' in work && work.staff === 'manager' && work.depots.includes(depotId) && email ? [email] : [],
  ),
]

const owner = 'owner@demo-utility.example'

/** Sixty, thirty, fourteen, seven and one days before, on the day, the day after, then every week. */
function isSpokenOfOn(dueOn: DateTime, on: DateTime): boolean {
  const left = dueOn.diff(on, 'days').days
  return [60, 30, 14, 7, 1, 0, -1].includes(left) || (left < 0 && left % 7 === 0)
}

/** Lent out, and to be back by then: the day after, then every week. */
function isLoanSpokenOfOn(returnBy: DateTime, on: DateTime): boolean {
  const late = on.diff(returnBy, 'days').days
  return late >= 1 && (late - 1) % 7 === 0
}

const utc = (date: string) => DateTime.fromISO(date, { zone: 'UTC' })

/** The mornings on which somebody looked and any day since the look before was one to speak on. */
function spokenOn(mornings: readonly string[], from: DateTime, isDay: (on: DateTime) => boolean): Set<string> {
  let asked = from
  return new Set(
    mornings.filter((morning) => {
      let spoken = false
      for (; asked <= utc(morning); asked = asked.plus({ days: 1 })) spoken ||= isDay(asked)
      return spoken
    }),
  )
}

/** `DAY ADDRESS: STICKS`, for every morning on which somebody looked; the first of them makes up for all before. */
function counted(mornings: readonly string[]): string[] {
  const digests = new Map<string, string[]>()
  for (const { stickId, status, dueOn, crewId, depotId, custody } of sticks) {
    const dated = dueOn !== null && ['in service', 'due soon', 'overdue'].includes(status)
    const due = dated ? utc(dueOn) : null
    const ofDate = due === null ? new Set() : spokenOn(mornings, due.minus({ days: 60 }), (on) => isSpokenOfOn(due, on))
    const back = custody !== null && 'returnBy' in custody ? utc(custody.returnBy) : null
    const ofLoan = back === null ? new Set() : spokenOn(mornings, back, (on) => isLoanSpokenOfOn(back, on))
    const ofCrew = crewId === null ? [] : mailOf(crewId)
    for (const morning of mornings) {
      if (!ofDate.has(morning) && !ofLoan.has(morning)) continue
      const over = due === null || !ofDate.has(morning) ? 0 : utc(morning).diff(due, 'days').days
      const who = new Set([
        ...ofCrew,
        ...(ofLoan.has(morning) || over >= 1 || ofCrew.length === 0 ? managersOf(depotId) : []),
        ...(over >= 14 ? [owner] : []),
      ])
      for (const email of who)
        digests.set(`${morning} ${email}`, [...(digests.get(`${morning} ${email}`) ?? []), stickId])
    }
  }
  return [...digests].map(([whoAndWhen, ids]) => `${whoAndWhen}: ${ids.sort().join(' ')}`).sort()
}

const told = (house: House) =>
  house.table
    .items()
    .filter((item) => item.entity === 'notice' && item.kind === 'digest')
    .map((item) => item as unknown as Notice)
    .map(
      ({ day: on, to, lines }) =>
        `${on} ${to.email}: ${lines
          .map((one) => one.stickId)
          .sort()
          .join(' ')}`,
    )
    .sort()

const dates = Array.from(
  { length: days },
  (_, i) =>
    DateTime.fromISO(startDay)
      .plus({ days: i + 1 })
      .toISODate() ?? '',
)

/** Six in the morning there, whatever the clocks were put to. */
const sixOClock = (date: string, zone: string) => DateTime.fromISO(`${date}T06:00:00`, { zone }).toUTC().toISO() ?? ''

async function moved(zone: string): Promise<House> {
  const house = openHouse(loaded, sixOClock(startDay, 'UTC'))
  for (const depotId of new Set(Object.values(demoCrews).map((crew) => crew.depotId))) {
    const { id: _, edition, recordedAt, recordedBy, ...depot } = (await house.done('GET', `/v1/depots/${depotId}`)).json
    await house.done('PUT', `/v1/depots/${depotId}`, { ...depot, timeZone: zone, effectiveFrom: startDay })
  }
  return house
}

describe.each(sampled(zones, 1))('two years of mornings in %s', (zone) => {
  test('every digest that the count names, and no other', async () => {
    const house = await moved(zone)
    for (const date of dates) {
      house.at(sixOClock(date, zone))
      await sweep(house.table, house.clock)
    }
    expect(told(house)).toEqual(counted(dates))
  }, 300_000)

  test('nine days asleep, again and again, and runs doubled: no repeat and no gap', async () => {
    const house = await moved(zone)
    const awake = dates.slice(0, 300).filter((_, i) => i % 40 < 31)
    for (const [i, date] of awake.entries()) {
      house.at(sixOClock(date, zone))
      await Promise.all(Array.from({ length: i % 17 === 0 ? 2 : 1 }, () => sweep(house.table, house.clock)))
    }
    expect(told(house)).toEqual(counted(awake))
  }, 300_000)
})

test('the count is of a fleet in which something happens', () => {
  expect(sticks.filter(({ custody }) => custody !== null && 'returnBy' in custody).length).toBeGreaterThan(0)
  const all = counted(dates)
  expect(all.length).toBeGreaterThan(500)
  for (const who of ['manager@', owner]) expect(all.some((one) => one.includes(who))).toBe(true)
})
