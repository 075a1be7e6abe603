/** Clocks that run by use, by storage and by the shelf, and a change of the rules over a large fleet. */
import { randomUUID } from 'node:crypto'
import { BatchWriteItemCommand, DynamoDBClient, GetItemCommand } from '@aws-sdk/client-dynamodb'
import { marshall, unmarshall } from '@aws-sdk/util-dynamodb'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { type LocalStack, startStack } from '../local-stack.ts'
import { cases } from '../support/tier.ts'
import { aStick, aTest, day } from '../support/trade.ts'
import { ana, bo, bring, furnish, lookAt, manager, put } from './furnish.ts'

const us = 'us-29-cfr-1910-269-j'
const everyStick = { primaryProtectionOnly: false, constructions: ['foam-filled FRP tube'] }
const own = { jurisdiction: 'the employer', confidence: 'the employer’s own' }
const byUse = {
  id: 'own-dry-by-use',
  words: 'tested dry at most every 6 months in frequent use, 12 months in occasional use',
  source: { cited: 'Tool manual 3.1', ...own },
  evidence: ['dry test'],
  interval: { months: 12 },
  byClass: { frequent: { months: 6 }, occasional: { months: 12 } },
  appliesTo: everyStick,
  legalMaximum: false,
}
const shelf = {
  id: 'own-shelf',
  words: 'tested at most 12 months before its first issue',
  source: { cited: 'Tool manual 3.4', ...own },
  evidence: ['dry test'],
  interval: { months: 24 },
  shelfMonths: 12,
  appliesTo: everyStick,
  legalMaximum: false,
}

let stack: LocalStack
beforeAll(async () => {
  stack = await startStack({ memory: true })
  await stack.day('2026-03-02')
  await furnish(stack)
})
afterAll(async () => {
  await stack?.stop()
})

const post = (stickId: string, door: string, occurredOn: string, more: object) =>
  stack.call('POST', `/v1/sticks/${stickId}/${door}`, { factId: randomUUID(), occurredOn, ...more }, 'bench')
const codes = (answer: { json: unknown }) =>
  (answer.json as { reasons: { code: string }[] }).reasons.map(({ code }) => code)
const subjectsOf = async (to: string, stickId: string) =>
  (await stack.mail(to)).map(({ subject }) => subject).filter((subject) => subject.includes(stickId))

describe('under UFC 3-560-01 section 5-4: dry every 6 months in frequent use, 12 in long storage', () => {
  beforeAll(async () => {
    await put(stack, '/v1/policies/employer', { packs: [us, 'ufc-3-560-01-5-4'] })
    for (const stickId of ['S-1', 'S-2']) {
      await put(stack, `/v1/sticks/${stickId}`, aStick)
      await bring(stack, aTest(), stickId)
      await post(stickId, 'moves', '2026-03-02', { to: { store: 'DEP-1' } })
    }
    await stack.day('2026-10-05')
  })

  test('a stick in store is good for 12 months, though not to be issued after 6', async () => {
    expect(await lookAt(stack, 'S-1')).toMatchObject({ status: 'in service', dueOn: '2027-03-02' })
    const issue = { to: { crewId: 'CR-1' } }
    const supposed = await stack.call('POST', '/v1/sticks/S-1/what-if', {
      kind: 'moves',
      fact: { occurredOn: '2026-10-05', ...issue },
    })
    expect([supposed.status, codes(supposed)]).toEqual([409, ['overdue']])
    const refused = await post('S-1', 'moves', '2026-10-05', issue)
    expect([refused.status, codes(refused)]).toEqual([409, ['overdue']])
    expect(refused.text).toContain('In use it would be overdue')
    expect(await lookAt(stack, 'S-1')).toMatchObject({ status: 'in service', custody: { store: 'DEP-1' } })
  })

  test('used from the store it was never at rest: overdue the same minute, and told', async () => {
    const used = await post('S-2', 'uses', '2026-10-05', { days: 1 })
    expect(used.status).toBe(201)
    expect(await lookAt(stack, 'S-2')).toMatchObject({ status: 'overdue', dueOn: '2026-09-02', daysOverdue: 33 })
    await stack.settle()
    expect(await subjectsOf(manager, 'S-2')).toHaveLength(1)
  })
})

describe('by the employer’s own clocks', () => {
  beforeAll(async () => {
    await stack.day('2027-01-11')
    await put(stack, '/v1/policies/employer', {
      packs: [us],
      add: [byUse, shelf],
      occasionalUse: { windowDays: 180, atMostUseDays: 5 },
    })
    for (const stickId of ['S-3', 'S-4']) {
      const { crewId: _, ...unissued } = aStick
      await put(stack, `/v1/sticks/${stickId}`, stickId === 'S-3' ? aStick : unissued)
    }
    await put(stack, '/v1/instruments/INS-1', {
      spanMetres: 0.3,
      calibratedOn: '2026-12-01',
      calibrationDueOn: '2027-12-01',
    })
    await post('S-3', 'uses', '2027-01-10', { days: 2 })
    for (const stickId of ['S-3', 'S-4']) await bring(stack, aTest({ testedOn: day('2027-01-11') }), stickId)
    await post('S-4', 'moves', '2027-01-11', { to: { store: 'DEP-1' } })
  })

  test('a crew that comes to use a stick often has an overdue one at once, and hears of the wrong label', async () => {
    await stack.day('2027-09-13')
    expect(await lookAt(stack, 'S-3')).toMatchObject({ status: 'in service', dueOn: '2028-01-11' })
    await post('S-3', 'uses', '2027-09-08', { days: 6 })
    expect(await lookAt(stack, 'S-3')).toMatchObject({ status: 'overdue', dueOn: '2027-07-11', daysOverdue: 64 })
    await stack.settle()
    for (const to of [ana, bo, manager]) {
      const [mail] = (await stack.mail(to)).filter(({ subject }) => subject.includes('S-3'))
      expect(mail?.subject).toContain('due earlier than its label says')
      expect(mail?.text).toContain('11 January 2028')
    }
  })

  test('a tested stick past its shelf limit cannot be issued', async () => {
    await stack.day('2028-01-11')
    const lastDay = await stack.call('POST', '/v1/sticks/S-4/what-if', {
      kind: 'condition-checks',
      fact: { occurredOn: '2028-01-11', by: 'Ines Roth', sound: true },
    })
    expect(lastDay.json).toMatchObject({ stick: { holds: [] }, questions: [] })
    const yearTyped = await stack.call('POST', '/v1/sticks/S-4/what-if', {
      kind: 'uses',
      fact: { occurredOn: '2027-01-13' },
    })
    expect(yearTyped.json).toMatchObject({
      questions: [
        { code: 'date-far-off', pointer: '/fact/occurredOn', text: expect.stringMatching('Is it 2028-01-13') },
      ],
    })
    await stack.day('2028-01-12')
    const issue = await post('S-4', 'moves', '2028-01-12', { to: { crewId: 'CR-1' } })
    expect([issue.status, codes(issue)]).toEqual([409, ['on-hold', 'shelf-limit']])
  })
})

describe('an edition that cuts 24 months to 12, over a large fleet', () => {
  const size = cases(10_000, 600)
  const idOf = (i: number) => `T-${String(i).padStart(5, '0')}`
  const overdueIn = async (query: string) =>
    (await stack.call('GET', `/v1/roster?crew=CR-9&status=overdue&limit=200${query}`)).json as {
      items: { stickId: string }[]
      next: string | null
    }

  beforeAll(async () => {
    await stack.day('2028-03-01')
    await put(stack, '/v1/policies/employer', { packs: [us] })
    await put(stack, '/v1/depots/DEP-9', { name: 'East yard', timeZone: 'America/Chicago', sweepHour: 6 })
    await put(stack, '/v1/crews/CR-9', {
      name: 'Crew nine',
      depotId: 'DEP-9',
      recipients: [{ name: 'Cy Dahl', email: 'cy@crew-nine.example', role: 'foreman' }],
    })
    await put(stack, '/v1/instruments/INS-1', {
      spanMetres: 0.3,
      calibratedOn: '2026-12-01',
      calibrationDueOn: '2029-12-01',
    })
    for (const [i, testedOn] of [
      [0, '2027-02-01'],
      [1, '2027-12-01'],
    ] as const) {
      await put(stack, `/v1/sticks/${idOf(i)}`, { ...aStick, crewId: 'CR-9' })
      await bring(stack, aTest({ testedOn: day(testedOn) }), idOf(i))
    }
    await stack.settle()
    await multiply(stack, [idOf(0), idOf(1)], size, idOf)
  }, 180_000)

  test('binds every read at once, while facts come in, before and after the lists are rewritten', async () => {
    await put(stack, '/v1/policies/employer', {
      packs: [us],
      shorten: [{ requirement: `${us}-frp`, interval: { months: 12 }, source: 'Tool manual 1.2' }],
    })
    const look = async (i: number) => {
      const { status, dueOn } = await lookAt(stack, idOf(i))
      return [status, dueOn]
    }
    const asTheRulesSay = async () => {
      const both = await Promise.all(
        [0, 2, size / 2 - 2, size - 2].map(async (i) => [await look(i), await look(i + 1)]),
      )
      expect(both).toEqual(
        both.map(() => [
          ['overdue', '2028-02-01'],
          ['in service', '2028-12-01'],
        ]),
      )
    }
    await asTheRulesSay()
    expect((await overdueIn('')).items).toHaveLength(200)

    // five minutes on the rewriting begins; it takes a while, and nobody waits for it
    await stack.clock('2028-03-01T15:05:30Z')
    const rewriting = settled(stack)
    const posts = cases(20, 8)
    let meanwhile = 0
    for (let i = size / 2; meanwhile < posts; i += size / 50, meanwhile++) {
      const answer = await post(idOf(i), 'defects', '2028-03-01', { kind: 'scratch' })
      expect(answer.json).toMatchObject({ stick: { status: 'on hold', dueOn: '2028-02-01' } })
      await asTheRulesSay()
    }
    await rewriting

    await asTheRulesSay()
    const found: string[] = []
    for (let query = ''; ; ) {
      const { items, next } = await overdueIn(query)
      found.push(...items.map(({ stickId }) => stickId))
      if (next === null) break
      query = `&cursor=${encodeURIComponent(next)}`
    }
    expect(new Set(found).size).toBe(found.length)
    expect(found).toHaveLength(size / 2 - meanwhile)
  }, 180_000)
})

/** Longer than one wait of the stack's own: 10,000 sticks are more than half a minute of writing. */
async function settled(stack: LocalStack): Promise<void> {
  for (let tries = 0; tries < 8; tries++) {
    const { status } = await stack.call('POST', '/local/settle', {}, '')
    if (status === 200) return
  }
  throw new Error('the lists were not rewritten in four minutes')
}

/** The states of these sticks again and again under other names; their histories stay behind. */
async function multiply(
  { parts: { table } }: LocalStack,
  models: readonly string[],
  size: number,
  idOf: (i: number) => string,
): Promise<void> {
  const credentials = { accessKeyId: 'local', secretAccessKey: 'local' }
  const client = new DynamoDBClient({ endpoint: table.endpoint, region: 'us-east-1', credentials })
  const key = (id: string) => marshall({ pk: `ORG#demo-utility#STICK#${id}`, sk: 'STATE' })
  const texts = await Promise.all(
    models.map(async (id) => {
      const { Item } = await client.send(new GetItemCommand({ TableName: table.name, Key: key(id) }))
      if (Item === undefined) throw new Error(`no state of ${id}`)
      return JSON.stringify(unmarshall(Item))
    }),
  )
  const puts = Array.from({ length: size - models.length }, (_, n) => {
    const i = n + models.length
    const model = i % models.length
    const text = texts[model]?.replaceAll(models[model] ?? '', idOf(i)) ?? ''
    return { PutRequest: { Item: marshall(JSON.parse(text)) } }
  })
  for (let i = 0; i < puts.length; i += 25) {
    await client.send(new BatchWriteItemCommand({ RequestItems: { [table.name]: puts.slice(i, i + 25) } }))
  }
  client.destroy()
}
