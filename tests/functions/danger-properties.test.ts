/**
 * Random histories, recorded by random people at random hours through the API on a table in memory, in two time zones.
 * What is expected is worked out here from what was sent and answered, by another calendar library than the product's.
 */
import { randomUUID } from 'node:crypto'
import fc from 'fast-check'
import { Temporal } from 'temporal-polyfill'
import { expect, test } from 'vitest'
import type { Item } from '../../functions/store/table.ts'
import { cases } from '../support/tier.ts'
import { aTest, overTheLimit } from '../support/trade.ts'
import { furnish, type House, openHouse, type Reply, type Who } from './house.ts'

const zones: Readonly<Record<string, string>> = { 'DEP-1': 'America/Chicago', 'DEP-2': 'America/Denver' }

type Door = 'bench-tests' | 'corrective-steps' | 'defects' | 'condition-checks' | 'moves' | 'uses' | 'releases'

/** `against`: a report or a test that did not pass; `clears`: what alone could bring a stick back. */
interface Act {
  readonly name: string
  readonly door: Door
  readonly body: (seed: number) => object
  readonly says: 'against' | 'mends' | 'clears' | 'neither'
  readonly danger?: true
}

const invalid = (seed: number) => ({ ...aTest(), instrumentChecks: [], note: `test ${seed}` })
const acts: readonly Act[] = [
  { name: 'pass', door: 'bench-tests', body: (seed) => ({ ...aTest(), note: `test ${seed}` }), says: 'clears' },
  { name: 'pass', door: 'bench-tests', body: (seed) => ({ ...aTest(), note: `test ${seed}` }), says: 'clears' },
  { name: 'pass', door: 'bench-tests', body: (seed) => ({ ...aTest(), note: `test ${seed}` }), says: 'clears' },
  {
    name: 'failure',
    door: 'bench-tests',
    body: (seed) => ({ ...overTheLimit(), note: `test ${seed}` }),
    says: 'against',
  },
  { name: 'proves nothing', door: 'bench-tests', body: invalid, says: 'against' },
  { name: 'cleaned', door: 'corrective-steps', body: () => ({ kind: 'cleaned', by: 'Ines Roth' }), says: 'neither' },
  { name: 'repaired', door: 'corrective-steps', body: () => ({ kind: 'repaired', by: 'Ines Roth' }), says: 'mends' },
  { name: 'waxed', door: 'corrective-steps', body: () => ({ kind: 'waxed', by: 'Ines Roth' }), says: 'neither' },
  { name: 'tingle', door: 'defects', body: () => ({ kind: 'tingle' }), says: 'against', danger: true },
  { name: 'scratch', door: 'defects', body: () => ({ kind: 'scratch' }), says: 'against', danger: true },
  {
    name: 'unsound',
    door: 'condition-checks',
    body: () => ({ by: 'Ana', sound: false }),
    says: 'against',
    danger: true,
  },
  { name: 'sound', door: 'condition-checks', body: () => ({ by: 'Ana', sound: true }), says: 'neither' },
  { name: 'found', door: 'moves', body: () => ({ to: 'found' }), says: 'against', danger: true },
  { name: 'to the bench', door: 'moves', body: () => ({ to: { bench: 'DEP-1' } }), says: 'neither' },
  { name: 'to the other bench', door: 'moves', body: () => ({ to: { bench: 'DEP-2' } }), says: 'neither' },
  { name: 'to its crew', door: 'moves', body: () => ({ to: { crewId: 'CR-1' } }), says: 'neither' },
  { name: 'used', door: 'uses', body: () => ({}), says: 'neither' },
]

interface Step {
  readonly act: Act
  readonly seed: number
  readonly minutesLater: number
  readonly daysBack: number
  /** minutes of the day; null: not stated */
  readonly at: number | null
  readonly who: Who
}

const hour = fc.option(fc.integer({ min: 0, max: 1439 }), { nil: null, freq: 3 })
const step: fc.Arbitrary<Step> = fc.record({
  act: fc.constantFrom(...acts),
  seed: fc.nat(),
  minutesLater: fc.integer({ min: 1, max: 900 }),
  daysBack: fc.constantFrom(0, 0, 0, 1, 1, 2, -1),
  at: hour,
  who: fc.constantFrom<Who>('bench', 'bench-2', 'manager', 'crew', 'other crew', 'south manager'),
})
const lives = fc.array(step, { minLength: 3, maxLength: 9 })

const text = (minutes: number) =>
  `${String(Math.floor(minutes / 60)).padStart(2, '0')}:${String(minutes % 60).padStart(2, '0')}`
const iso = (zoned: Temporal.ZonedDateTime) => zoned.toInstant().toString({ fractionalSecondDigits: 3 })

/** Where it was, from when: moves of these histories that were accepted for today are recorded as they happen. */
type Stays = { zone: string; from: string }[]

/**
 * All instants that the day and hour can have meant where the stick was; a day without an hour from its start to its
 * end.
 */
function meant(on: string, at: string | undefined, stays: Stays, now: string): { earliest: string; latest: string } {
  const all = stays.flatMap(({ zone, from }, i) => {
    const to = stays[i + 1]?.from ?? '~'
    if (at !== undefined) {
      const local = Temporal.PlainDateTime.from(`${on}T${at}`)
      const readings = (['earlier', 'later'] as const).map((one) =>
        iso(local.toZonedDateTime(zone, { disambiguation: one })),
      )
      return readings.filter((one) => from <= one && one <= to)
    }
    const start = Temporal.PlainDate.from(on).toZonedDateTime({ timeZone: zone })
    const last = iso(start.add({ days: 1 }).subtract({ milliseconds: 1 }))
    return iso(start) <= to && last >= from ? [iso(start), last < now ? last : now] : []
  })
  return { earliest: all.sort()[0] ?? now, latest: all.sort().at(-1) ?? now }
}

interface Known {
  readonly act: Act
  readonly earliest: string
  readonly latest: string
}

const seen = new Map<string, number>()
const count = (what: string): void => {
  seen.set(what, (seen.get(what) ?? 0) + 1)
}

async function live(house: House, stickId: string, life: readonly Step[]): Promise<void> {
  const known: Known[] = []
  const stays: Stays = [{ zone: 'America/Chicago', from: '' }]
  let now = Temporal.Instant.from('2026-03-06T14:00:00Z')
  let moved = false
  for (const { act, seed, minutesLater, daysBack, at, who } of life) {
    now = now.add({ minutes: minutesLater })
    const instant = now.toString({ fractionalSecondDigits: 3 })
    house.at(instant)
    const zone = stays.at(-1)?.zone ?? 'UTC'
    const today = now.toZonedDateTimeISO(zone).toPlainDate()
    const on = today.subtract({ days: daysBack }).toString()
    // where it lies is recorded as it happens, so that this test knows it for certain
    const isMove = act.door === 'moves' && act.says === 'neither'
    const [day, hourSent] = isMove ? [today.toString(), undefined] : [on, at === null ? undefined : text(at)]
    const when = {
      [act.door === 'bench-tests' ? 'testedOn' : 'occurredOn']: day,
      ...(hourSent === undefined ? {} : { at: hourSent }),
    }
    const before = await stateOf(house, stickId)
    const toldBefore = noticesOf(house, stickId)
    const body = { ...act.body(seed), ...when, factId: randomUUID() }
    const reply = await house.call('POST', `/v1/sticks/${stickId}/${act.door}`, body, who)
    count(`${act.name} ${reply.status}`)
    if (act.danger) expect(reply.status, `${act.name} is refused: ${reply.text}`).toBe(201)
    if (reply.status !== 201) continue
    if (isMove) {
      const depot = body as { to?: { bench?: string } }
      const next = zones[depot.to?.bench ?? 'DEP-1'] ?? zone
      if (next !== zone) {
        stays.push({ zone: next, from: instant })
        moved = true
      }
    }
    const says = act.says === 'clears' && verdictOf(reply) !== 'pass' ? 'against' : act.says
    const stated = meant(day, hourSent, stays, instant)
    const isToCome = day > today.toString() || stated.earliest > instant
    const { earliest, latest } = isToCome && act.danger ? { earliest: instant, latest: instant } : stated
    known.push({ act: { ...act, says }, earliest: [earliest, instant].sort()[0] ?? instant, latest })
    await holdsTrue(house, stickId, known)
    if (says === 'against') {
      const told = noticesOf(house, stickId) > toldBefore
      count(told ? 'told' : 'told of worse before')
      if (!told) expect([before.status, toldBefore > 0], `${act.name}: nobody was told`).toEqual(['on hold', true])
    }
  }
  if (moved) count('in two zones')
}

/** A stick that may be used has a pass that is proved to be later than all that speaks against it. */
async function holdsTrue(house: House, stickId: string, known: readonly Known[]): Promise<void> {
  const { status } = await stateOf(house, stickId)
  if (status !== 'in service' && status !== 'due soon') return count('unfit')
  count('fit')
  const passes = known.filter(({ act }) => act.says === 'clears')
  for (const one of known.filter(({ act }) => act.says === 'against' || act.says === 'mends')) {
    const later = passes.some((pass) => pass.earliest > one.latest)
    expect(later, `${one.act.name} of ${one.latest} at the latest was cleared by nothing proved later`).toBe(true)
  }
}

const verdictOf = (reply: Reply) => reply.json.verdict
const stateOf = async (house: House, stickId: string) => (await house.call('GET', `/v1/sticks/${stickId}`)).json
const noticesOf = (house: House, stickId: string) =>
  house.table
    .items()
    .filter(({ entity, lines }) => entity === 'notice' && JSON.stringify(lines).includes(`"${stickId}"`)).length

test('nothing earlier clears a stick, who is to hear of danger does, and no report of it is refused', async () => {
  const first = openHouse([], '2026-02-20T15:00:00.000Z')
  await furnish(first)
  await first.done('PUT', '/v1/depots/DEP-2', { name: 'South yard', timeZone: 'America/Denver', sweepHour: 6 })
  const furnished: readonly Item[] = first.table.items()
  const numRuns = cases(10_000, 120)
  await fc.assert(
    fc.asyncProperty(lives, async (life) => {
      await live(openHouse(furnished), 'S-1', life)
    }),
    { numRuns, seed: 20261129 },
  )
  for (const often of [
    'fit',
    'unfit',
    'told',
    'told of worse before',
    'tingle 201',
    'pass 201',
    'pass 422',
    'in two zones',
  ])
    expect(seen.get(often) ?? 0, often).toBeGreaterThan(numRuns / 50)
}, 1_800_000)
