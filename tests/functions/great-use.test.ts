/** A stick that is used and logged without end goes on taking facts, and above all word of danger. */
import { randomUUID } from 'node:crypto'
import { expect, test } from 'vitest'
import { proveStick } from '../../functions/prove-states/prove-states.ts'
import { addDays } from '../../shared-domain/calendar.ts'
import type { RecordedFact } from '../../shared-domain/facts.ts'
import { replay } from '../../shared-domain/state/fold.ts'
import { packed } from '../../shared-domain/state/logged-uses.ts'
import { cases } from '../support/tier.ts'
import { aTest, day, happened, history } from '../support/trade.ts'
import { everybody, furnish, openHouse, owedOf } from './house.ts'

const uses = cases(20_000, 3_000)

test(`${uses} uses of one stick, then a tingle: held, and told`, async () => {
  const house = openHouse([], '2026-03-02T15:00:00.000Z')
  await furnish(house)
  const tested = aTest({ testedOn: day('2024-03-04'), at: '08:00' })
  await house.done('POST', '/v1/sticks/S-1/bench-tests', tested)
  const state = house.table.items().find(({ pk, sk }) => pk.endsWith('#STICK#S-1') && sk === 'STATE')
  const facts = await house.organisation().sticks.facts('S-1')
  const [last] = facts.slice(-1)
  if (state === undefined || last === undefined) throw new Error('no stick to use')
  // written as the door writes them, without asking it so often
  const used = history(
    ...Array.from({ length: uses }, (_, i): [string, ReturnType<typeof happened.used>] => [
      addDays(day('2024-03-05'), i % 720),
      happened.used(),
    ]),
  ).map((fact, i): RecordedFact => ({ ...fact, seq: last.seq + 1 + i }))
  const all = [...facts, ...used]
  const folded = replay(all)
  const { keys } = house.organisation()
  const items = used.map((fact) => ({ ...keys.fact('S-1', fact.seq), entity: 'fact' as const, fact }))
  const kept = { ...state, state: { ...folded, uses: packed(folded.uses) }, recorded: all.length }
  const others = house.table.items().filter((item) => item !== state)
  const later = openHouse([...others, ...items, kept], '2026-03-02T16:00:00.000Z')
  expect(Buffer.byteLength(JSON.stringify(kept))).toBeLessThan(32 * 1024)

  const use = { factId: randomUUID(), occurredOn: '2026-03-02', days: 1, conditions: ['wet'] }
  await later.done('POST', '/v1/sticks/S-1/uses', use)
  const tingle = { factId: randomUUID(), occurredOn: '2026-03-02', kind: 'tingle' }
  const { status, json } = await later.call('POST', '/v1/sticks/S-1/defects', tingle, 'crew')
  expect([status, json.stick.status]).toEqual([201, 'on hold'])
  expect(owedOf(later).filter((one) => one.startsWith('hold'))).toEqual(everybody.map((email) => `hold ${email}`))
  const stored = later.table.items().find(({ pk, sk }) => pk.endsWith('#STICK#S-1') && sk === 'STATE')
  expect(Buffer.byteLength(JSON.stringify(stored))).toBeLessThan(32 * 1024)
  expect((await proveStick(later.organisation(), 'S-1')).faults).toEqual([])
})
