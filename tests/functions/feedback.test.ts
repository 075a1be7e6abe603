/**
 * What the mail service tells of a mail: kept on its notice, marked on the address, and passed on; anything else
 * changes nothing.
 */
import { randomUUID } from 'node:crypto'
import { afterEach, beforeAll, beforeEach, describe, expect, test, vi } from 'vitest'
import { deliver } from '../../functions/deliver-notices/deliver-notices.ts'
import { takeAll } from '../../functions/feedback/feedback.ts'
import { tellFromQueue, tellOfUndelivered } from '../../functions/follow-up/undelivered.ts'
import type { Notice } from '../../functions/store/notices.ts'
import type { Item } from '../../functions/store/table.ts'
import { sweep } from '../../functions/sweep/sweep.ts'
import { queueMessage } from '../support/queue-message.ts'
import { aStick, aTest, day } from '../support/trade.ts'
import { demo, furnish, type House, openHouse } from './house.ts'

const ana = 'ana@crew-one.example'
const bo = 'bo@crew-one.example'
const managers = ['manager-2@demo-utility.example', 'manager@demo-utility.example']
const now = '2026-03-06T20:30:00.000Z'

let furnished: readonly Item[]
let house: House
beforeAll(async () => {
  const first = openHouse([], '2026-03-06T20:00:00.000Z')
  await furnish(first)
  await first.done('POST', '/v1/sticks/S-1/bench-tests', aTest({ testedOn: day('2026-03-06') }), 'bench')
  const tingle = { factId: randomUUID(), occurredOn: '2026-03-06', kind: 'tingle' }
  await first.done('POST', '/v1/sticks/S-1/defects', tingle, 'crew')
  for (const notice of noticesIn(first).filter(({ to }) => to.email !== ana)) {
    await first.organisation().notices.claim(notice, first.clock(), 120)
    await first.organisation().notices.sent(notice, first.clock(), idOf(notice.number))
  }
  furnished = first.table.items()
})
beforeEach(() => {
  house = openHouse(furnished, now)
  vi.spyOn(console, 'info').mockImplementation(() => undefined)
  vi.spyOn(console, 'error').mockImplementation(() => undefined)
})
afterEach(() => vi.restoreAllMocks())

const idOf = (number: string) => `ses-${number}`
const noticesIn = (one: House): Notice[] =>
  one.table.items().filter((item) => item.entity === 'notice') as unknown as Notice[]
const hold = (email: string): Notice => {
  const found = noticesIn(house).find(
    ({ kind, to, passedOnFor }) => kind === 'hold' && to.email === email && !passedOnFor,
  )
  if (found === undefined) throw new Error(`no hold to ${email}`)
  return found
}
const kept = () => JSON.stringify(house.table.items())

const mailOf = (notice: Notice, over: object = {}) => ({
  messageId: idOf(notice.number),
  timestamp: now,
  destination: [notice.to.email],
  headers: [{ name: 'Subject', value: 'new fields are let be' }],
  tags: { 'ses:configuration-set': ['set'], notice: [notice.number], organisation: [demo] },
  ...over,
})

const bounce = (over: object = {}) => ({
  eventType: 'Bounce',
  bounce: {
    bounceType: 'Permanent',
    bounceSubType: 'General',
    bouncedRecipients: [{ emailAddress: bo, diagnosticCode: 'smtp; 550 5.1.1\r\nuser unknown' }],
    feedbackId: 'feedback-1',
    ...over,
  },
})
const complaint = (over: object = {}) => ({
  eventType: 'Complaint',
  complaint: { complainedRecipients: [{ emailAddress: bo }], feedbackId: 'feedback-2', ...over },
})
const reject = { eventType: 'Reject', reject: { reason: 'Bad content' } }
const unrendered = { eventType: 'Rendering Failure', failure: { errorMessage: 'no such part', templateName: 't' } }
const delay = { eventType: 'DeliveryDelay', deliveryDelay: { delayType: 'MailboxFull', delayedRecipients: [] } }

const say = (event: object | string, id: string = randomUUID()) =>
  takeAll({ table: house.table, clock: house.clock }, [
    { id, message: typeof event === 'string' ? event : JSON.stringify(event) },
  ])
const told = () =>
  noticesIn(house)
    .filter(({ kind, passedOnFor }) => kind === 'not delivered' || passedOnFor !== undefined)
    .map(({ kind, to, passedOnFor }) => `${kind} to ${to.email}${passedOnFor ? ` for ${passedOnFor}` : ''}`)
    .sort()
const passOn = () => tellOfUndelivered(house.table, house.clock())
const marks = async () => (await house.done('GET', '/v1/marked-addresses', undefined, 'manager')).json.items

describe('kept on the notice', () => {
  test('a delivery, once', async () => {
    expect(await say({ eventType: 'Delivery', mail: mailOf(hold(bo)) })).toEqual({ delivered: 1 })
    expect(hold(bo)).toMatchObject({ state: 'awaiting confirmation', deliveredAt: now })
    house.at('2026-03-06T20:31:00.000Z')
    const before = kept()
    expect(await say({ eventType: 'Delivery', mail: mailOf(hold(bo)) })).toEqual({ replayed: 1 })
    expect(kept()).toBe(before)
  })

  test('the sending, where the sender broke off before its mark', async () => {
    await house.organisation().notices.claim(hold(ana), house.clock(), 120)
    expect(await say({ eventType: 'Send', mail: mailOf(hold(ana)), send: {} })).toEqual({ accepted: 1 })
    expect(hold(ana)).toMatchObject({ state: 'awaiting confirmation', messageId: idOf(hold(ana).number) })
    expect(await house.organisation().notices.claim(hold(ana), house.clock(), 120)).toBeNull()
  })

  test('the sending of one marked already changes nothing', async () => {
    const before = kept()
    expect(await say({ eventType: 'Send', mail: mailOf(hold(bo)), send: {} })).toEqual({ known: 1 })
    expect(kept()).toBe(before)
  })

  test.each([
    ['a transient bounce', 'Transient', 'General', /bounced, Transient, General/],
    ['a bounce that says nothing', 'Undetermined', 'Undetermined', /bounced, Undetermined/],
  ])(
    '%s after the delivery, and nobody is told: it may be a note of absence',
    async (_, bounceType, bounceSubType, trouble) => {
      await say({ eventType: 'Delivery', mail: mailOf(hold(bo)) })
      expect(await say({ ...bounce({ bounceType, bounceSubType }), mail: mailOf(hold(bo)) })).toEqual({ recorded: 1 })
      expect(hold(bo)).toMatchObject({
        state: 'awaiting confirmation',
        deliveredAt: now,
        trouble: expect.stringMatching(trouble),
      })
      expect(await passOn()).toEqual({ undelivered: 0, failed: 0 })
      expect(await marks()).toEqual([])
    },
  )

  test.each([
    ['a delay', delay, /delayed: MailboxFull/],
    ['a complaint taken back', complaint({ complaintFeedbackType: 'not-spam' }), /not-spam/],
  ])('%s, and nobody is told: it may still arrive', async (_, event, trouble) => {
    expect(await say({ ...event, mail: mailOf(hold(bo)) })).toEqual({ recorded: 1 })
    expect(hold(bo)).toMatchObject({ state: 'awaiting confirmation', trouble: expect.stringMatching(trouble) })
    expect(await passOn()).toEqual({ undelivered: 0, failed: 0 })
    expect(await marks()).toEqual([])
  })

  test.each([
    ['a permanent bounce', bounce(), 'bounced', true],
    ['a bounce for a list of suppressed addresses', bounce({ bounceSubType: 'Suppressed' }), 'bounced', true],
    ['a complaint', complaint(), 'complained', true],
    ['a complaint of a kind', complaint({ complaintFeedbackType: 'abuse' }), 'complained', true],
    ['a bounce before any delivery', bounce({ bounceType: 'Transient' }), 'not taken', false],
    [
      'a mail server that was given up on',
      bounce({ bounceType: 'Undetermined', bounceSubType: 'Undetermined', bouncedRecipients: [] }),
      'not taken',
      false,
    ],
    ['a full mailbox', bounce({ bounceType: 'Transient', bounceSubType: 'MailboxFull' }), 'not taken', false],
    ['a reject', reject, 'rejected', false],
    ['a rendering failure', unrendered, 'not rendered', false],
  ])('%s: not delivered, with the reason, told to the managers and passed on', async (_, event, why, marked) => {
    expect(await say({ ...event, mail: mailOf(hold(bo)) })).toEqual({ 'not delivered': 1 })
    expect(hold(bo)).toMatchObject({ state: 'not delivered', undeliveredWhy: why, trouble: expect.any(String) })
    expect((await marks()).map(({ email }: { email: string }) => email)).toEqual(marked ? [bo] : [])
    expect(await passOn()).toEqual({ undelivered: 1, failed: 0 })
    expect(told()).toEqual(managers.flatMap((to) => [`hold to ${to} for Bo Lind`, `not delivered to ${to}`]).sort())
    expect(await passOn()).toEqual({ undelivered: 0, failed: 0 })
  })

  test('what the mail server of somebody else says is cut and kept on one line', async () => {
    const bouncedRecipients = [{ diagnosticCode: `550\r\nX: y ${'z'.repeat(1900)}` }]
    await say({ ...bounce({ bouncedRecipients }), mail: mailOf(hold(bo)) })
    expect(hold(bo).trouble).toMatch(/^[^\p{Cc}]{1,300}$/u)
  })
})

describe('changes nothing and is counted', () => {
  test.each([
    ['what is no JSON', 'Successfully validated SNS topic for Amazon SES event publishing.', 'unreadable'],
    ['a kind nobody has invented yet', { eventType: 'Teleported' }, 'unknown kind'],
    ['a kind of ours nobody asked for', { eventType: 'Open' }, 'unknown kind'],
    ['a kind named like a property of everything', { eventType: 'constructor' }, 'unknown kind'],
    ['no kind at all', { mail: {} }, 'unreadable'],
    ['a list', [1], 'unreadable'],
  ])('%s', async (_, event, outcome) => {
    const before = kept()
    expect(await say(event)).toEqual({ [outcome]: 1 })
    expect(kept()).toBe(before)
    expect(vi.mocked(console.info).mock.calls.map(([text]) => JSON.parse(text))).toEqual([
      { level: 'info', event: 'mail feedback', [outcome]: 1, failed: 0 },
    ])
  })

  test.each([
    ['of another mail', () => ({ messageId: 'ses-forged' })],
    ['to somebody else', () => ({ destination: ['eve@crew-two.example'] })],
    ['of a notice that never was', () => ({ tags: { notice: ['2222-2222-2222'], organisation: [demo] } })],
    ['of another organisation', () => ({ tags: { notice: [hold(bo).number], organisation: ['other-utility'] } })],
  ])('a bounce %s', async (_, over) => {
    const before = kept()
    expect(await say({ ...bounce(), mail: mailOf(hold(bo), over()) })).toEqual({ 'not ours': 1 })
    expect(kept()).toBe(before)
  })

  test.each([
    ['no tags', { tags: undefined }],
    ['two numbers', { tags: { notice: ['a', 'b'], organisation: [demo] } }],
  ])('a bounce with %s', async (_, over) => {
    const before = kept()
    expect(await say({ ...bounce(), mail: mailOf(hold(bo), over) })).toEqual({ unreadable: 1 })
    expect(kept()).toBe(before)
  })

  test('a bounce of a notice that was never handed to the mail service', async () => {
    const before = kept()
    expect(await say({ ...bounce(), mail: mailOf(hold(ana)) })).toEqual({ 'not ours': 1 })
    expect(kept()).toBe(before)
  })

  test.each([
    ['a bounce, by its feedback id', bounce(), undefined],
    ['a reject, by the id of its message', reject, 'message-1'],
    ['a delay, by the id of its message', delay, 'message-1'],
  ])('%s, told again', async (_, event, id) => {
    const whole = { ...event, mail: mailOf(hold(bo)) }
    await say(whole, id)
    house.at('2026-03-06T21:00:00.000Z')
    const before = kept()
    expect(await say(whole, id)).toEqual({ replayed: 1 })
    expect(kept()).toBe(before)
  })
})

describe('a bounce', () => {
  test('before the sender has marked the notice stands, whatever the sender marks then', async () => {
    await house.organisation().notices.claim(hold(ana), house.clock(), 120)
    expect(await say({ ...bounce(), mail: mailOf(hold(ana)) })).toEqual({ 'not delivered': 1 })
    await house.organisation().notices.sent(hold(ana), house.clock(), idOf(hold(ana).number))
    expect(hold(ana)).toMatchObject({ state: 'not delivered', undeliveredWhy: 'bounced' })
    await passOn()
    expect(told()).toContain(`hold to ${bo} for Ana Ferro`)
  })

  test('lost to another writer is taken again; lost for ever is thrown, so that it comes again', async () => {
    house.table.trouble({ lose: [1, 2] })
    expect(await say({ ...bounce(), mail: mailOf(hold(bo)) })).toEqual({ 'not delivered': 1 })
    house.table.trouble({ lose: [1, 2, 3, 4, 5] })
    await expect(say({ ...bounce({ feedbackId: 'another' }), mail: mailOf(hold(bo)) })).rejects.toThrow('lost')
  })

  test('one that fails keeps no other from being taken', async () => {
    house.table.trouble({ crashBefore: 1 })
    const parts = { table: house.table, clock: house.clock }
    const events = [
      { ...bounce(), mail: mailOf(hold(bo)) },
      { eventType: 'Delivery', mail: mailOf(hold(managers[0] ?? '')) },
    ]
    const all = events.map((event) => ({ id: randomUUID(), message: JSON.stringify(event) }))
    await expect(takeAll(parts, all)).rejects.toThrow('broken off')
    expect(hold(managers[0] ?? '').deliveredAt).toBe(now)
  })

  test('of what was confirmed as read tells the managers of the address and passes nothing on', async () => {
    await house.organisation().notices.confirm(hold(bo), house.clock())
    await say({ ...complaint(), mail: mailOf(hold(bo)) })
    await passOn()
    expect(told()).toEqual(managers.map((to) => `not delivered to ${to}`))
  })

  test('of a hold that is over passes nothing on', async () => {
    house.at('2026-03-06T22:00:00.000Z')
    await house.done('POST', '/v1/sticks/S-1/bench-tests', aTest({ testedOn: day('2026-03-06'), at: '16:00' }), 'bench')
    await say({ ...bounce(), mail: mailOf(hold(bo)) })
    await passOn()
    expect(told()).toEqual(managers.map((to) => `not delivered to ${to}`))
  })

  test('says a foreign server’s reason at any length', async () => {
    const long = { bouncedRecipients: [{ emailAddress: bo, diagnosticCode: 'x'.repeat(5000) }] }
    expect(await say({ ...bounce(long), mail: mailOf(hold(bo)) })).toEqual({ 'not delivered': 1 })
    expect(hold(bo).trouble?.length).toBeLessThanOrEqual(300)
  })

  test('of a digest is passed on within its crew, though its first stick has moved to another since', async () => {
    house.at('2026-03-09T15:00:00.000Z')
    for (const id of ['S-20', 'S-21']) {
      await house.done('PUT', `/v1/sticks/${id}`, aStick)
      await house.done('POST', `/v1/sticks/${id}/bench-tests`, aTest({ testedOn: day('2024-03-20') }), 'bench')
    }
    house.table.settled()
    await sweep(house.table, house.clock)
    const digest = noticesIn(house).find(({ kind, to }) => kind === 'digest' && to.email === ana) as Notice
    expect(digest.lines.map(({ stickId }) => stickId)).toEqual(['S-20', 'S-21'])
    await house.organisation().notices.claim(digest, house.clock(), 120)
    await house.organisation().notices.sent(digest, house.clock(), idOf(digest.number))
    const issued = { factId: randomUUID(), occurredOn: '2026-03-09', to: { crewId: 'CR-2' } }
    await house.done('POST', '/v1/sticks/S-20/moves', issued, 'bench')
    const drop = { factId: randomUUID(), occurredOn: '2026-03-09', kind: 'drop' }
    await house.done('POST', '/v1/sticks/S-21/defects', drop, 'crew')
    await say({ ...bounce(), mail: mailOf(digest) })
    await passOn()
    const passed = noticesIn(house).filter(({ kind, passedOnFor }) => kind === 'digest' && passedOnFor !== undefined)
    // the one on hold by now was told of as such
    expect(passed.map(({ to, lines }) => [to.email, lines.map(({ stickId }) => stickId)])).toEqual([[bo, ['S-20']]])
  })

  test('of word that a stick is back, held again since, passes nothing on; the managers hear how it is', async () => {
    house.at('2026-03-06T22:00:00.000Z')
    await house.done('POST', '/v1/sticks/S-1/bench-tests', aTest({ testedOn: day('2026-03-06'), at: '16:00' }), 'bench')
    const back = noticesIn(house).find(({ kind, to }) => kind === 'return' && to.email === ana) as Notice
    await house.organisation().notices.claim(back, house.clock(), 120)
    await house.organisation().notices.sent(back, house.clock(), idOf(back.number))
    const flashover = { factId: randomUUID(), occurredOn: '2026-03-06', at: '16:30', kind: 'flashover' }
    await house.done('POST', '/v1/sticks/S-1/defects', flashover, 'crew')
    await say({ ...bounce(), mail: mailOf(back) })
    await passOn()
    expect(told()).toEqual(managers.map((to) => `not delivered to ${to}`))
    const [notice] = noticesIn(house).filter(({ kind }) => kind === 'not delivered')
    expect(notice?.lines[0]).toMatchObject({ stickId: 'S-1', status: 'on hold' })
  })

  test('told by its queue, by two at once and by a run that broke off is told once', async () => {
    await say({ ...bounce(), mail: mailOf(hold(bo)) })
    const record = queueMessage('7', [hold(bo)])
    house.table.trouble({ crashBefore: 1 })
    const again = { batchItemFailures: [{ itemIdentifier: '7' }] }
    expect(await tellFromQueue(house.table, house.clock, [record])).toEqual(again)
    house.table.trouble({ crashAfter: 1 })
    await tellFromQueue(house.table, house.clock, [record])
    house.table.trouble({})
    const both = [1, 2].map(() => tellFromQueue(house.table, house.clock, [record]))
    expect(await Promise.all(both)).toEqual([{ batchItemFailures: [] }, { batchItemFailures: [] }])
    expect(told()).toHaveLength(4)
  })
})

describe('a marked address', () => {
  const mailer = {
    send: vi.fn(async () => 'ses-new'),
    quota: async () => ({ mostPerSecond: 100, mostADay: null, sentADay: 0 }),
  }
  const pace = { hasRoomForOthers: async () => true, turn: async () => true, backOff: async () => false }
  const sendAll = async () => {
    for (const notice of noticesIn(house).filter(({ state }) => state === 'owed'))
      await deliver({ table: house.table, mailer, clock: house.clock, pace }, notice)
  }
  const clear = (email: string, who: 'manager' | 'crew' = 'manager', reason = 'a new mailbox was made') =>
    house.call('POST', '/v1/marked-addresses/clear', { email, reason }, who)

  beforeEach(async () => {
    mailer.send.mockClear()
    await say({ ...bounce(), mail: mailOf(hold(bo)) })
    await passOn()
    await sendAll()
    mailer.send.mockClear()
    await house.done('PUT', '/v1/sticks/S-8', aStick)
    const drop = { factId: randomUUID(), occurredOn: '2026-03-06', kind: 'drop' }
    await house.done('POST', '/v1/sticks/S-8/defects', drop, 'crew')
  })

  const ofS8 = (email: string) =>
    noticesIn(house).find(({ to, lines, kind }) => to.email === email && kind === 'hold' && lines[0]?.stickId === 'S-8')

  test('is sent nothing: its notices are set aside at once and passed on in the same way', async () => {
    await sendAll()
    const sentTo = (mailer.send.mock.calls as unknown as [Notice][]).map(([{ to }]) => to.email)
    expect(sentTo.sort()).toEqual([ana, ...managers])
    expect(ofS8(bo)).toMatchObject({ state: 'not delivered', undeliveredWhy: 'marked' })
    const before = told().length
    await passOn()
    expect(told().length - before).toBe(2 * managers.length)
  })

  test('is listed with since when and why', async () => {
    expect(await marks()).toMatchObject([
      { email: bo, since: now, why: 'bounced', notice: hold(bo).number, clearedAt: null },
    ])
  })

  test('marked again stays as it is', async () => {
    house.at('2026-03-07T20:30:00.000Z')
    await say({ ...complaint(), mail: mailOf(hold(bo)) })
    expect(await marks()).toMatchObject([{ since: now, why: 'bounced' }])
  })

  test('cleared, it is sent to again; who cleared it, when and why is kept', async () => {
    expect((await clear(bo.toUpperCase())).json).toMatchObject({
      clearedBy: 'manager',
      clearedFor: 'a new mailbox was made',
    })
    expect(await marks()).toEqual([])
    await sendAll()
    expect(ofS8(bo)).toMatchObject({ state: 'awaiting confirmation' })
    const facts = house.table.items().filter(({ entity }) => entity === 'mark' || entity === 'mark cleared')
    expect(facts.map(({ entity, clearedBy }) => [entity, clearedBy])).toEqual([
      ['mark', null],
      ['mark cleared', 'manager'],
    ])
    expect((await clear(bo)).status).toBe(404)
  })

  test('marked anew after it was cleared is a fact of its own', async () => {
    await clear(bo)
    house.at('2026-03-07T20:30:00.000Z')
    await say({ ...complaint(), mail: mailOf(hold(bo)) })
    expect(await marks()).toMatchObject([{ since: '2026-03-07T20:30:00.000Z', why: 'complained' }])
    expect(house.table.items().filter(({ entity }) => entity === 'mark')).toHaveLength(2)
  })

  test('is not cleared without a reason, nor where there is none', async () => {
    expect((await clear(bo, 'manager', '')).status).toBe(422)
    expect((await clear(ana)).status).toBe(404)
    expect(await marks()).toHaveLength(1)
  })
})
