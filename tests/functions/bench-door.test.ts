/** What a device is answered that sends a test taken down at the bench: kept for it until then, and told in words. */
import { randomUUID } from 'node:crypto'
import { beforeEach, describe, expect, test } from 'vitest'
import { pagesOf } from '../support/pages.ts'
import { aTest, day } from '../support/trade.ts'
import { furnish, type House, openHouse, type Who } from './house.ts'

let house: House
beforeEach(async () => {
  house = openHouse()
  await furnish(house)
})

interface Answered {
  readonly status: number
  readonly json: {
    readonly is: string
    readonly goTo?: string
    readonly before?: boolean
    readonly why?: readonly string[]
    readonly newest?: { readonly factId: string; readonly recordedBy: string }
  }
}

const { factId: _, testedOn: __, at: ___, ...body } = aTest()

async function send(over: Readonly<Record<string, string>> = {}, who: Who = 'bench'): Promise<Answered> {
  const fields = { factId: randomUUID(), enteredAt: '2026-03-02T14:40:00.000Z', knows: '', test: JSON.stringify(body) }
  const answer = await pagesOf(house, who).request('/bench/S-1', {
    method: 'POST',
    headers: { 'content-type': 'application/x-www-form-urlencoded', accept: 'application/json' },
    body: new URLSearchParams({ ...fields, ...over }).toString(),
  })
  return { status: answer.status, json: (await answer.json()) as Answered['json'] }
}

const testsOf = async () =>
  (await house.done('GET', '/v1/sticks/S-1/facts')).json.items.filter((one: { kind: string }) => one.kind === 'tested')

describe('a test from the bench', () => {
  test('is recorded at the hour of its beginning where the stick lies, and sent twice it is one', async () => {
    const factId = randomUUID()
    const first = await send({ factId })
    expect(first).toMatchObject({ status: 200, json: { is: 'recorded', before: false } })
    expect(first.json.goTo).toBe(`/sticks/S-1/bench-tests/${factId}?done=recorded`)
    expect((await send({ factId })).json).toEqual(first.json)
    // 14:40 UTC in Chicago, in winter
    expect(await testsOf()).toMatchObject([{ factId, occurredOn: '2026-03-02', at: '08:40' }])
  })

  test('is told of another that was recorded since, and taken once its sender knows of that', async () => {
    const theirs = aTest({ at: '08:00' })
    await house.done('POST', '/v1/sticks/S-1/bench-tests', theirs, 'bench-2')
    const asked = await send()
    expect(asked).toMatchObject({ status: 409, json: { is: 'another test', newest: { factId: theirs.factId } } })
    expect(await testsOf()).toHaveLength(1)
    expect((await send({ knows: theirs.factId })).json.is).toBe('recorded')
    expect(await testsOf()).toHaveLength(2)
  })

  test('under an id that stands with other figures came through before', async () => {
    const factId = randomUUID()
    await send({ factId })
    const other = await send({ factId, test: JSON.stringify({ ...body, waxed: false }) })
    expect(other).toMatchObject({ status: 409, json: { is: 'recorded', before: true } })
    expect(await testsOf()).toHaveLength(1)
  })

  test.each([
    ['no test at all', { test: 'x' }],
    ['a test without its procedure', { test: JSON.stringify({ ...body, procedureId: undefined }) }],
    ['no moment', { enteredAt: 'yesterday' }],
    ['an instrument that nobody entered', { test: JSON.stringify({ ...body, instrumentId: 'INS-9' }) }],
    ['a day to come', { enteredAt: '2026-03-05T14:40:00.000Z' }],
  ])('with %s is refused in words, and nothing is recorded', async (_name, over) => {
    const { status, json } = await send(over)
    expect([status, json.is, (json.why ?? []).length > 0]).toEqual([422, 'refused', true])
    expect(await testsOf()).toEqual([])
  })

  test.each([
    ['crew', 403],
    ['south manager', 403],
    ['other manager', 404],
  ] as const)('by a %s is not taken', async (who, status) => {
    expect((await send({}, who)).status).toBe(status)
    expect(await testsOf()).toEqual([])
  })
})

test('the page brings the entry, procedures, instruments, the newest test and the earlier ones', async () => {
  const before = aTest({ testedOn: day('2025-03-10') })
  await house.done('POST', '/v1/sticks/S-1/bench-tests', before)
  const text = await (await pagesOf(house, 'bench').request('/bench/S-1')).text()
  const told = JSON.parse(/<script type="application\/json" id="bench">(.*?)<\/script>/s.exec(text)?.[1] ?? '{}')
  expect(told.sheet).toMatchObject({
    stickId: 'S-1',
    stick: { workingLengthMetres: 2.4 },
    today: '2026-03-02',
    newest: { factId: before.factId },
    earlier: [{ factId: before.factId }],
    begins: { instrumentId: 'INS-1', procedureId: 'PRC-1', reason: 'periodic' },
  })
  expect(told.sheet.procedures[0].body.limits.length).toBeGreaterThan(0)
  expect(told.words['bench over']).toBe('Over the limit: {read} µA, where {limit} µA is the limit. {place}')
})
