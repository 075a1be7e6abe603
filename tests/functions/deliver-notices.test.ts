import type { AttributeValue } from '@aws-sdk/client-dynamodb'
import { SESClient, SendRawEmailCommand } from '@aws-sdk/client-ses'
import { marshall } from '@aws-sdk/util-dynamodb'
import type { DynamoDBRecord } from 'aws-lambda'
import { mockClient } from 'aws-sdk-client-mock'
import ICAL from 'ical.js'
import { simpleParser } from 'mailparser'
import { describe, expect, test } from 'vitest'
import { deliver, deliverUnsent } from '../../functions/deliver-notices/deliver-notices.ts'
import { deliverFromStream } from '../../functions/deliver-notices/from-stream.ts'
import { sesMailer } from '../../functions/deliver-notices/mail.ts'
import { keysOf } from '../../functions/platform/keys.ts'
import { type Notice, noticeNumber, noticeWrite } from '../../functions/platform/notices.ts'
import type { Item, Table } from '../../functions/platform/table.ts'
import { addSeconds, type Instant } from '../../shared-domain/calendar.ts'
import { calendarEntry } from '../../shared-domain/notices/calendar-entry.ts'
import type { OwedNotice, StickLine } from '../../shared-domain/notices/notice.ts'
import { type Language, statuses } from '../../shared-domain/words.ts'
import { fakeTable } from '../support/fake-table.ts'
import { day } from '../support/trade.ts'

const organisation = 'demo-utility'
const begin = '2026-03-02T15:00:00.000Z' as Instant
const keys = keysOf(organisation)

function house() {
  const table = fakeTable()
  const client = new SESClient({ region: 'local' })
  const ses = mockClient(client)
  let now = begin
  const settings = {
    from: 'sticks@quarterturn.example',
    configurationSet: 'feedback',
    pagesUrl: 'https://pages.example',
    answersUrl: 'https://answers.example',
  }
  ses.on(SendRawEmailCommand).resolves({ MessageId: 'ses-1' })
  return {
    table,
    ses,
    parts: { table, mailer: sesMailer(client, settings), clock: () => now },
    /** so many seconds pass */
    later(seconds: number) {
      now = addSeconds(now, seconds)
    },
    sent: () => ses.commandCalls(SendRawEmailCommand).map(({ args }) => args[0].input),
  }
}

const hold = (stickId = 'S-1', email = 'ana@crew-one.example'): OwedNotice => ({
  kind: 'hold',
  key: `hold|${stickId}|${email}`,
  to: { name: 'Ana Ferro', email, role: 'crew', tellInPerson: [] },
  day: day('2026-03-02'),
  lines: [
    {
      stickId,
      crewId: 'CR-1',
      crewName: 'Crew one',
      status: 'on hold',
      dueOn: null,
      daysLeft: null,
      bringTo: 'North yard',
      why: 'Reported from use: tingle.',
      source: null,
      holds: [{ code: 'defect-reported', text: 'Reported from use: tingle', clearedBy: 'a full bench test' }],
    },
  ],
})

async function owe(table: Table, owed: OwedNotice, owedAt: Instant = begin): Promise<Notice> {
  await table.transact([noticeWrite(table, keys, organisation, owed, owedAt)])
  return lookUp(table, owed)
}

async function lookUp(table: Table, owed: OwedNotice): Promise<Notice> {
  return (await table.get(keys.notice(noticeNumber(organisation, owed.key)))) as unknown as Notice
}

const unsentItems = (items: readonly Item[]) => items.filter((item) => 'unsentKey' in item).length

const named = (name: string) => Object.assign(new Error(`the mail service says ${name}`), { name })

describe('a notice handed to the mailer', () => {
  test('is claimed, sent and marked', async () => {
    const { table, parts, ses } = house()
    const notice = await owe(table, hold())
    let whileSending: Notice | undefined
    ses.on(SendRawEmailCommand).callsFake(async () => {
      whileSending = await lookUp(table, hold())
      return { MessageId: 'ses-7' }
    })
    expect(await deliver(parts, notice)).toBe('sent')
    expect(whileSending).toMatchObject({ state: 'claimed', leaseUntil: addSeconds(begin, 120), attempts: 1 })
    const after = await lookUp(table, hold())
    expect(after).toMatchObject({ state: 'sent', sentAt: begin, messageId: 'ses-7' })
    expect(after).not.toHaveProperty('leaseUntil')
    expect(unsentItems(table.items())).toBe(0)
  })

  test('goes to its one person, from us, with its number as tag and where feedback is gathered', async () => {
    const { table, parts, sent } = house()
    const notice = await owe(table, hold())
    await deliver(parts, notice)
    expect(sent()).toMatchObject([
      {
        Source: 'sticks@quarterturn.example',
        Destinations: ['ana@crew-one.example'],
        Tags: [{ Name: 'notice', Value: notice.number }],
        ConfigurationSetName: 'feedback',
      },
    ])
  })

  test('handed over a second time sends nothing', async () => {
    const { table, parts, sent } = house()
    const notice = await owe(table, hold())
    await deliver(parts, notice)
    expect(await deliver(parts, notice)).toBe('somebody else has it')
    expect(sent()).toHaveLength(1)
    expect((await lookUp(table, hold())).state).toBe('sent')
  })

  test('handed to two senders at once is sent by one', async () => {
    const { table, parts, sent } = house()
    const notice = await owe(table, hold())
    const outcomes = await Promise.all([deliver(parts, notice), deliver(parts, notice)])
    expect(outcomes.sort()).toEqual(['sent', 'somebody else has it'])
    expect(sent()).toHaveLength(1)
  })
})

describe('the dates a mail carries for the reader’s own calendar', () => {
  const due = (over: Partial<StickLine> = {}): StickLine => ({
    ...(hold().lines[0] as StickLine),
    status: 'due soon',
    dueOn: day('2026-04-30'),
    revision: 12,
    holds: [],
    ...over,
  })

  async function attached(kind: OwedNotice['kind'], lines: readonly StickLine[], language: Language = 'en') {
    const { table, parts, sent } = house()
    const owed = hold()
    await deliver(parts, await owe(table, { ...owed, to: { ...owed.to, language }, kind, lines }))
    const mail = await simpleParser(Buffer.from(sent()[0]?.RawMessage?.Data ?? ''))
    const [file] = mail.attachments
    const events = new ICAL.Component(ICAL.parse(file?.content.toString() ?? 'BEGIN:VCALENDAR\r\nEND:VCALENDAR'))
      .getAllSubcomponents('vevent')
      .map((one) => {
        const { startDate, sequence, summary, description, uid } = new ICAL.Event(one)
        const [status, stamp] = ['status', 'dtstamp'].map((name) => one.getFirstPropertyValue(name)?.toString())
        return { on: startDate.toString(), sequence, summary, description, uid, status, stamp }
      })
    return { mail, file, events }
  }

  test('a digest has every stick with a date, as a calendar file that mail programs know', async () => {
    const lines = [due(), due({ stickId: 'S-2', status: 'overdue', dueOn: day('2026-02-28') }), due({ dueOn: null })]
    const { mail, file, events } = await attached('digest', lines)
    expect(mail.attachments).toHaveLength(1)
    expect([file?.filename, file?.contentType]).toEqual(['due-dates.ics', 'text/calendar'])
    const params = (file?.headers.get('content-type') as { params: object } | undefined)?.params
    expect(params).toMatchObject({ charset: 'utf-8', method: 'PUBLISH' })
    expect(events.map(({ on, status, sequence }) => [on, status, sequence])).toEqual([
      ['2026-04-30', 'CONFIRMED', 12],
      ['2026-02-28', 'CONFIRMED', 12],
    ])
    expect(new Set(events.map(({ uid }) => uid)).size).toBe(2)
    expect(events[0]?.stamp).toBe('2026-03-02T15:00:00Z')
  })

  test('a mail sent a second time carries the same file', async () => {
    const files = await Promise.all([attached('digest', [due()]), attached('digest', [due()])])
    expect(files[0]?.file?.content.toString()).toContain('VEVENT')
    expect(files[0]?.file?.content).toEqual(files[1]?.file?.content)
  })

  test.each(['hold', 'removal'] as const)(
    'a %s calls its date off, so that no calendar goes on asking for it',
    async (kind) => {
      const status = kind === 'hold' ? 'on hold' : 'removed from service'
      const { events } = await attached(kind, [due({ status })])
      expect(events).toMatchObject([
        { on: '2026-04-30', status: 'CANCELLED', summary: expect.stringContaining('do not use') },
      ])
    },
  )

  test.each(['return', 'date brought forward'] as const)('a %s puts it in again', async (kind) => {
    expect((await attached(kind, [due()])).events).toMatchObject([{ status: 'CONFIRMED' }])
  })

  test.each(statuses)('%s: says in English what a feed says', async (status) => {
    const line = due({ status, source: 'Safety manual; 4.2' })
    const { summary, description } = calendarEntry(line, day('2026-03-02')) ?? {}
    const { events } = await attached('digest', [line])
    expect(events.map((one) => [one.summary, one.description])).toEqual([[summary, description]])
  })

  test.each(statuses)('%s: says all of it in Spanish to who reads Spanish, about the same entry', async (status) => {
    const line = due({ status, source: 'Safety manual; 4.2', why: 'It was scrapped.' })
    const [english, spanish] = await Promise.all(
      (['en', 'es'] as const).map(async (language) => (await attached('digest', [line], language)).events[0]),
    )
    expect([spanish?.uid, spanish?.on, spanish?.sequence]).toEqual([english?.uid, english?.on, english?.sequence])
    expect(spanish?.summary).toMatch(/^Pértiga S-1: /)
    expect(spanish?.description).toContain('Según lo sabido el 2 de marzo de 2026.')
    expect(`${spanish?.summary} ${spanish?.description}`).not.toMatch(/ the | use it|Known|Status|Bring/)
  })

  test('a mail about a stick without a date has none', async () => {
    expect((await attached('hold', hold().lines)).mail.attachments).toEqual([])
  })
})

describe('when the mail service does not take it', () => {
  test.each(['Throttling', 'ServiceUnavailable', 'TimeoutError', 'AccountSendingPausedException'])(
    'passing trouble gives the lease back and asks for another try: %s',
    async (name) => {
      const { table, parts, ses, sent } = house()
      const notice = await owe(table, hold())
      ses.on(SendRawEmailCommand).rejectsOnce(named(name)).resolves({ MessageId: 'ses-2' })
      expect(await deliver(parts, notice)).toBe('try again')
      const between = await lookUp(table, hold())
      expect(between).toMatchObject({ state: 'owed', trouble: expect.stringContaining(name) })
      expect(between).not.toHaveProperty('leaseUntil')
      expect(unsentItems(table.items())).toBe(1)
      expect(await deliver(parts, notice)).toBe('sent')
      expect(sent()).toHaveLength(2)
    },
  )

  test.each(['MessageRejected', 'InvalidParameterValue'])(
    'a refusal for good sets it aside, kept with its reason and out of the queue: %s',
    async (name) => {
      const { table, parts, ses, later, sent } = house()
      const notice = await owe(table, hold())
      ses.on(SendRawEmailCommand).rejects(named(name))
      expect(await deliver(parts, notice)).toBe('set aside')
      const after = await lookUp(table, hold())
      expect(after).toMatchObject({ state: 'not delivered', trouble: expect.stringContaining(name) })
      expect(unsentItems(table.items())).toBe(0)
      later(3600)
      expect(await deliverUnsent(parts)).toEqual({ found: 0, sent: 0 })
      expect(sent()).toHaveLength(1)
    },
  )
})

describe('a crash between sending and marking', () => {
  /** The table breaks off when the first notice is to be marked as sent. */
  function withCrash() {
    const whole = house()
    let crashed = false
    const table: Table = {
      ...whole.table,
      update(key, change) {
        if (crashed || !change.UpdateExpression?.includes('messageId')) return whole.table.update(key, change)
        crashed = true
        throw new Error('broken off')
      },
    }
    return { ...whole, parts: { ...whole.parts, table } }
  }

  test('sends once more when the lease has run out, not before, with the same number where people see it', async () => {
    const { table, parts, later, sent } = withCrash()
    const notice = await owe(table, hold())
    await expect(deliver(parts, notice)).rejects.toThrow('broken off')
    later(120)
    expect(await deliver(parts, notice)).toBe('somebody else has it')
    expect(sent()).toHaveLength(1)
    later(1)
    expect(await deliverUnsent(parts)).toEqual({ found: 1, sent: 1 })
    expect(await deliverUnsent(parts)).toEqual({ found: 0, sent: 0 })
    expect(sent()).toHaveLength(2)

    const mails = await Promise.all(sent().map(({ RawMessage }) => simpleParser(Buffer.from(RawMessage?.Data ?? ''))))
    for (const mail of mails) {
      expect(mail.subject).toContain(notice.number)
      expect(mail.text).toContain(notice.number)
      expect(mail.html).toContain(notice.number)
      expect(mail.headers.get('x-quarterturn-notice')).toBe(notice.number)
    }
    expect(sent().map(({ Tags }) => Tags?.[0]?.Value)).toEqual([notice.number, notice.number])
    expect(await lookUp(table, hold())).toMatchObject({ state: 'sent', attempts: 2 })
  })
})

describe('a batch from the stream', () => {
  const sequence = (n: number) => `10000${n}`

  function recordOf(image: object, n: number, eventName: DynamoDBRecord['eventName'] = 'INSERT'): DynamoDBRecord {
    const NewImage = marshall(image, { removeUndefinedValues: true }) as Record<string, AttributeValue>
    return {
      eventName,
      dynamodb: {
        NewImage: NewImage as NonNullable<DynamoDBRecord['dynamodb']>['NewImage'],
        SequenceNumber: sequence(n),
      },
    } as DynamoDBRecord
  }

  async function batchOf(table: Table, ...stickIds: string[]): Promise<DynamoDBRecord[]> {
    const notices = []
    for (const stickId of stickIds) notices.push(await owe(table, hold(stickId)))
    return notices.map((notice, n) => recordOf(notice, n))
  }

  test('is sent in its order, and nothing of it comes again', async () => {
    const { table, parts, sent } = house()
    const batch = await batchOf(table, 'S-1', 'S-2', 'S-3')
    expect(await deliverFromStream(parts, batch)).toEqual({ batchItemFailures: [] })
    const numbers = await Promise.all(['S-1', 'S-2', 'S-3'].map(async (id) => (await lookUp(table, hold(id))).number))
    expect(sent().map(({ Tags }) => Tags?.[0]?.Value)).toEqual(numbers)
  })

  test('delivered twice sends each notice once', async () => {
    const { table, parts, sent } = house()
    const batch = await batchOf(table, 'S-1', 'S-2')
    await deliverFromStream(parts, batch)
    expect(await deliverFromStream(parts, [...batch, ...batch])).toEqual({ batchItemFailures: [] })
    expect(sent()).toHaveLength(2)
  })

  test('stops at the first that must be tried again, and goes on there when it comes back', async () => {
    const { table, parts, ses, sent } = house()
    const batch = await batchOf(table, 'S-1', 'S-2', 'S-3')
    ses.on(SendRawEmailCommand).resolvesOnce({}).rejectsOnce(named('Throttling')).resolves({})
    expect(await deliverFromStream(parts, batch)).toEqual({ batchItemFailures: [{ itemIdentifier: sequence(1) }] })
    expect((await lookUp(table, hold('S-3'))).state).toBe('owed')
    expect(await deliverFromStream(parts, batch.slice(1))).toEqual({ batchItemFailures: [] })
    expect(sent()).toHaveLength(4)
    for (const id of ['S-1', 'S-2', 'S-3']) expect((await lookUp(table, hold(id))).state).toBe('sent')
  })

  test('one that is refused for good keeps no other waiting', async () => {
    const { table, parts, ses } = house()
    const batch = await batchOf(table, 'S-1', 'S-2')
    ses.on(SendRawEmailCommand).rejectsOnce(named('MessageRejected')).resolves({})
    expect(await deliverFromStream(parts, batch)).toEqual({ batchItemFailures: [] })
    expect((await lookUp(table, hold('S-1'))).state).toBe('not delivered')
    expect((await lookUp(table, hold('S-2'))).state).toBe('sent')
  })

  test('one that cannot be read is named alone, after what came before it was sent', async () => {
    const { table, parts, sent } = house()
    const broken = recordOf({ entity: 'notice', number: '2222-2222-2222' }, 1)
    Object.assign(broken.dynamodb?.NewImage ?? {}, { lines: { Q: 'a type nobody knows' } })
    const batch = [...(await batchOf(table, 'S-1')), broken]
    expect(await deliverFromStream(parts, batch)).toEqual({ batchItemFailures: [{ itemIdentifier: sequence(1) }] })
    expect(sent()).toHaveLength(1)
  })

  test('one that cannot be printed as a mail is tried again under a lease given back', async () => {
    const { table, parts, sent } = house()
    const notice = await owe(table, { ...hold(), to: { email: 'ana@crew-one.example' } as never })
    expect(await deliverFromStream(parts, [recordOf(notice, 1)])).toEqual({
      batchItemFailures: [{ itemIdentifier: sequence(1) }],
    })
    expect(await lookUp(table, hold())).toMatchObject({ state: 'owed', trouble: expect.any(String) })
    expect(sent()).toEqual([])
  })

  test('when the table cannot be reached the notice is tried again, not lost', async () => {
    const { table, parts, sent } = house()
    const batch = await batchOf(table, 'S-1')
    const away = () => Promise.reject(new Error('no connection'))
    const outcome = await deliverFromStream({ ...parts, table: { ...table, update: away } }, batch)
    expect(outcome).toEqual({ batchItemFailures: [{ itemIdentifier: sequence(0) }] })
    expect(sent()).toEqual([])
  })

  test('a notice marked or a stick written is no new notice', async () => {
    const { table, parts, sent } = house()
    const notice = await owe(table, hold())
    const batch = [recordOf({ entity: 'stick', stickId: 'S-1' }, 1), recordOf(notice, 2, 'MODIFY')]
    expect(await deliverFromStream(parts, batch)).toEqual({ batchItemFailures: [] })
    expect(sent()).toEqual([])
  })
})

describe('the run every few minutes', () => {
  test('takes up what the stream missed, of every organisation', async () => {
    const { table, parts, later, sent } = house()
    await owe(table, hold('S-1'))
    const others = keysOf('other-utility')
    await table.transact([noticeWrite(table, others, 'other-utility', hold('S-1'), begin)])
    for (let n = 2; n < 30; n++) await owe(table, hold(`S-${n}`))
    later(121)
    expect(await deliverUnsent(parts)).toEqual({ found: 30, sent: 30 })
    expect(sent()).toHaveLength(30)
    expect(await deliverUnsent(parts)).toEqual({ found: 0, sent: 0 })
  })

  test('leaves what is fresh to the stream', async () => {
    const { table, parts, later } = house()
    await owe(table, hold())
    later(119)
    expect(await deliverUnsent(parts)).toEqual({ found: 0, sent: 0 })
    later(1)
    expect(await deliverUnsent(parts)).toEqual({ found: 1, sent: 1 })
  })

  test('leaves what another sender holds', async () => {
    const { table, parts, later, ses, sent } = house()
    const notice = await owe(table, hold())
    later(121)
    let meanwhile: unknown
    ses.on(SendRawEmailCommand).callsFake(async () => {
      meanwhile = await deliverUnsent(parts)
      return {}
    })
    await deliver(parts, notice)
    expect(meanwhile).toEqual({ found: 1, sent: 0 })
    expect(sent()).toHaveLength(1)
  })

  test('goes on past one that cannot be handled', async () => {
    const { table, parts, later } = house()
    const first = await owe(table, hold('S-1'))
    for (const id of ['S-2', 'S-3', 'S-4']) await owe(table, hold(id))
    later(121)
    const troubled: Table = {
      ...table,
      update: (key, change) =>
        key.pk === keys.notice(first.number).pk
          ? Promise.reject(named('TransactionConflictException'))
          : table.update(key, change),
    }
    expect(await deliverUnsent({ ...parts, table: troubled })).toEqual({ found: 4, sent: 3 })
  })

  test('an index that has not caught up sends nothing twice', async () => {
    const { table, parts, later, sent } = house()
    const notice = await owe(table, hold())
    later(121)
    await deliver(parts, notice)
    table.trouble({ indexLag: 2 })
    expect(await deliverUnsent(parts)).toEqual({ found: 1, sent: 0 })
    expect(sent()).toHaveLength(1)
  })
})
