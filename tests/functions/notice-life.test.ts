/** The table keeps to the life of a notice: each event in each state, also where somebody else was faster. */
import { beforeEach, describe, expect, test } from 'vitest'
import { changeIf, is, isLessThan, onlyIf } from '../../functions/store/change.ts'
import { type Lease, openNotices } from '../../functions/store/notice-life.ts'
import { type Notice, noticeNumber, queueOf } from '../../functions/store/notices.ts'
import { dueIn } from '../../functions/store/queues.ts'
import { addSeconds, type Instant } from '../../shared-domain/calendar.ts'
import {
  type NoticeEvent,
  type NoticeState,
  noticeEvents,
  noticeLife,
  noticeStates,
} from '../../shared-domain/notices/life.ts'
import type { OwedNotice } from '../../shared-domain/notices/notice.ts'
import { type FakeTable, fakeTable } from '../support/fake-table.ts'
import { day } from '../support/trade.ts'

const organisation = 'demo-utility'
const begin = '2026-03-02T15:00:00.000Z' as Instant

let table: FakeTable
let notices: ReturnType<typeof openNotices>
let number: string
let lease: Lease
beforeEach(() => {
  table = fakeTable()
  notices = openNotices(table, organisation)
  lease = addSeconds(begin, 120)
})

/** Where it is to be confirmed, by the second kind of sending. */
const owedTo = (isToBeConfirmed: boolean): OwedNotice => ({
  kind: isToBeConfirmed ? 'hold' : 'return',
  key: 'about S-1',
  to: { name: 'Mia Okafor', email: 'mia@demo-utility.example', role: 'manager', tellInPerson: [] },
  day: day('2026-03-02'),
  lines: [],
  ...(isToBeConfirmed ? { answer: { about: 'hold|S-1', withinHours: 4 } } : {}),
})

async function owe(isToBeConfirmed: boolean): Promise<void> {
  const owed = owedTo(isToBeConfirmed)
  await table.transact([notices.owedWrite(owed, begin)])
  number = noticeNumber({ table: {}, name: organisation }, owed.key)
}

async function kept(): Promise<Notice> {
  const notice = await notices.one(number)
  if (notice === undefined) throw new Error('it is not there')
  return notice
}

/** What happens, as the functions do it, to a notice that was read as `read`. */
async function happen(event: NoticeEvent, read: Notice): Promise<void> {
  switch (event) {
    case 'claimed':
      lease = (await notices.claim(read, addSeconds(lease, 1), 120)) ?? lease
      return
    case 'given back':
      await notices.giveBack({ notice: read, lease }, 'no connection')
      return
    case 'withdrawn':
      await notices.withdraw({ notice: read, lease }, 'no longer true')
      return
    case 'sent':
    case 'sent, to be confirmed':
      await notices.sent(read, begin, 'ses-1')
      return
    case 'confirmed':
      await notices.confirm(read, begin)
      return
    case 'not reached':
      return write(notices.notReachedWrite(read, 'ses-1', { why: 'bounced', trouble: 'no such user' }))
    case 'passed on':
      await notices.passOn(read, begin)
      return
    case 'asked later':
      await notices.askLater(read, addSeconds(begin, 8 * 3600))
      return
    case 'seen to':
      return write(notices.seenToWrite(read, begin))
    case 'restored':
      await notices.noteUnknown(read)
      return
    case 'sent anew':
      await notices.sendAnew(read, begin)
      return
    case 'left':
      await notices.leave(read)
      return
  }
}

async function write(one: ReturnType<typeof notices.seenToWrite>): Promise<void> {
  if (one !== null) await table.transact([one])
}

/** The shortest way there from owed. */
function wayTo(state: NoticeState, isToBeConfirmed: boolean): readonly NoticeEvent[] | undefined {
  const ways = new Map<NoticeState, readonly NoticeEvent[]>([['owed', []]])
  for (const [from, way] of ways) {
    for (const event of eventsOf(isToBeConfirmed)) {
      const to = noticeLife[from][event]
      if (to !== null && !ways.has(to)) ways.set(to, [...way, event])
    }
  }
  return ways.get(state)
}

const eventsOf = (isToBeConfirmed: boolean) =>
  noticeEvents.filter((event) => event !== (isToBeConfirmed ? 'sent' : 'sent, to be confirmed'))

const kinds = [true, false].flatMap((isToBeConfirmed) =>
  noticeStates.flatMap((state) => {
    const way = wayTo(state, isToBeConfirmed)
    return way === undefined ? [] : [{ isToBeConfirmed, state, way }]
  }),
)

test('every state is seen below, and what can be confirmed in each but one', () => {
  expect(new Set(kinds.map(({ state }) => state)).size).toBe(noticeStates.length)
  expect(kinds.filter(({ isToBeConfirmed }) => isToBeConfirmed)).toHaveLength(noticeStates.length - 1)
})

describe.each(kinds)(
  'a notice, to be confirmed: $isToBeConfirmed, that is $state',
  ({ isToBeConfirmed, state, way }) => {
    test.each(eventsOf(isToBeConfirmed))('and %s', async (event) => {
      await owe(isToBeConfirmed)
      for (const step of way) await happen(step, await kept())
      const before = await kept()
      expect(before.state).toBe(state)
      await happen(event, before)
      const to = noticeLife[state][event]
      if (to === null) expect(await kept()).toEqual(before)
      else await expectToBe(to)
    })

    test('whoever read it in another state writes what its life says, or nothing', async () => {
      const others = kinds.filter((one) => one.isToBeConfirmed === isToBeConfirmed)
      for (const read of others) {
        for (const event of eventsOf(isToBeConfirmed)) {
          table = fakeTable()
          notices = openNotices(table, organisation)
          lease = addSeconds(begin, 120)
          await owe(isToBeConfirmed)
          for (const step of way) await happen(step, await kept())
          const before = await kept()
          await happen(event, { ...before, state: read.state })
          const after = await kept()
          if (after.state === state && noticeLife[state][event] !== state) expect(after).toEqual(before)
          else expect(after.state).toBe(noticeLife[state][event])
        }
      }
    })
  },
)

async function expectToBe(state: NoticeState): Promise<void> {
  const after = (await kept()) as Notice & { queue?: string; queueAt?: string; leaseUntil?: string }
  expect(after.state).toBe(state)
  const queue = queueOf(state, after)
  expect([after.queue, after.queueAt]).toEqual([queue?.queue, queue?.queueAt])
  expect(after.leaseUntil).toBe(state === 'claimed' ? lease : undefined)
}

describe('a lease', () => {
  test('is given to one, and to the next once it has run out', async () => {
    await owe(true)
    const read = await kept()
    expect(await notices.claim(read, begin, 120)).toBe(addSeconds(begin, 120))
    expect(await notices.claim(read, addSeconds(begin, 120), 120)).toBeNull()
    expect(await notices.claim(read, addSeconds(begin, 121), 120)).toBe(addSeconds(begin, 241))
  })

  test('that ran out and was given to another lets its first holder change nothing', async () => {
    await owe(true)
    const read = await kept()
    const first = (await notices.claim(read, begin, 120)) ?? begin
    await notices.claim(read, addSeconds(begin, 121), 120)
    const before = await kept()
    const claimed = { notice: read, lease: first }
    expect(await notices.giveBack(claimed, 'late')).toBe(false)
    expect(await notices.giveAnotherTry(claimed, 'late', 5)).toBe(false)
    expect(await notices.giveBackRefused(claimed, { at: begin, trouble: 'late', isItsOwn: true })).toBe(false)
    expect(await notices.leaveOut(claimed)).toBe(false)
    expect(await notices.withdraw(claimed, 'late')).toBe(false)
    expect(await notices.setAside(claimed, { why: 'refused', trouble: 'late' })).toBe(false)
    expect(await kept()).toEqual(before)
  })
})

test('what waits to be confirmed is read from the hour on by which it was to be, and not before', async () => {
  await owe(true)
  await notices.sent(await kept(), addSeconds(begin, 60), 'ses-1')
  const by = addSeconds(begin, 60 + 4 * 3600)
  expect(await dueIn(table, 'unanswered', addSeconds(by, -1))).toEqual([])
  expect((await dueIn(table, 'unanswered', by)).map((one) => one.number)).toEqual([number])
  expect(await dueIn(table, 'undelivered', by)).toEqual([])
})

describe('a conditional write', () => {
  test('says what changes and what has to hold, every attribute by a name of its own', () => {
    expect(
      changeIf(
        { set: { state: 'sent', trouble: undefined }, take: { held: 'ready' }, add: { version: 1 }, remove: ['queue'] },
        is('state', 'owed'),
        isLessThan('attempts', 5),
      ),
    ).toEqual({
      UpdateExpression: 'SET #state = :v1, #held = #ready ADD #version :v2 REMOVE #queue',
      ConditionExpression: '(#state = :v3) AND #attempts < :v4',
      ExpressionAttributeNames: {
        '#state': 'state',
        '#held': 'held',
        '#ready': 'ready',
        '#version': 'version',
        '#queue': 'queue',
        '#attempts': 'attempts',
      },
      ExpressionAttributeValues: { ':v1': 'sent', ':v2': 1, ':v3': 'owed', ':v4': 5 },
    })
  })

  test('of a whole item only says what has to hold', () => {
    expect(onlyIf(is('count', 2))).toEqual({
      ConditionExpression: '(#count = :v1)',
      ExpressionAttributeNames: { '#count': 'count' },
      ExpressionAttributeValues: { ':v1': 2 },
    })
  })
})
