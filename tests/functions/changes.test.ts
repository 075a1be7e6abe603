/**
 * A stick stands otherwise with no fact that did it: by other rules, or by a day. Its people hear of it, once for one
 * cause.
 */
import { describe, expect, test } from 'vitest'
import { reindex } from '../../functions/reindex/reindex.ts'
import type { Notice } from '../../functions/store/notices.ts'
import { sweep } from '../../functions/sweep/sweep.ts'
import type { Requirement } from '../../shared-domain/policy/requirement.ts'
import { aProcedure, aStick, aTest, day } from '../support/trade.ts'
import { furnish, type House, openHouse } from './house.ts'

const usRules = { packs: ['us-29-cfr-1910-269-j'] }
const ana = 'ana@crew-one.example'
const bo = 'bo@crew-one.example'
const managers = ['manager-2@demo-utility.example', 'manager@demo-utility.example']

const shelf: Requirement = {
  id: 'shelf',
  words: 'issued within 6 months of its test',
  source: { cited: 'House rule 7', jurisdiction: 'employer', confidence: 'the employer’s own' },
  evidence: ['dry test'],
  interval: null,
  shelfMonths: 6,
  legalMaximum: false,
  appliesTo: { primaryProtectionOnly: true, constructions: ['foam-filled FRP tube'] },
}

/** Rods of crew one and tubes of crew two, all tested today. */
async function opened(rods: number, tubes = 0): Promise<House> {
  const house = openHouse([], '2026-03-02T15:00:00.000Z')
  await furnish(house)
  for (let i = 1; i <= rods; i++) await entered(house, `R-${i}`, { ...aStick, construction: 'FRP rod' })
  for (let i = 1; i <= tubes; i++) await entered(house, `T-${i}`, { ...aStick, crewId: 'CR-2' })
  house.table.settled()
  return house
}

async function entered(house: House, stickId: string, stick: object): Promise<void> {
  await house.done('PUT', `/v1/sticks/${stickId}`, stick)
  await house.done('POST', `/v1/sticks/${stickId}/bench-tests`, aTest({ testedOn: day('2026-03-02'), at: '08:00' }))
}

/** A rule that none of the rods has met yet: they await it. */
const rodsCertified = {
  ...shelf,
  id: 'certified',
  words: 'covered by a certificate',
  evidence: ['certificate'],
  shelfMonths: undefined,
  appliesTo: { primaryProtectionOnly: false, constructions: ['FRP rod'] },
}
const forbid = (house: House) => house.done('PUT', '/v1/policies/employer', { ...usRules, add: [rodsCertified] })

async function relist(house: House, mayGoOn = () => true): Promise<void> {
  house.table.settled()
  await reindex(house.table, house.clock(), mayGoOn)
  house.table.settled()
  await reindex(house.table, house.clock(), mayGoOn)
  house.table.settled()
}

const noticesOf = (house: House, kind: string) =>
  house.table.items().filter((item) => item.entity === 'notice' && item.kind === kind) as unknown as Notice[]

/** Only what no fact brought. */
const told = (house: House, kind = 'hold') =>
  noticesOf(house, kind)
    .filter(({ cause }) => cause !== undefined)
    .map(({ to, lines, cause }) => `${to.email} ${cause}: ${lines.map(({ stickId }) => stickId).join(' ')}`)
    .sort()

const roster = async (house: House, status: string) =>
  (await house.call('GET', `/v1/roster?status=${encodeURIComponent(status)}`)).json.items.map(
    ({ stickId }: { stickId: string }) => stickId,
  )

describe('other rules', () => {
  test('tell a person once, however many of their sticks must not be used now', async () => {
    const house = await opened(12, 1)
    await forbid(house)
    await relist(house)
    const rods = Array.from({ length: 12 }, (_, i) => `R-${i + 1}`).sort()
    expect(told(house)).toEqual([ana, bo, ...managers].sort().map((email) => `${email} rules: ${rods.join(' ')}`))
    expect((await house.call('GET', '/v1/sticks/R-3')).json.status).toBe('awaiting first test')
  })

  test('run again, or at two doors at once, tell nobody twice', async () => {
    const house = await opened(3)
    await forbid(house)
    house.table.settled()
    await Promise.all([
      reindex(house.table, house.clock(), () => true),
      reindex(house.table, house.clock(), () => true),
    ])
    await relist(house)
    house.at('2026-03-03T15:00:00.000Z')
    await sweep(house.table, house.clock)
    expect(told(house)).toHaveLength(4)
  })

  test('broken off before the lists are done, tell the rest with the next run', async () => {
    const house = await opened(3)
    await forbid(house)
    let pages = 0
    house.table.settled()
    await reindex(house.table, house.clock(), () => pages++ < 1)
    expect(told(house)).toEqual([])
    await relist(house)
    expect(told(house)).toHaveLength(4)
  })

  test.each(['before', 'after'] as const)(
    'broken off %s each of its writes, tell all of it, and no more often than that',
    async (when) => {
      for (let at = 1; at <= 6; at++) {
        const house = await opened(2)
        await forbid(house)
        house.table.settled()
        house.table.trouble(when === 'before' ? { crashBefore: at } : { crashAfter: at })
        await reindex(house.table, house.clock(), () => true).catch(() => undefined)
        house.table.trouble({})
        await relist(house)
        for (const email of [ana, bo, ...managers]) {
          const sticks = told(house)
            .filter((one) => one.startsWith(email))
            .map((one) => one.replace(/.*: /, ''))
          expect(new Set(sticks.flatMap((one) => one.split(' '))), `${email}, broken off ${when} ${at}`).toEqual(
            new Set(['R-1', 'R-2']),
          )
          expect(sticks.length).toBeLessThanOrEqual(2)
        }
      }
    },
  )

  test('that forbid wood and then allow it again: told as held, and as back', async () => {
    const house = await opened(0)
    const { wet: _, ...dry } = aTest({ testedOn: day('2026-03-02'), at: '08:00', procedureId: 'PRC-W' })
    const instrumentChecks = dry.instrumentChecks.filter(({ state }) => state === 'dry')
    const limits = [{ construction: 'wood', state: 'dry', microamps: 10, source: 'sample value' }]
    const checks = aProcedure.checks.filter(({ state }) => state === 'dry')
    await house.done('PUT', '/v1/procedures/PRC-W', { ...aProcedure, limits, checks })
    for (const stickId of ['W-1', 'W-2']) {
      await house.done('PUT', `/v1/sticks/${stickId}`, { ...aStick, construction: 'wood' })
      await house.done('POST', `/v1/sticks/${stickId}/bench-tests`, {
        ...dry,
        factId: crypto.randomUUID(),
        testedBy: stickId,
        instrumentChecks,
      })
    }
    await house.done('PUT', '/v1/policies/employer', { ...usRules, woodForbidden: true })
    await relist(house)
    const everybodyWith = (sticks: string) => [ana, bo, ...managers].sort().map((email) => `${email} rules: ${sticks}`)
    expect(told(house)).toEqual(everybodyWith('W-1 W-2'))
    house.at('2026-03-04T15:00:00.000Z')
    await house.done('PUT', '/v1/policies/employer', usRules)
    await relist(house)
    expect(told(house, 'return')).toEqual(everybodyWith('W-1 W-2'))
    expect(await roster(house, 'in service')).toEqual(['W-1', 'W-2'])
  })

  test('that hold a stick come before the word of them: a fact meanwhile tells the hold itself', async () => {
    const house = await opened(1)
    await forbid(house)
    await house.done('POST', '/v1/sticks/R-1/uses', {
      factId: crypto.randomUUID(),
      occurredOn: '2026-03-02',
      days: 1,
      conditions: [],
    })
    await relist(house)
    expect(
      noticesOf(house, 'hold')
        .map(({ to, lines }) => `${to.email} ${lines[0]?.stickId}`)
        .sort(),
    ).toEqual([ana, bo, ...managers].sort().map((email) => `${email} R-1`))
  })
})

describe('a day that comes', () => {
  async function laidBy(): Promise<House> {
    const house = await opened(0)
    await house.done('PUT', '/v1/policies/employer', { ...usRules, add: [shelf] })
    await house.done('PUT', '/v1/sticks/T-1', { ...aStick, crewId: 'CR-2' })
    await house.done('POST', '/v1/sticks/T-1/moves', {
      factId: crypto.randomUUID(),
      occurredOn: '2026-03-02',
      at: '07:30',
      to: { store: 'DEP-1' },
    })
    await house.done('POST', '/v1/sticks/T-1/bench-tests', aTest({ testedOn: day('2026-03-02'), at: '08:00' }))
    await relist(house)
    return house
  }

  test('puts a stick on the list of those held the same instant, and is told that morning', async () => {
    const house = await laidBy()
    house.at('2026-09-02T15:00:00.000Z')
    await sweep(house.table, house.clock)
    expect(await roster(house, 'on hold')).toEqual([])
    house.at('2026-09-03T05:30:00.000Z')
    house.table.settled()
    expect(await roster(house, 'on hold')).toEqual(['T-1'])
    expect(await roster(house, 'in service')).toEqual([])
    expect((await house.call('GET', '/v1/roster')).json.counts).toMatchObject({ 'on hold': 1, 'in service': 0 })
    expect(told(house)).toEqual([])
    house.at('2026-09-03T12:00:00.000Z')
    await sweep(house.table, house.clock)
    expect(told(house)).toEqual(managers.map((email) => `${email} day: T-1`))
    house.table.settled()
    expect(await roster(house, 'on hold')).toEqual(['T-1'])
    await sweep(house.table, house.clock)
    expect(told(house)).toHaveLength(2)
  })

  test('that comes for more sticks than are read at once is one mail a person all the same', async () => {
    const house = await laidBy()
    const sticks = house.table.items().filter((item) => item.entity === 'stick' && item.stickId === 'T-1')
    const copies = Array.from({ length: 140 }, (_, i) =>
      JSON.parse(JSON.stringify(sticks[0]).replaceAll('T-1', `T-1${i}x`)),
    )
    const many = openHouse([...house.table.items(), ...copies], '2026-09-03T12:00:00.000Z')
    await sweep(many.table, many.clock)
    expect(told(many).map((one) => one.split(' ').length - 2)).toEqual([141, 141])
  })

  test('is told late where a week of mornings was missed, and once', async () => {
    const house = await laidBy()
    house.at('2026-09-10T15:00:00.000Z')
    house.table.settled()
    await sweep(house.table, house.clock)
    house.table.settled()
    await sweep(house.table, house.clock)
    expect(told(house)).toEqual(managers.map((email) => `${email} day: T-1`))
  })
})
