/** A build that was rolled back meets facts that only the later build knew: it holds their sticks, and says so. */
import { beforeAll, describe, expect, test } from 'vitest'
import { proveStick } from '../../functions/prove-states/prove-states.ts'
import { reindex } from '../../functions/reindex/reindex.ts'
import type { Item } from '../../functions/store/table.ts'
import { kindsOfFacts } from '../../shared-domain/facts.ts'
import { shapeOfState } from '../../shared-domain/shape-of-state.ts'
import { pagesOf } from '../support/pages.ts'
import { aTest, day } from '../support/trade.ts'
import { everybody, furnish, type House, openHouse } from './house.ts'

const unknown = '0199d9c4-7a3e-7bd0-9c55-1f0a6b1f00aa'

/** What the later build left: the fact of its own, and a state of its own shape that says nothing against the stick. */
let left: readonly Item[]
beforeAll(async () => {
  const house = openHouse()
  await furnish(house)
  await house.done('POST', '/v1/sticks/S-1/bench-tests', aTest({ testedOn: day('2026-03-01') }))
  const items = house.table.items()
  const newest = items.filter(({ entity }) => entity === 'fact').at(-1) as Item & {
    fact: { seq: number; factId: string }
  }
  const seq = newest.fact.seq + 1
  const { test: _, pinned: __, judgement: ___, ...recording } = newest.fact as unknown as Record<string, unknown>
  const fact = { ...recording, kind: 'weighed', weighing: { grams: 1900 }, factId: unknown, seq }
  const guard = items.find(({ entity, pk }) => entity === 'guard' && pk.includes(newest.fact.factId)) as Item
  left = [
    { ...guard, pk: guard.pk.replace(newest.fact.factId, unknown), seq },
    ...items.map((item) => {
      if (item.entity === 'reindexed') return { ...item, rules: 'of the later build' }
      const later = { shape: shapeOfState + 1, writtenUnder: 'of the later build', recorded: seq }
      return item.entity === 'stick' ? { ...item, ...later } : item
    }),
    { ...newest, sk: newest.sk.replace(/\d+$/, (digits) => String(seq).padStart(digits.length, '0')), fact },
  ]
})

const rolledBack = () => openHouse(left, '2026-03-03T15:00:00.000Z')
const stick = async (house: House) => (await house.call('GET', '/v1/sticks/S-1')).json
const codes = ({ holds }: { holds: readonly { code: string }[] }) => holds.map(({ code }) => code)

test('a new kind of fact is a new shape of the state: else what an older build folded would be believed', () => {
  expect([shapeOfState, kindsOfFacts.length]).toEqual([13, 17])
})

describe('a fact of an unknown kind', () => {
  test('holds the stick once the lists are written anew, and its people are told', async () => {
    const house = rolledBack()
    await reindex(house.table, house.clock(), () => true)
    house.table.settled()
    await reindex(house.table, house.clock(), () => true)
    expect(await stick(house)).toMatchObject({
      status: 'on hold',
      holds: [
        {
          code: 'unknown-fact',
          text: expect.stringContaining('this version of the service cannot read'),
          clearedBy: expect.stringContaining('a newer version of the service'),
        },
      ],
    })
    const told = house.table.items().filter(({ kind }) => kind === 'hold')
    expect(told.map(({ to }) => (to as { email: string }).email).sort()).toEqual(everybody)
    expect((await proveStick(house.organisation(), 'S-1')).faults).toEqual([])
  })

  test('holds it at once with its next fact, and no passing test clears that', async () => {
    const house = rolledBack()
    await house.done('POST', '/v1/sticks/S-1/bench-tests', { ...aTest({ testedOn: day('2026-03-03') }), at: '08:30' })
    expect(await stick(house)).toMatchObject({ status: 'on hold', dueOn: '2028-03-03' })
    expect(codes(await stick(house))).toEqual(['unknown-fact'])
  })

  test('stands in the history as what cannot be read, and is corrected by nobody', async () => {
    const house = rolledBack()
    const page = await (await pagesOf(house).request('/sticks/S-1')).text()
    expect(page).toContain('Something that this version of the service cannot read')
    expect(page).not.toContain(`/facts/${unknown}/withdraw`)
    const { json } = await house.call('GET', '/v1/sticks/S-1/facts')
    expect(json.items.map(({ kind }: { kind: string }) => kind)).toContain('weighed')
    const correction = { factId: '0199d9c4-7a3e-7bd0-9c55-1f0a6b1f00ab', corrects: unknown, reason: 'A slip' }
    const answer = await house.call('POST', '/v1/corrections', { ...correction, replacement: null })
    expect([answer.status, answer.json.reasons[0].code]).toEqual([409, 'is-of-another-version'])
  })
})
