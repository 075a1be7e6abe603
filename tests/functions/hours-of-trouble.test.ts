/** Trouble that lasts for hours, and word that is overtaken meanwhile: who hears of a held stick in the end, and of what. */
import { randomUUID } from 'node:crypto'
import { marshall } from '@aws-sdk/util-dynamodb'
import type { DynamoDBRecord } from 'aws-lambda'
import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest'
import { deliverUnsent, type Parts } from '../../functions/deliver-notices/deliver-notices.ts'
import { deliverFromStream } from '../../functions/deliver-notices/from-stream.ts'
import { NoMail } from '../../functions/deliver-notices/mail.ts'
import { messageOf } from '../../functions/deliver-notices/message.ts'
import { takeAll } from '../../functions/feedback/feedback.ts'
import { followUp } from '../../functions/follow-up/follow-up.ts'
import { tellOfUndelivered } from '../../functions/follow-up/undelivered.ts'
import { markAnswered } from '../../functions/platform/awaited.ts'
import { keysOf } from '../../functions/platform/keys.ts'
import { type Notice, notConfirmed, noticesOfStick } from '../../functions/platform/notices.ts'
import type { Table } from '../../functions/platform/table.ts'
import { sweep } from '../../functions/sweep/sweep.ts'
import { aCrew, aManager, aStick, aTest, day, overTheLimit } from '../support/trade.ts'
import { demo, furnish, type House, openHouse } from './house.ts'

const [ana, bo] = ['ana@crew-one.example', 'bo@crew-one.example']
const [mia, max] = ['manager@demo-utility.example', 'manager-2@demo-utility.example']
const oda = 'owner@demo-utility.example'
const everybody = [ana, bo, max, mia]

const said: string[] = []
beforeEach(() => {
  said.length = 0
  for (const level of ['info', 'error'] as const)
    vi.spyOn(console, level).mockImplementation((line) => void said.push(String(line)))
})
afterEach(() => vi.restoreAllMocks())

const rang = (words: string) => said.filter((line) => line.includes('"error"') && line.includes(`"${words}"`)).length

/** Minutes after 14:00 UTC, 08:00 at the depot. */
const clockAt = (minutes: number) => new Date(Date.parse('2026-03-06T14:00:00.000Z') + minutes * 60_000).toISOString()
const noticesIn = (house: House) =>
  house.table.items().filter((item) => item.entity === 'notice') as unknown as Notice[]
const owed = (house: House) => noticesIn(house).filter(({ state }) => state === 'owed')
const readers = (notices: readonly Notice[]) => [...new Set(notices.map(({ to }) => to.email))].sort()

const refusal = (name: string, message = 'as nobody knows it') =>
  Object.assign(new Error(message), { name, $metadata: { httpStatusCode: 400 } })

type Refuses = (notice: Notice) => Error | null

/** A mail service, and a run of everything that comes every five minutes. */
function service(house: House, refuses: Refuses = () => null, table: Table = house.table) {
  const sent: Notice[] = []
  const mailer = {
    async send(notice: Notice) {
      const error = refuses(notice)
      if (error !== null) throw error
      sent.push(notice)
      return `ses-${notice.number}`
    },
    mostPerSecond: async () => 1000,
  }
  const pace = { turn: async () => true, backOff: async () => false }
  const parts: Parts = { table, mailer, clock: house.clock, pace }

  async function run(): Promise<void> {
    await deliverUnsent(parts)
    await followUp(house.table, house.clock())
    await tellOfUndelivered(house.table, house.clock())
  }

  async function minutes(from: number, to: number, before: (minute: number) => void = () => undefined): Promise<void> {
    for (let minute = from; minute <= to; minute += 5) {
      house.at(clockAt(minute))
      before(minute)
      await run()
    }
  }

  return { sent, parts, run, minutes }
}

/** S-1 is fit, and all that this owed has left. */
async function sound(): Promise<House> {
  const house = openHouse([], clockAt(0))
  await furnish(house)
  await house.done('POST', '/v1/sticks/S-1/bench-tests', aTest({ testedOn: day('2026-03-06'), at: '07:00' }))
  return house
}

const report = (house: House, stickId = 'S-1', kind = 'tingle') =>
  house.done('POST', `/v1/sticks/${stickId}/defects`, { factId: randomUUID(), occurredOn: '2026-03-06', kind })

async function held(): Promise<House> {
  const house = await sound()
  await report(house)
  return house
}

describe('a mail service that takes nothing for three hours', () => {
  test.each([
    ['an account under review', refusal('MessageRejected', 'Sending suspended for this account.')],
    ['a refusal that says nothing of the account', refusal('MessageRejected', 'Not now.')],
    ['a code that nobody knows', refusal('SomethingNew')],
  ])('loses none of four holds: %s', async (_, error) => {
    const house = await held()
    let away = true
    const { sent, minutes } = service(house, () => (away ? error : null))
    await minutes(5, 300, (minute) => {
      away = minute <= 180
    })
    expect(readers(sent.filter(({ kind }) => kind === 'hold'))).toEqual(everybody)
    expect([owed(house), rang('notice set aside')]).toEqual([[], 0])
  })

  test('rings the first time, and each time after that', async () => {
    const house = await held()
    const { run } = service(house, () => refusal('SomethingNew'))
    house.at(clockAt(5))
    for (const times of [1, 2]) {
      await run()
      expect(rang('the mail service takes nothing')).toBe(times)
    }
  })
})

describe('a notice that is refused each time, by a code that nobody knows', () => {
  const refusedTo =
    (...emails: readonly string[]): Refuses =>
    ({ to }) =>
      emails.includes(to.email) ? refusal('SomethingNew') : null

  test.each([[[ana]], [[ana, bo]]])('holds up no other, goes aside, rings and is passed on: %s', async (poison) => {
    const house = await held()
    const { sent, run, minutes } = service(house, refusedTo(...poison))
    house.at(clockAt(5))
    await run()
    const others = everybody.filter((email) => !poison.includes(email))
    expect(readers(sent)).toEqual(others)
    await minutes(10, 60)
    expect(readers(noticesIn(house).filter(({ undeliveredWhy }) => undeliveredWhy === 'refused'))).toEqual(poison)
    expect(rang('notice set aside')).toBeGreaterThanOrEqual(poison.length)
    expect(rang('the mail service takes nothing')).toBe(0)
    expect(readers(sent.filter(({ kind }) => kind === 'not delivered'))).toEqual([max, mia])
    expect(owed(house)).toEqual([])
  })

  test('nor in the stream, where it came first', async () => {
    const house = await held()
    const { sent, parts } = service(house, refusedTo(ana))
    const batch = owed(house).map(
      (notice) =>
        ({
          eventName: 'INSERT',
          dynamodb: { NewImage: marshall(notice, { removeUndefinedValues: true }), SequenceNumber: notice.number },
        }) as DynamoDBRecord,
    )
    expect(await deliverFromStream(parts, batch)).toEqual({ batchItemFailures: [] })
    expect(readers(sent)).toEqual([bo, max, mia])
  })

  test('alone in its run is judged by itself', async () => {
    const house = await held()
    const { minutes } = service(house, refusedTo(...everybody))
    for (const notice of owed(house).slice(1)) await markAnswered(house.table, notice, house.clock())
    await minutes(5, 25)
    expect(rang('notice set aside')).toBe(1)
  })

  test('for what can be made no mail of is its own fault, whatever becomes of the others', async () => {
    const house = await held()
    const { minutes } = service(house, ({ to }) => (to.email === ana ? new NoMail('no') : refusal('SomethingNew')))
    await minutes(5, 30)
    expect(rang('notice set aside')).toBe(1)
  })

  test('five that are refused in a row end the run, and the next begins with others', async () => {
    const house = await held()
    for (const id of ['S-5', 'S-6']) {
      await house.done('PUT', `/v1/sticks/${id}`, aStick)
      await report(house, id)
    }
    const asked: string[] = []
    const { run } = service(house, ({ number }) => {
      asked.push(number)
      return refusal('SomethingNew')
    })
    house.at(clockAt(5))
    await run()
    expect(asked).toHaveLength(5)
    await run()
    expect(new Set(asked).size).toBe(10)
  })
})

test('a table that cannot be read for half an hour costs no notice', async () => {
  const house = await held()
  let away = true
  const table: Table = {
    ...house.table,
    get: (key) => (away ? Promise.reject(refusal('ThrottlingException')) : house.table.get(key)),
  }
  const { sent, minutes } = service(house, () => null, table)
  await minutes(5, 60, (minute) => {
    away = minute <= 30
  })
  expect(readers(sent.filter(({ kind }) => kind === 'hold'))).toEqual(everybody)
  expect(rang('notice set aside')).toBe(0)
})

describe('a digest that waited while a stick in it was reported', () => {
  const soon = ['S-1', 'S-5']
  async function waiting(): Promise<House> {
    const house = openHouse([], '2026-03-05T20:00:00.000Z')
    await furnish(house)
    await house.done('PUT', '/v1/sticks/S-5', aStick)
    for (const id of soon)
      await house.done('POST', `/v1/sticks/${id}/bench-tests`, aTest({ testedOn: day('2024-03-20') }))
    house.at('2026-03-06T13:00:00.000Z')
    await sweep(house.table, house.clock)
    house.at('2026-03-06T13:20:00.000Z')
    return house
  }
  const lastTo = (sent: readonly Notice[], email: string) => sent.filter(({ to }) => to.email === email).at(-1)

  test('leaves without it, and with those that may be used; the log says so too', async () => {
    const house = await waiting()
    await report(house)
    const { sent, run } = service(house)
    house.at('2026-03-06T13:25:00.000Z')
    await run()
    const last = lastTo(sent, ana)
    expect([last?.kind, last?.lines.map(({ stickId }) => stickId)]).toEqual(['digest', ['S-5']])
    expect(messageOf(last as Notice, 'https://p').text).not.toContain('S-1')
    const toldOf = async (id: string) =>
      (await noticesOfStick(house.table, keysOf(demo), id, '0')).filter(({ to }) => to.email === ana)
    expect((await toldOf('S-1')).map(({ kind }) => kind)).toEqual(['hold'])
    expect(await toldOf('S-5')).toMatchObject([{ kind: 'digest', state: 'sent', lines: [{ stickId: 'S-5' }] }])
  })

  test('is withdrawn where none is left, and the hold is the last that is read', async () => {
    const house = await waiting()
    for (const id of soon) await report(house, id)
    const { sent, run } = service(house)
    house.at('2026-03-06T13:25:00.000Z')
    await run()
    expect(lastTo(sent, ana)?.kind).toBe('hold')
    expect(noticesIn(house).filter(({ kind }) => kind === 'digest')).toMatchObject([
      { state: 'withdrawn' },
      { state: 'withdrawn' },
    ])
  })

  test('leaves as it was where nothing was reported', async () => {
    const house = await waiting()
    const { sent, run } = service(house)
    house.at('2026-03-06T13:25:00.000Z')
    await run()
    expect(lastTo(sent, ana)?.lines.map(({ stickId }) => stickId)).toEqual(soon)
  })
})

describe('where the managers cannot be told', () => {
  const comesBack = (house: House, { number, to }: Notice, event: object) =>
    takeAll({ table: house.table, clock: house.clock }, [
      {
        id: randomUUID(),
        message: JSON.stringify({
          ...event,
          mail: {
            messageId: `ses-${number}`,
            destination: [to.email],
            tags: { notice: [number], organisation: [demo] },
          },
        }),
      },
    ])
  const complaint = { eventType: 'Complaint', complaint: { complaintFeedbackType: 'abuse' } }
  const bounce = {
    eventType: 'Bounce',
    bounce: { bounceType: 'Permanent', bounceSubType: 'General', bouncedRecipients: [] },
  }

  /** Max sees to another depot; Oda owns the organisation. */
  async function oneManager(ofManagers: readonly string[] = ['manager']): Promise<House> {
    const house = await sound()
    for (const id of ['manager', 'manager-2'].filter((one) => !ofManagers.includes(one)))
      await house.done('PUT', `/v1/people/${id}`, {
        ...aManager,
        email: `${id}@demo-utility.example`,
        depots: ['DEP-2'],
      })
    await house.done('PUT', '/v1/people/boss', { ...aManager, name: 'Oda Falk', email: oda, role: 'owner' })
    return house
  }

  test('the only one complained of a mail once: of the next hold that comes back the owner hears, and gets it', async () => {
    const house = await oneManager()
    const { sent, minutes } = service(house)
    await house.done('PUT', '/v1/sticks/S-5', aStick)
    await report(house, 'S-5')
    await minutes(5, 5)
    await comesBack(house, sent.find(({ to }) => to.email === mia) as Notice, complaint)
    await minutes(10, 15)
    sent.length = 0
    await report(house)
    await minutes(20, 20)
    for (const one of sent.filter(({ to }) => [ana, bo].includes(to.email))) await comesBack(house, one, bounce)
    await minutes(25, 40)
    const toOda = sent.filter(({ to }) => to.email === oda)
    expect(new Set(toOda.map(({ kind }) => kind))).toEqual(new Set(['hold', 'not delivered']))
    expect(toOda.flatMap(({ passedOnFor }) => passedOnFor ?? [])).toContain('Bo Lind')
  })

  test('since there is none, the owner is told of a hold like a manager', async () => {
    const house = await oneManager([])
    const { sent, minutes } = service(house)
    await report(house)
    await minutes(5, 5)
    expect(readers(sent)).toEqual([ana, bo, oda])
  })

  test('since none of them answers, the owner hears of the silence; where one has, he does not', async () => {
    for (const answers of [false, true]) {
      const house = await oneManager()
      const { sent, minutes } = service(house)
      await report(house)
      await minutes(5, 5)
      if (answers)
        for (const one of sent.filter(({ to }) => to.email === mia)) await markAnswered(house.table, one, house.clock())
      await minutes(10, 48 * 60)
      expect([answers, readers(sent).includes(oda)]).toEqual([answers, !answers])
      expect(sent.filter(({ to }) => to.email === oda).length).toBeLessThanOrEqual(3)
    }
  })

  test('and there is no owner above their silence: it rings, though not where there is one', async () => {
    const house = await oneManager()
    await house.done('PUT', '/v1/people/boss', { ...aManager, email: oda, depots: ['DEP-2'] })
    const { minutes } = service(house)
    await report(house)
    await minutes(5, 48 * 60)
    expect(rang('nobody is left to be told')).toBeGreaterThanOrEqual(1)
    const owned = await oneManager()
    said.length = 0
    const other = service(owned)
    await report(owned)
    await other.minutes(5, 48 * 60)
    expect(rang('nobody is left to be told')).toBe(0)
  })

  test('nor an owner: it rings', async () => {
    const house = await oneManager([])
    const nobody = { ...aCrew, recipients: [{ name: 'Ana Ferro', email: ana, role: 'crew' }] }
    await house.done('PUT', '/v1/crews/CR-1', nobody)
    await house.done('PUT', '/v1/people/boss', { ...aManager, email: oda, depots: ['DEP-2'] })
    const { sent, minutes } = service(house)
    await report(house)
    await minutes(5, 5)
    expect(readers(sent)).toEqual([ana])
    await comesBack(house, sent[0] as Notice, bounce)
    await minutes(10, 10)
    expect(rang('nobody is left to be told')).toBe(1)
  })
})

describe('a hold that nobody confirms while more comes to be known of the stick', () => {
  const failed = (house: House, at: string) =>
    house.done('POST', '/v1/sticks/S-1/bench-tests', overTheLimit({ testedOn: day('2026-03-06'), at }))

  test('is told higher up as the stick stands by then', async () => {
    const house = await held()
    const { sent, minutes } = service(house)
    await minutes(5, 60)
    await failed(house, '08:30')
    const step = { factId: randomUUID(), occurredOn: '2026-03-06', kind: 'refinished', by: 'Ines Roth' }
    await house.done('POST', '/v1/sticks/S-1/corrective-steps', step)
    house.at(clockAt(120))
    await failed(house, '09:50')
    await minutes(125, 250)
    const higher = sent.filter(({ kind }) => kind === 'unanswered')
    expect(higher.length).toBeGreaterThan(0)
    expect(new Set(higher.map(({ lines }) => lines[0]?.status))).toEqual(new Set(['removed from service']))
  })

  test('leaves on the roster whoever has not confirmed the newest of it, until the stick was fit again', async () => {
    const house = await held()
    const { minutes } = service(house)
    const silent = async () => (await notConfirmed(house.table, keysOf(demo), 'S-1')).map(({ to }) => to.email).sort()
    await minutes(5, 5)
    for (const one of noticesIn(house).filter(({ kind, to }) => kind === 'hold' && to.email !== bo))
      await markAnswered(house.table, one, house.clock())
    expect(await silent()).toEqual([bo])
    house.at(clockAt(180))
    await failed(house, '10:30')
    await minutes(185, 250)
    // the silence about the first hold has climbed meanwhile
    expect(await silent()).toEqual(everybody)
    for (const one of noticesIn(house).filter(({ to }) => to.email === ana))
      await markAnswered(house.table, one, house.clock())
    expect(await silent()).toEqual([bo, max, mia])
  })
})
