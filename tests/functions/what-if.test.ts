/** What would follow from a fact, asked before anybody decides; and nothing comes of the asking. */
import { randomUUID } from 'node:crypto'
import { beforeAll, beforeEach, describe, expect, test } from 'vitest'
import type { Item } from '../../functions/store/table.ts'
import { aStick, aTest, day, overTheLimit, survey } from '../support/trade.ts'
import { furnish, type House, openHouse, type Reply, type Who } from './house.ts'

let furnished: readonly Item[]
let house: House
beforeAll(async () => {
  const first = openHouse([], '2026-02-20T15:00:00.000Z')
  await furnish(first)
  await first.done('POST', '/v1/sticks/S-1/bench-tests', aTest({ testedOn: day('2026-02-20') }), 'bench')
  furnished = first.table.items()
})
beforeEach(() => {
  house = openHouse(furnished, '2026-03-10T15:00:00.000Z')
})

const ask = (kind: string, fact: unknown, who: Who = 'bench', stickId = 'S-1') =>
  house.call('POST', `/v1/sticks/${stickId}/what-if`, { kind, fact }, who)
const withoutId = ({ factId: _, ...test }: ReturnType<typeof aTest>) => test

test('a supposed test is judged, and says how the stick would stand', async () => {
  const { status, json } = await ask('bench-tests', withoutId(overTheLimit({ testedOn: day('2026-03-10') })))
  expect(status).toBe(200)
  expect(json.verdict).toBe('fail')
  expect(json.reasons[0]).toMatchObject({ code: 'reading-over-limit' })
  expect(json.stick).toMatchObject({ stickId: 'S-1', status: 'on hold', on: '2026-03-10' })
})

test('a test next summer: the date it would give, asked on its day', async () => {
  const { json } = await ask('bench-tests', withoutId(aTest({ testedOn: day('2026-07-01') })))
  expect(json).toMatchObject({ verdict: 'pass', stick: { dueOn: '2028-07-01', on: '2026-07-01' } })
})

test('a test in a century and a day: refused, as nobody plans so far', async () => {
  const { status, json } = await ask('bench-tests', withoutId(aTest({ testedOn: day('9999-01-01') })))
  expect([status, json.errors]).toEqual([
    422,
    [expect.objectContaining({ pointer: '/fact/testedOn', came: '9999-01-01' })],
  ])
})

test('the answer is the one that the fact itself then gets', async () => {
  const fact = overTheLimit({ testedOn: day('2026-03-10') })
  const supposed = await ask('bench-tests', fact)
  const recorded = await house.call('POST', '/v1/sticks/S-1/bench-tests', fact, 'bench')
  const { questions, ...answer } = supposed.json
  expect(answer).toEqual(recorded.json)
  expect(questions).toEqual([])
  expect(recorded.status).toBe(201)
})

test('nothing is written: not the state, not a fact, not a notice', async () => {
  const before = JSON.stringify(house.table.items())
  await ask('bench-tests', overTheLimit({ testedOn: day('2026-03-10') }))
  await ask('moves', { occurredOn: '2026-03-10', to: 'missing' }, 'crew')
  await ask('uses', { occurredOn: '2026-03-10' }, 'crew')
  expect(JSON.stringify(house.table.items())).toBe(before)
})

test('a use has no verdict, and the rest reads as ever', async () => {
  const { status, json } = await ask('uses', { occurredOn: '2026-03-10', days: 3 }, 'crew')
  expect(status).toBe(200)
  expect(Object.keys(json)).toEqual(['stick', 'questions'])
  expect(json.stick.status).toBe('in service')
})

test('what would be refused is refused with the same reasons', async () => {
  await house.done('POST', '/v1/sticks/S-1/defects', defect('tingle'), 'crew')
  const { status, json } = await ask('moves', { occurredOn: '2026-03-10', to: { crewId: 'CR-2' } })
  expect(status).toBe(409)
  expect(json.reasons.map(({ code }: { code: string }) => code)).toEqual(['on-hold', 'defect-reported'])
})
const defect = (kind: string) => ({ factId: randomUUID(), occurredOn: '2026-03-10', kind })

test('it asks with the rights of the door itself', async () => {
  const test = await ask('bench-tests', withoutId(aTest({ testedOn: day('2026-03-10') })), 'crew')
  expect([test.status, test.json.detail]).toEqual([403, 'This is not for the role crew.'])
  expect((await ask('moves', { occurredOn: '2026-03-10', to: { bench: 'DEP-1' } }, 'crew')).status).toBe(403)
  expect((await ask('uses', { occurredOn: '2026-03-10' }, 'other crew')).status).toBe(403)
  expect((await ask('uses', { occurredOn: '2026-03-10' }, 'bench', 'S-99')).status).toBe(404)
})

test('every fault is named where it lies, with what would be right', async () => {
  const { status, json } = await ask('uses', { occurredOn: 'yesterday', days: 0 }, 'crew')
  expect(status).toBe(422)
  expect(json.errors.map(({ pointer }: { pointer: string }) => pointer)).toEqual(['/fact/occurredOn', '/fact/days'])
  const unknown = await ask('wishes', {})
  expect(unknown.json.errors).toMatchObject([{ pointer: '/kind', came: 'wishes' }])
  expect(unknown.json.errors[0].expected).toContain('bench-tests, past-tests, corrective-steps')
  const move = await ask('moves', { occurredOn: '2026-03-10', to: { store: 'DEP-77' } })
  expect(move.json.errors).toMatchObject([{ pointer: '/fact/to/store', came: 'DEP-77' }])
})

describe('likely slips are asked, and change nothing of the answer', () => {
  const codesAt = (json: Reply['json']) =>
    json.questions.map(({ code, pointer }: { code: string; pointer: string }) => `${code} ${pointer}`)

  test('a day of another year: which day may be meant, with the pointer of its own field', async () => {
    const test = await ask('bench-tests', withoutId(aTest({ testedOn: day('2025-03-08') })))
    expect(test.json.verdict).toBe('pass')
    expect(test.json.questions).toEqual([
      {
        code: 'date-far-off',
        text: '2025-03-08 is 367 days before today, 2026-03-10. Is it 2026-03-08?',
        pointer: '/fact/testedOn',
        says: { is: 'long before today, meant', on: '2025-03-08', days: 367, today: '2026-03-10', meant: '2026-03-08' },
      },
    ])
    const use = await ask('uses', { occurredOn: '2025-03-08' }, 'crew')
    expect([use.status, codesAt(use.json)]).toEqual([200, ['date-far-off /fact/occurredOn']])
  })

  test('a day with no date in it is danger taken as stated, and nothing is asked of it', async () => {
    const { status, json } = await ask('defects', { occurredOn: '2026-13-41', kind: 'tingle' }, 'crew')
    expect([status, json.questions]).toEqual([200, []])
  })

  test('a test typed in long before the last one on record that proves something', async () => {
    const before = await ask('bench-tests', withoutId(aTest({ testedOn: day('2026-01-19') })))
    expect(before.json.questions).toMatchObject([{ text: expect.stringContaining('32 days before its last test') }])
    const { json } = await ask('bench-tests', withoutId(aTest({ testedOn: day('2026-01-20') })))
    expect(json.questions).toEqual([])
  })

  test('a slipped decimal: the verdict fails it as it was typed, and the question says what may be meant', async () => {
    const readings = (at: number) => survey(2.4, 4).map((one, i) => (i === at ? { ...one, leakageMicroamps: 41 } : one))
    const fact = aTest({ testedOn: day('2026-03-10'), dry: { readings: readings(3) } })
    const { json } = await ask('bench-tests', fact)
    expect(json.questions).toEqual([
      {
        code: 'reading-far-from-neighbours',
        text: 'Dry, quarter turn 0°, 0.75 to 1.05 m reads 41 µA where its neighbours read about 4 µA. Is it 4.1?',
        pointer: '/fact/dry/readings/3/leakageMicroamps',
        says: { is: 'far from its neighbours, meant', reads: 41, usual: 4, meant: 4.1 },
        place: { state: 'dry', quarterTurn: 0, fromMetres: 0.75, toMetres: 1.05 },
      },
    ])
    expect(json.verdict).toBe('fail')
    const recorded = await house.call('POST', '/v1/sticks/S-1/bench-tests', fact, 'bench')
    expect([json.verdict, json.reasons]).toEqual([recorded.json.verdict, recorded.json.reasons])
  })

  test('a whole state ten times what the last test read', async () => {
    const { json } = await ask(
      'bench-tests',
      aTest({ testedOn: day('2026-03-10'), dry: { readings: survey(2.4, 42) } }),
    )
    expect(codesAt(json)).toEqual(['decimal-slipped /fact/dry/readings'])
    expect(json.questions[0].text).toContain('the last test, on 2026-02-20')
  })

  test('what an employer states in a procedure is what checks are compared with', async () => {
    const instrumentChecks = aTest().instrumentChecks.map((one) => ({ ...one, checkMicroamps: 9.8 }))
    const { json } = await ask('bench-tests', aTest({ testedOn: day('2026-03-10'), instrumentChecks }))
    expect(json.verdict).toBe('invalid')
    expect(codesAt(json)).toEqual([
      'decimal-slipped /fact/instrumentChecks/0/checkMicroamps',
      'decimal-slipped /fact/instrumentChecks/1/checkMicroamps',
    ])
  })

  test('another stick at the bench, of a number one slip away: of those that the caller may see', async () => {
    const north = { name: 'Ned Nord', email: 'ned@demo-utility.example', role: 'bench', depots: ['DEP-1'] }
    await house.done('PUT', '/v1/people/north-bench', north)
    for (const [id, body] of [
      ['S-2', aStick],
      ['S-3', { ...aStick, crewId: 'CR-2' }],
      ['S-14', aStick],
    ] as const) {
      await house.done('PUT', `/v1/sticks/${id}`, body)
      await house.done('POST', `/v1/sticks/${id}/moves`, moveTo({ bench: id === 'S-3' ? 'DEP-2' : 'DEP-1' }), 'manager')
    }
    const step = { occurredOn: '2026-03-10', kind: 'cleaned', by: 'Ines Roth' }
    const asked = async (who: Who) => (await ask('corrective-steps', step, who)).json.questions
    expect(await asked('bench')).toEqual([
      {
        code: 'another-number',
        text: 'S-1 is not at the bench; S-2 and S-3 are. Is it one of these?',
        pointer: '/fact',
        says: { is: 'two others are there', stickId: 'S-1', one: 'S-2', two: 'S-3' },
      },
    ])
    // S-3 lies at the bench of another depot
    expect(await asked('north bench')).toMatchObject([{ text: 'S-1 is not at the bench; S-2 is. Is it that one?' }])
    expect((await ask('uses', { occurredOn: '2026-03-10' }, 'crew')).json.questions).toEqual([])
    await house.done('POST', '/v1/sticks/S-1/moves', moveTo({ bench: 'DEP-1' }), 'bench')
    expect(await asked('bench')).toEqual([])
  })
  const moveTo = (to: object) => ({ factId: randomUUID(), occurredOn: '2026-03-10', to })

  test('a length that is on the register in feet', async () => {
    await house.done('PUT', '/v1/sticks/S-8', { ...aStick, workingLengthMetres: 8 })
    const { json } = await ask('bench-tests', aTest({ testedOn: day('2026-03-10') }), 'bench', 'S-8')
    expect([json.verdict, codesAt(json)]).toEqual(['incomplete', ['length-in-feet /fact/dry/readings/9/toMetres']])
  })
})
