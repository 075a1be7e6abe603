/**
 * Trouble that lasts for hours, and word that is overtaken meanwhile: who hears of a held stick in the end, and of
 * what.
 */
import { randomUUID } from 'node:crypto'
import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest'
import { asItStands } from '../../functions/deliver-notices/as-it-stands.ts'
import { deliverUnsent, type Parts } from '../../functions/deliver-notices/deliver-notices.ts'
import { deliverFromQueue } from '../../functions/deliver-notices/from-queue.ts'
import { NoMail } from '../../functions/deliver-notices/mail.ts'
import { takeAll } from '../../functions/feedback/feedback.ts'
import { followUp } from '../../functions/follow-up/follow-up.ts'
import { tellOfUndelivered } from '../../functions/follow-up/undelivered.ts'
import { restoredMark } from '../../functions/store/keys.ts'
import { openNotices } from '../../functions/store/notice-life.ts'
import type { Notice } from '../../functions/store/notices.ts'
import type { Table } from '../../functions/store/table.ts'
import { sweep } from '../../functions/sweep/sweep.ts'
import { messageOf } from '../support/mails.ts'
import { queueMessage } from '../support/queue-message.ts'
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
    quota: async () => ({ mostPerSecond: 1000, mostADay: null, sentADay: 0 }),
  }
  const pace = { hasRoomForOthers: async () => true, turn: async () => true, backOff: async () => false }
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

const handed = (...notices: readonly Notice[]) => queueMessage('M-1', notices)

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

  test('nor where it began after the first of them was taken', async () => {
    const house = await held()
    let taken = 0
    let away = true
    const { sent, minutes } = service(house, () =>
      away && taken++ > 0 ? refusal('MessageRejected', 'Not now.') : null,
    )
    await minutes(5, 300, (minute) => {
      away = minute <= 180
    })
    expect(readers(sent.filter(({ kind }) => kind === 'hold'))).toEqual(everybody)
    expect(rang('notice set aside')).toBe(0)
  })

  test('nor where each came in a message of its own', async () => {
    const house = await held()
    let away = true
    const { sent, parts, minutes } = service(house, () => (away ? refusal('MessageRejected', 'Not now.') : null))
    for (const one of owed(house)) await deliverFromQueue(parts, [handed(one)])
    await minutes(5, 300, (minute) => {
      away = minute <= 180
    })
    expect(readers(sent.filter(({ kind }) => kind === 'hold'))).toEqual(everybody)
    expect(rang('notice set aside')).toBe(0)
  })

  test('and holds leave before the digests that were written meanwhile', async () => {
    const house = openHouse([], '2026-03-05T20:00:00.000Z')
    await furnish(house)
    await house.done('PUT', '/v1/sticks/S-5', aStick)
    await house.done('POST', '/v1/sticks/S-5/bench-tests', aTest({ testedOn: day('2024-03-20') }))
    house.at(clockAt(-60))
    await report(house)
    let away = true
    const { sent, minutes } = service(house, () => (away ? refusal('SomethingNew') : null))
    await minutes(-55, 0)
    await sweep(house.table, house.clock)
    await minutes(5, 20)
    away = false
    await minutes(25, 25)
    expect(sent.map(({ kind }) => kind)).toEqual([...everybody.map(() => 'hold'), 'digest', 'digest'])
  })

  test('rings the first time, and each time after that', async () => {
    const house = await held()
    const { run } = service(house, () => refusal('SomethingNew'))
    house.at(clockAt(5))
    for (const times of [1, 2]) {
      await run()
      expect(rang('mails are refused and wait')).toBe(times)
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
    const { sent, parts, minutes } = service(house, refusedTo(...poison))
    // the crew's come first
    await deliverFromQueue(parts, [handed(...owed(house))])
    expect(readers(sent)).toEqual(everybody.filter((email) => !poison.includes(email)))
    await minutes(5, 60)
    expect(readers(noticesIn(house).filter(({ undeliveredWhy }) => undeliveredWhy === 'refused'))).toEqual(poison)
    expect(rang('notice set aside')).toBeGreaterThanOrEqual(poison.length)
    expect(readers(sent.filter(({ kind }) => kind === 'not delivered'))).toEqual([max, mia])
    expect(owed(house)).toEqual([])
  })

  test('the last of all, with no mail after it, does so after four hours', async () => {
    const house = await held()
    const { parts, minutes } = service(house, refusedTo(mia))
    const [hers, others] = [true, false].map((is) => owed(house).filter(({ to }) => (to.email === mia) === is))
    for (const batch of [others, hers]) await deliverFromQueue(parts, [handed(...(batch ?? []))])
    await minutes(5, 60)
    expect([rang('notice set aside'), rang('mails are refused and wait') > 0]).toEqual([0, true])
    await minutes(65, 300)
    const refused = noticesIn(house).filter(({ undeliveredWhy }) => undeliveredWhy === 'refused')
    expect(readers(refused.filter(({ kind }) => kind === 'hold'))).toEqual([mia])
  })

  test('nor in a message, where it came first', async () => {
    const house = await held()
    const { sent, parts } = service(house, refusedTo(ana))
    expect(await deliverFromQueue(parts, [handed(...owed(house))])).toEqual({ batchItemFailures: [] })
    expect(readers(sent)).toEqual([bo, max, mia])
  })

  test('alone of all that waits goes aside after four hours', async () => {
    const house = await held()
    const { minutes } = service(house, refusedTo(...everybody))
    for (const notice of owed(house).slice(1)) await house.organisation().notices.confirm(notice, house.clock())
    await minutes(5, 235)
    expect(rang('notice set aside')).toBe(0)
    await minutes(240, 255)
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
    get: (key) =>
      away && key.pk !== restoredMark.pk ? Promise.reject(refusal('ThrottlingException')) : house.table.get(key),
  }
  const { sent, minutes } = service(house, () => null, table)
  await minutes(5, 60, (minute) => {
    away = minute <= 30
  })
  expect(readers(sent.filter(({ kind }) => kind === 'hold'))).toEqual(everybody)
  expect(rang('notice set aside')).toBe(0)
})

test('while nobody can tell whether mail is paused nothing is sent and no notice is lost', async () => {
  const house = await held()
  let away = true
  const table: Table = {
    ...house.table,
    get: (key) => (away ? Promise.reject(refusal('ThrottlingException')) : house.table.get(key)),
  }
  const { sent, run, minutes } = service(house, () => null, table)
  house.at(clockAt(5))
  await expect(run()).rejects.toThrow('as nobody knows it')
  expect(sent).toEqual([])
  away = false
  await minutes(10, 10)
  expect(readers(sent.filter(({ kind }) => kind === 'hold'))).toEqual(everybody)
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
    expect(messageOf(last as Notice, 'https://p').text).not.toMatch(/\bS-1\b/)
    const toldOf = async (id: string) =>
      (await house.organisation().notices.ofStick(id, '0')).filter(({ to }) => to.email === ana)
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

  const loan = { lentTo: 'Neighbours', returnBy: day('2026-03-04'), daysLate: 2 }
  test.each([
    ['said to be fit and held since: it leaves without it', 'in service', ['S-5']],
    ['held before, and said so: the loan is told all the same', 'on hold', ['S-1', 'S-5']],
  ] as const)('a loan of a stick %s', async (_, status, left) => {
    const house = await waiting()
    await report(house)
    const digest = noticesIn(house).find(({ kind, to }) => kind === 'digest' && to.email === ana)
    if (digest === undefined) throw new Error('no digest')
    const lines = digest.lines.map((one) =>
      one.stickId === 'S-1' ? { ...one, status, loan, onlyLoan: true as const } : one,
    )
    const organisation = house.organisation()
    const asItIs = await asItStands(organisation, { ...digest, lines }, house.clock())
    expect(asItIs?.lines.map(({ stickId }) => stickId).sort()).toEqual(left)
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

  /** Max sees to another depot; Oda owns the organisation, unless its owner has no entry. */
  async function oneManager(ofManagers: readonly string[] = ['manager'], owned = true): Promise<House> {
    const house = await sound()
    for (const id of ['manager', 'manager-2'].filter((one) => !ofManagers.includes(one)))
      await house.done('PUT', `/v1/people/${id}`, {
        ...aManager,
        email: `${id}@demo-utility.example`,
        depots: ['DEP-2'],
      })
    if (owned) await house.done('PUT', '/v1/people/boss', { ...aManager, name: 'Oda Falk', email: oda, role: 'owner' })
    return house
  }

  test('the only one complained of a mail once: of the next hold that comes back the owner hears', async () => {
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

  describe('since none of them confirms it', () => {
    /** Mia confirms what she is sent of these kinds. */
    async function silence(confirms: readonly Notice['kind'][], owned = true) {
      const house = await oneManager(['manager'], owned)
      const { sent, parts, run } = service(house)
      await report(house)
      for (let minute = 5; minute <= 48 * 60; minute += 5) {
        house.at(clockAt(minute))
        await run()
        const hers = sent.filter(({ to, kind }) => to.email === mia && confirms.includes(kind))
        for (const one of hers) await openNotices(parts.table, demo).confirm(one, house.clock())
      }
      return { toOda: sent.filter(({ to }) => to.email === oda), rang: rang('nobody is left to be told') }
    }

    test('the owner hears of it, a few times, and where he is silent too it rings', async () => {
      const { toOda, rang } = await silence([])
      expect([toOda.length > 0, toOda.length < 4, rang > 0]).toEqual([true, true, true])
    })

    test('the owner hears too where a manager knows of the hold and not that its crew does not', async () => {
      expect((await silence(['hold'])).toOda.length).toBeGreaterThan(0)
    })

    test('the owner is left alone where a manager knows of both', async () => {
      expect(await silence(['hold', 'unanswered'])).toEqual({ toOda: [], rang: 0 })
    })

    test('and there is no owner, it rings', async () => {
      expect((await silence([], false)).rang).toBeGreaterThan(0)
    })
  })

  test('as both mailboxes are full, the owner hears', async () => {
    const house = await oneManager(['manager', 'manager-2'])
    const { sent, run } = service(house)
    const full = { bounceType: 'Transient', bounceSubType: 'MailboxFull', bouncedRecipients: [] }
    await report(house)
    const back = new Set<string>()
    for (let minute = 5; minute <= 60; minute += 5) {
      house.at(clockAt(minute))
      await run()
      for (const one of sent.filter(({ to, number }) => [mia, max].includes(to.email) && !back.has(number))) {
        back.add(one.number)
        await comesBack(house, one, { eventType: 'Bounce', bounce: full })
      }
    }
    expect(sent.filter(({ to }) => to.email === oda).map(({ kind }) => kind)).toContain('hold')
    expect(rang('nobody is left to be told')).toBe(0)
  })

  test('word that one of them has, and that came back from the other, rings for nobody', async () => {
    const house = await oneManager(['manager', 'manager-2'])
    const { sent, minutes } = service(house)
    await report(house)
    await minutes(5, 5)
    await comesBack(house, sent.find(({ to }) => to.email === ana) as Notice, bounce)
    await minutes(10, 15)
    const word = sent.find(({ to, kind }) => to.email === mia && kind === 'not delivered') as Notice
    await comesBack(house, word, { eventType: 'Bounce', bounce: { ...bounce.bounce, bounceType: 'Undetermined' } })
    await minutes(20, 25)
    expect(rang('nobody is left to be told')).toBe(0)
  })

  test('an owner who is foreman too counts as owner: the other owner hears, what he confirms is known', async () => {
    const house = await oneManager()
    await house.done('PUT', '/v1/people/bo', { ...aManager, name: 'Bo Lind', email: bo, role: 'owner' })
    const { sent, minutes } = service(house)
    await report(house)
    await minutes(5, 5)
    await comesBack(house, sent.find(({ to }) => to.email === mia) as Notice, bounce)
    await minutes(10, 15)
    expect(readers(sent.filter(({ passedOnFor }) => passedOnFor !== undefined))).toEqual([bo, oda].sort())
    for (const one of sent.filter(({ to }) => to.email === bo))
      await house.organisation().notices.confirm(one, house.clock())
    await minutes(20, 12 * 60)
    expect(rang('nobody is left to be told')).toBe(0)
  })

  test('nor an owner: it rings', async () => {
    const house = await oneManager([], false)
    const nobody = { ...aCrew, recipients: [{ name: 'Ana Ferro', email: ana, role: 'crew' }] }
    await house.done('PUT', '/v1/crews/CR-1', nobody)
    const { sent, minutes } = service(house)
    await report(house)
    await minutes(5, 5)
    expect(readers(sent)).toEqual([ana, 'owner@demo-utility.example'])
    for (const one of [...sent]) await comesBack(house, one, bounce)
    await minutes(10, 10)
    // once for the crew's mail, and once for that of the owner above them
    expect(rang('nobody is left to be told')).toBe(2)
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
    const silent = async () => {
      house.table.settled()
      return (await house.organisation().notices.notConfirmed('S-1')).map(({ to }) => to.email).sort()
    }
    await minutes(5, 5)
    for (const one of noticesIn(house).filter(({ kind, to }) => kind === 'hold' && to.email !== bo))
      await house.organisation().notices.confirm(one, house.clock())
    expect(await silent()).toEqual([bo])
    house.at(clockAt(180))
    await failed(house, '10:30')
    await minutes(185, 250)
    expect(await silent()).toEqual([ana, bo])
    for (const one of noticesIn(house).filter(({ to }) => to.email === ana))
      await house.organisation().notices.confirm(one, house.clock())
    expect(await silent()).toEqual([bo])
  })
})
