/** Who may come in, and what happens to a body that is wrong, doubled or foreign. */
import { randomUUID } from 'node:crypto'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { type LocalStack, startStack } from '../local-stack.ts'
import { aStick, aTest, day } from '../support/trade.ts'
import { bring, furnish, lookAt } from './furnish.ts'

let stack: LocalStack
beforeAll(async () => {
  stack = await startStack({ memory: true })
  await stack.day('2026-03-02')
  await furnish(stack)
})
afterAll(async () => {
  await stack?.stop()
})

/** All that is known of the stick: its state, its facts, what was told. */
const everything = async () =>
  (
    await Promise.all(
      ['/v1/sticks/S-1', '/v1/sticks/S-1/facts', '/v1/notices?stick=S-1'].map((path) => stack.call('GET', path)),
    )
  ).map((answer) => answer.text)

const pointers = (json: unknown) =>
  (json as { errors: { pointer: string }[] }).errors.map((error) => error.pointer).toSorted()

describe('the same fact again', () => {
  const fact = aTest()
  test('the same body: 200, the stored outcome, nothing written', async () => {
    const first = await stack.call('POST', '/v1/sticks/S-1/bench-tests', fact, 'bench')
    const before = await everything()
    const second = await stack.call('POST', '/v1/sticks/S-1/bench-tests', fact, 'bench')
    expect([first.status, second.status]).toEqual([201, 200])
    expect(second.json).toEqual(first.json)
    expect(await everything()).toEqual(before)
  })

  test('another body: 409, nothing written', async () => {
    const before = await everything()
    expect((await stack.call('POST', '/v1/sticks/S-1/bench-tests', { ...fact, waxed: false }, 'bench')).status).toBe(
      409,
    )
    expect(await everything()).toEqual(before)
  })
})

describe('a body with faults', () => {
  test('five faults: 422 with exactly those five pointers, each with what came and what would be right', async () => {
    const body = { ...aTest(), testedOn: '2026-02-30', instrumentId: 7, dry: 'none', waxed: 'yes', reason: '' }
    const { status, json, headers } = await stack.call('POST', '/v1/sticks/S-1/bench-tests', body, 'bench')
    expect([status, headers.get('content-type')]).toEqual([422, 'application/problem+json'])
    expect(pointers(json)).toEqual(['/dry', '/instrumentId', '/reason', '/testedOn', '/waxed'])
    for (const error of (json as { errors: { expected: string; came: unknown }[] }).errors) {
      expect(error.expected.length).toBeGreaterThan(5)
      expect(error.came).not.toBeUndefined()
    }
  })

  test('a date in the future at the depot: 422', async () => {
    const { status, json } = await stack.call(
      'POST',
      '/v1/sticks/S-1/bench-tests',
      aTest({ testedOn: day('2026-03-03') }),
      'bench',
    )
    expect([status, pointers(json)]).toEqual([422, ['/testedOn']])
  })

  test('today is the depot’s today: at 04:00 UTC it is still the day before in Chicago', async () => {
    await stack.clock('2026-03-03T04:00:00Z')
    expect(
      (await stack.call('POST', '/v1/sticks/S-1/bench-tests', aTest({ testedOn: day('2026-03-03') }), 'bench')).status,
    ).toBe(422)
    await stack.clock('2026-03-03T06:00:00Z')
    expect(
      (await stack.call('POST', '/v1/sticks/S-1/bench-tests', aTest({ testedOn: day('2026-03-03') }), 'bench')).status,
    ).toBe(201)
  })

  test('broken JSON: 400', async () => {
    expect((await stack.call('POST', '/v1/sticks/S-1/bench-tests', '{"factId": ', 'bench')).status).toBe(400)
  })

  test('a reading beyond the stick is a fault that names it', async () => {
    const body = aTest({ testedOn: day('2026-03-03') })
    body.dry?.readings.push({ quarterTurn: 0, fromMetres: 2.3, toMetres: 2.6, leakageMicroamps: 1 })
    const { status, json } = await stack.call('POST', '/v1/sticks/S-1/bench-tests', body, 'bench')
    expect([status, pointers(json)]).toEqual([422, [`/dry/readings/${(body.dry?.readings.length ?? 0) - 1}/toMetres`]])
  })
})

describe('whose it is', () => {
  test('what belongs to another organisation does not exist', async () => {
    const paths = [
      'depots/DEP-1',
      'crews/CR-1',
      'people/bench',
      'instruments/INS-1',
      'procedures/PRC-1',
      'sticks/S-1',
      'sticks/S-1/facts',
      'notices?stick=S-1',
      'notices?crew=CR-1',
      'roster?crew=CR-1',
      'roster?depot=DEP-1',
    ]
    for (const path of paths) {
      expect([path, (await stack.call('GET', `/v1/${path}`, undefined, 'owner')).status]).toEqual([path, 200])
      expect([path, (await stack.call('GET', `/v1/${path}`, undefined, 'other-organisation-manager')).status]).toEqual([
        path,
        404,
      ])
    }
    const test = await stack.call(
      'POST',
      '/v1/sticks/S-1/bench-tests',
      aTest({ testedOn: day('2026-03-03') }),
      'other-organisation-manager',
    )
    expect(test.status).toBe(404)
  })

  test('the same id in two organisations is two things', async () => {
    const depot = { name: 'South yard', timeZone: 'Europe/Berlin', sweepHour: 7 }
    expect((await stack.call('PUT', '/v1/depots/DEP-1', depot, 'other-organisation-manager')).status).toBe(201)
    expect((await stack.call('GET', '/v1/depots/DEP-1', undefined, 'owner')).json).toMatchObject({ name: 'North yard' })
  })

  test('without a token, or with a spoilt one: 401', async () => {
    for (const token of ['', 'nonsense', `${stack.tokens.owner}x`]) {
      expect((await stack.call('GET', '/v1/roster', undefined, token)).status).toBe(401)
    }
  })

  test('a crew reports a tingle and is not let near the bench', async () => {
    await bring(stack, aTest({ testedOn: day('2026-03-03'), note: 'once more' }))
    const factId = randomUUID()
    expect((await stack.call('POST', '/v1/sticks/S-1/bench-tests', aTest(), 'crew')).status).toBe(403)
    expect(
      (
        await stack.call(
          'POST',
          '/v1/sticks/S-1/defects',
          { factId, occurredOn: '2026-03-03', kind: 'tingle', note: '' },
          'crew',
        )
      ).status,
    ).toBe(201)
    expect(await lookAt(stack, 'S-1')).toMatchObject({ status: 'on hold', holds: [{ code: 'defect-reported' }] })
  })
})

describe('what is known, on a date and as of a date', () => {
  test('?on tells from the facts that occurred by then, &asKnownOn from those recorded by then', async () => {
    await stack.day('2026-03-05')
    expect((await lookAt(stack, 'S-1', '?on=2026-03-02')).status).toBe('in service')
    expect((await lookAt(stack, 'S-1')).status).toBe('on hold')
    await bring(stack, aTest({ testedOn: day('2026-03-04') }))
    expect((await lookAt(stack, 'S-1', '?on=2026-03-04')).status).toBe('in service')
    expect((await lookAt(stack, 'S-1', '?on=2026-03-04&asKnownOn=2026-03-04')).status).toBe('on hold')
    expect((await lookAt(stack, 'S-1', '?on=2028-03-05')).status).toBe('overdue')
  })
})

describe('every list that people may ask for opens by the API and on a page', () => {
  const to = 'ana@crew-one.example'
  test.each([
    ['/v1/roster?lent=true', '/roster?lent=true', 'S-1', false],
    ['/v1/roster?lot=L-7', '/roster?lot=L-7', 'S-1', true],
    [`/v1/notices?to=${to}`, `/notices?to=${to}`, 'Ana', true],
  ])('%s', async (path, page, named, isThere) => {
    if (path.includes('lot='))
      await stack.call('PUT', '/v1/sticks/S-1', { ...aStick, lot: 'L-7', crewId: 'CR-1' }, 'manager')
    const answer = await stack.call('GET', path, undefined, 'manager')
    expect([answer.status, (answer.json as { items: object[] }).items.length > 0]).toEqual([200, isThere])
    const shown = await (await stack.signedIn()).get(page)
    expect([shown.status, (await shown.text()).includes(`>${named}`)]).toEqual([200, isThere])
  })
})
