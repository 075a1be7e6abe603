import { GetSendQuotaCommand, SESClient, SendRawEmailCommand } from '@aws-sdk/client-ses'
import type { SQSRecord } from 'aws-lambda'
import { mockClient } from 'aws-sdk-client-mock'
import ICAL from 'ical.js'
import { simpleParser } from 'mailparser'
import { describe, expect, test, vi } from 'vitest'
import { deliver, deliverUnsent, type Parts } from '../../functions/deliver-notices/deliver-notices.ts'
import { deliverFromQueue } from '../../functions/deliver-notices/from-queue.ts'
import { sesMailer } from '../../functions/deliver-notices/mail.ts'
import { accountPace } from '../../functions/deliver-notices/pace.ts'
import { keysOf, organisationTable } from '../../functions/store/keys.ts'
import { openNotices } from '../../functions/store/notice-life.ts'
import { type Notice, noticeNumber, noticeWrite, queueOf } from '../../functions/store/notices.ts'
import { employerPolicyId, openOrganisation } from '../../functions/store/organisation.ts'
import type { Item, Table } from '../../functions/store/table.ts'
import { addSeconds, type Instant } from '../../shared-domain/calendar.ts'
import { calendarEntry } from '../../shared-domain/notices/calendar-entry.ts'
import type { OwedNotice, StickLine } from '../../shared-domain/notices/notice.ts'
import { replay } from '../../shared-domain/state/fold.ts'
import { type Language, statuses } from '../../shared-domain/words.ts'
import { inEnglish } from '../support/english.ts'
import { fakeTable } from '../support/fake-table.ts'
import { queueMessage } from '../support/queue-message.ts'
import { aDepot, aStick, aTest, day, happened, history } from '../support/trade.ts'

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
    replyTo: 'bench@quarterturn.example',
    configurationSet: 'feedback',
    pagesUrl: 'https://pages.example',
    answersUrl: 'https://answers.example',
  }
  ses.on(SendRawEmailCommand).resolves({ MessageId: 'ses-1' })
  ses.on(GetSendQuotaCommand).resolves({ MaxSendRate: 10 })
  const mailer = sesMailer(client, settings)
  let millis = 0
  const waited: number[] = []
  const time = {
    now: () => millis,
    random: () => 0.5,
    async sleep(more: number) {
      waited.push(more)
      millis += more
    },
  }
  const paceUntil = accountPace(mailer.quota, time)
  return {
    table,
    ses,
    parts: { table, mailer, clock: () => now, pace: paceUntil(1e9) },
    /** a run that may last so long */
    within: (most: number) => ({ table, mailer, clock: () => now, pace: paceUntil(millis + most) }),
    /** milliseconds, in the order in which they were waited */
    waited,
    pass(more: number) {
      millis += more
    },
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
      why: { is: 'why held' },
      source: null,
      holds: [{ code: 'defect-reported', detail: { defect: 'tingle' } }],
    },
  ],
})

async function owe(table: Table, owed: OwedNotice, owedAt: Instant = begin): Promise<Notice> {
  await table.transact([noticeWrite(organisationTable(table, organisation), owed, owedAt)])
  return lookUp(table, owed)
}

async function lookUp(table: Table, owed: OwedNotice): Promise<Notice> {
  return (await table.get(keys.notice(noticeNumber({ table: {}, name: organisation }, owed.key)))) as unknown as Notice
}

const unsentItems = (items: readonly Item[]) => items.filter((item) => 'queue' in item).length

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
        Tags: [
          { Name: 'notice', Value: notice.number },
          { Name: 'organisation', Value: organisation },
        ],
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
    const { summary, description } = calendarEntry(line, day('2026-03-02'), inEnglish) ?? {}
    const { events } = await attached('digest', [line])
    expect(events.map((one) => [one.summary, one.description])).toEqual([[summary, description]])
  })

  test.each(statuses)('%s: says all of it in Spanish to who reads Spanish, about the same entry', async (status) => {
    const line = due({ status, source: 'Safety manual; 4.2', why: { is: 'why scrapped' } })
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

const answered = (name: string, httpStatusCode: number, message = `the mail service says ${name}`) =>
  Object.assign(new Error(message), { name, $metadata: { httpStatusCode } })

describe('when the mail service does not take it', () => {
  test.each(['Throttling', 'ServiceUnavailable', 'TimeoutError'])(
    'passing trouble is waited out, longer each time, within the run: %s',
    async (name) => {
      const { table, parts, ses, sent, waited } = house()
      const notice = await owe(table, hold())
      ses.on(SendRawEmailCommand).rejectsOnce(named(name)).rejectsOnce(named(name)).resolves({ MessageId: 'ses-2' })
      expect(await deliver(parts, notice)).toBe('sent')
      expect(waited).toEqual([200, 400])
      expect(sent()).toHaveLength(3)
      expect(await lookUp(table, hold())).toMatchObject({ state: 'sent', messageId: 'ses-2', attempts: 1 })
    },
  )

  test.each([
    ['Throttling', 'stop here'],
    ['ServiceUnavailable', 'try again'],
    ['TimeoutError', 'try again'],
  ])('trouble that lasts gives the lease back and counts for no try: %s', async (name, outcome) => {
    const { table, within, ses, waited } = house()
    const notice = await owe(table, hold())
    ses.on(SendRawEmailCommand).rejects(named(name))
    for (let run = 0; run < 8; run++) expect(await deliver(within(60_000), notice)).toBe(outcome)
    expect(waited.reduce((sum, one) => sum + one, 0)).toBeLessThanOrEqual(8 * 15_000)
    const between = await lookUp(table, hold())
    expect(between).toMatchObject({ state: 'owed', trouble: expect.stringContaining(name), attempts: 0 })
    expect(between).not.toHaveProperty('leaseUntil')
    expect(unsentItems(table.items())).toBe(1)
    ses.on(SendRawEmailCommand).resolves({ MessageId: 'ses-2' })
    expect(await deliver(within(60_000), notice)).toBe('sent')
  })

  test('a run that ends soon does not wait beyond its end', async () => {
    const { table, within, ses, sent, waited } = house()
    const notice = await owe(table, hold())
    ses.on(SendRawEmailCommand).rejects(named('Throttling'))
    expect(await deliver(within(700), notice)).toBe('stop here')
    expect(waited).toEqual([200, 400])
    expect(sent()).toHaveLength(3)
  })

  test.each([
    ['AccountSendingPausedException', 400],
    ['ConfigurationSetDoesNotExist', 400],
    ['MailFromDomainNotVerifiedException', 400],
    ['AccessDenied', 403],
  ])('what would meet every mail stops the run at once and loses nothing: %s', async (name, status) => {
    const { table, parts, ses, later, pass, sent, waited } = house()
    for (const id of ['S-1', 'S-2', 'S-3']) await owe(table, hold(id))
    ses.on(SendRawEmailCommand).rejects(answered(name, status))
    later(121)
    for (let run = 1; run < 9; run++) {
      expect(await deliverUnsent(parts)).toEqual({ found: 3, sent: 0 })
      expect(sent()).toHaveLength(run)
      pass(1000)
    }
    expect(waited).toEqual([])
    ses.on(SendRawEmailCommand).resolves({})
    expect(await deliverUnsent(parts)).toEqual({ found: 3, sent: 3 })
  })

  test('our own domain no longer verified is no fault of a notice, though the service says it of one', async () => {
    const { table, parts, ses } = house()
    const notice = await owe(table, hold())
    const message =
      'Email address is not verified. The following identities failed the check: notices@quarterturn.example'
    ses.on(SendRawEmailCommand).rejects(answered('MessageRejected', 400, message))
    for (let run = 0; run < 9; run++) expect(await deliver(parts, notice)).toBe('stop here')
    expect(await lookUp(table, hold())).toMatchObject({ state: 'owed', attempts: 0 })
  })
})

describe('a notice that fails by itself', () => {
  test.each([
    ['MessageRejected', { attempts: 0, refusals: 4 }],
    ['InvalidParameterValue', { attempts: 4 }],
  ])('is refused for good the fifth time: kept with its reason, out of the queue: %s', async (name, counted) => {
    const { table, parts, ses, later, sent } = house()
    const notice = await owe(table, hold())
    ses.on(SendRawEmailCommand).rejects(answered(name, 400))
    expect(await deliver(parts, notice)).toBe('left for later')
    for (let run = 1; run < 4; run++) expect(await deliver(parts, await lookUp(table, hold()))).toBe('left for later')
    expect(await lookUp(table, hold())).toMatchObject({ state: 'owed', ...counted })
    expect(await deliver(parts, await lookUp(table, hold()))).toBe('set aside')
    const after = await lookUp(table, hold())
    expect(after).toMatchObject({ state: 'not delivered', trouble: expect.stringContaining(name) })
    expect(after).not.toHaveProperty('leaseUntil')
    // in the queue of what is told to the next person
    expect(after).toHaveProperty('queue', expect.stringMatching(/^SYSTEM#UNDELIVERED#/))
    later(3600)
    expect(await deliverUnsent(parts)).toEqual({ found: 0, sent: 0 })
    expect(sent()).toHaveLength(5)
  })

  test('or ends its sender each time without a word: set aside unsent', async () => {
    const { table, parts, later, sent } = house()
    const notice = await owe(table, hold())
    const ended = { ...parts, mailer: { ...parts.mailer, send: () => Promise.reject(new Error('ended')) } }
    const table2: Table = {
      ...table,
      update: (key, change) =>
        change.UpdateExpression?.includes('#leaseUntil = ')
          ? table.update(key, change)
          : Promise.reject(new Error('ended')),
    }
    for (let run = 0; run < 5; run++) {
      await expect(deliver({ ...ended, table: table2 }, notice)).rejects.toThrow('ended')
      later(121)
    }
    expect(await deliverUnsent(parts)).toEqual({ found: 1, sent: 0 })
    expect(await lookUp(table, hold())).toMatchObject({ state: 'not delivered', attempts: 6 })
    expect(sent()).toEqual([])
  })

  test('rings with its number', async () => {
    const { table, parts, ses } = house()
    const notice = await owe(table, hold())
    ses.on(SendRawEmailCommand).rejects(answered('MessageRejected', 400))
    const written = vi.spyOn(console, 'error').mockImplementation(() => undefined)
    for (let run = 0; run < 5; run++) await deliver(parts, await lookUp(table, hold()))
    const lines = written.mock.calls.map(([line]) => JSON.parse(line))
    written.mockRestore()
    expect(lines.filter(({ event }) => event === 'notice set aside')).toEqual([
      { level: 'error', event: 'notice set aside', notice: notice.number, trouble: expect.any(String) },
    ])
  })

  test('comes last in the run every few minutes, behind those tried less', async () => {
    const { table, parts, ses, later, sent } = house()
    const poison = await owe(table, hold('S-1'), addSeconds(begin, -900))
    ses.on(SendRawEmailCommand).callsFake(async ({ Tags }) => {
      if (Tags?.[0]?.Value === poison.number) throw answered('MessageRejected', 400)
      return {}
    })
    expect(await deliver(parts, poison)).toBe('left for later')
    await owe(table, hold('S-2'))
    later(121)
    expect(await deliverUnsent(parts)).toEqual({ found: 2, sent: 1 })
    expect(sent().map(({ Tags }) => Tags?.[0]?.Value === poison.number)).toEqual([true, false, true])
  })
})

describe('the account’s own pace', () => {
  const quotaAsked = ({ ses }: ReturnType<typeof house>) => ses.commandCalls(GetSendQuotaCommand).length

  test('ten a second are sent ten a second', async () => {
    const whole = house()
    for (let n = 0; n < 5; n++) await deliver(whole.parts, await owe(whole.table, hold(`S-${n}`)))
    expect(whole.waited).toEqual([100, 100, 100, 100])
    expect(quotaAsked(whole)).toBe(1)
  })

  test('is asked for once a minute at most, and followed when it changes', async () => {
    const whole = house()
    const { table, parts, ses, waited, pass } = whole
    await deliver(parts, await owe(table, hold('S-1')))
    ses.on(GetSendQuotaCommand).resolves({ MaxSendRate: 2 })
    pass(59_999)
    await deliver(parts, await owe(table, hold('S-2')))
    expect(quotaAsked(whole)).toBe(1)
    pass(100)
    await deliver(parts, await owe(table, hold('S-3')))
    await deliver(parts, await owe(table, hold('S-4')))
    expect([quotaAsked(whole), waited]).toEqual([2, [500]])
  })

  test('that cannot be read is taken for the least there is, and the mail goes', async () => {
    const whole = house()
    whole.ses.on(GetSendQuotaCommand).rejects(named('Throttling'))
    for (const id of ['S-1', 'S-2']) expect(await deliver(whole.parts, await owe(whole.table, hold(id)))).toBe('sent')
    expect(whole.waited).toEqual([1000])
  })

  test('a turn that comes after the end of the run leaves the notice to the next', async () => {
    const { table, within, sent } = house()
    const parts = within(150)
    const outcomes = []
    for (const id of ['S-1', 'S-2', 'S-3']) outcomes.push(await deliver(parts, await owe(table, hold(id))))
    expect(outcomes).toEqual(['sent', 'sent', 'stop here'])
    expect(sent()).toHaveLength(2)
    expect(await lookUp(table, hold('S-3'))).toMatchObject({ state: 'owed', attempts: 0 })
  })
})

describe('who lost the lease meanwhile', () => {
  /** While the first sender waits for the mail service, `meanwhile` happens, two minutes later. */
  async function overtaken(trouble: Error | null, meanwhile: (parts: Parts, notice: Notice) => Promise<unknown>) {
    const { table, parts, ses, later } = house()
    const notice = await owe(table, hold())
    let first = true
    ses.on(SendRawEmailCommand).callsFake(async () => {
      if (!first) return { MessageId: 'ses-2' }
      first = false
      later(121)
      await meanwhile(parts, notice)
      if (trouble !== null) throw trouble
      return { MessageId: 'ses-1' }
    })
    await deliver(parts, notice)
    return lookUp(table, hold())
  }

  test.each([
    ['gives back', answered('ConfigurationSetDoesNotExist', 400)],
    ['leaves for later', answered('MessageRejected', 400)],
  ])('%s nothing that another holds', async (_, trouble) => {
    const after = await overtaken(trouble, ({ table, clock }, notice) =>
      openNotices(table, organisation).claim(notice, clock(), 120),
    )
    expect(after).toMatchObject({ state: 'claimed', leaseUntil: addSeconds(begin, 241), attempts: 2 })
    expect(after).not.toHaveProperty('trouble')
  })

  test('sets nothing aside', async () => {
    const { table } = house()
    const notice = await owe(table, hold())
    const old = await openNotices(table, organisation).claim(notice, begin, 120)
    const later = addSeconds(begin, 121)
    await openNotices(table, organisation).claim(notice, later, 120)
    const late = { why: 'refused', trouble: 'too late' } as const
    expect(old && (await openNotices(table, organisation).setAside({ notice, lease: old }, late))).toBe(false)
    expect((await lookUp(table, hold())).state).toBe('claimed')
  })

  test('marks all the same, since the mail is out', async () => {
    const after = await overtaken(null, ({ table, clock }, notice) =>
      openNotices(table, organisation).claim(notice, clock(), 120),
    )
    expect(after).toMatchObject({ state: 'sent', messageId: 'ses-1' })
  })

  test('but takes back nothing that came after a sending', async () => {
    const after = await overtaken(null, deliver)
    expect(after).toMatchObject({ state: 'sent', messageId: 'ses-2' })
  })
})

describe('a crash between sending and marking', () => {
  /** The table does not take so many marks. */
  function withCrash(marks: number) {
    const whole = house()
    let left = marks
    const table: Table = {
      ...whole.table,
      async update(key, change) {
        if (left === 0 || !change.UpdateExpression?.includes('messageId')) return whole.table.update(key, change)
        left -= 1
        throw new Error('broken off')
      },
    }
    return { ...whole, parts: { ...whole.parts, table } }
  }

  test('that passes is waited out: marked, and sent once', async () => {
    const { table, parts, sent, waited } = withCrash(2)
    expect(await deliver(parts, await owe(table, hold()))).toBe('sent')
    expect(waited).toEqual([200, 400])
    expect(await lookUp(table, hold())).toMatchObject({ state: 'sent', sentAt: begin, messageId: 'ses-1' })
    expect(sent()).toHaveLength(1)
  })

  test('sends once more when the lease has run out, not before, with the same number where people see it', async () => {
    const { table, parts, later, sent, within } = withCrash(1)
    const notice = await owe(table, hold())
    await expect(deliver({ ...parts, pace: within(100).pace }, notice)).rejects.toThrow('broken off')
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

describe('word that a stick is back in service', () => {
  const back = (): OwedNotice => ({ ...hold(), kind: 'return', key: 'return|S-1' })
  const passed = [
    ['2026-03-01', happened.registered()],
    ['2026-03-01', happened.tested('pass', aTest({ testedOn: day('2026-03-01') }))],
  ] as const

  /** The stick after its passing test and what came since, under the rules of the organisation. */
  async function keep(table: Table, ...since: Parameters<typeof history>) {
    const state = replay(history(...passed, ...since))
    await table.transact([
      table.put({
        ...keys.state('S-1'),
        entity: 'stick',
        stickId: 'S-1',
        depotId: 'DEP-1',
        state,
        told: null,
        version: 1,
      }),
    ])
    const entered = { effectiveFrom: day('2024-01-01'), recordedAt: begin, recordedBy: 'manager' }
    const { registers } = openOrganisation(table, organisation)
    await registers.add('depot', 'DEP-1', { body: aDepot, ...entered })
    await registers.add('policy', employerPolicyId, { body: { packs: ['us-29-cfr-1910-269-j'] }, ...entered })
  }

  test('leaves while it is true', async () => {
    const { table, parts, sent } = house()
    await keep(table)
    expect(await deliver(parts, await owe(table, back()))).toBe('sent')
    expect(sent()).toHaveLength(1)
  })

  const failed = ['2026-03-02', happened.tested('electrical')] as const
  test.each<[string, Parameters<typeof history>]>([
    ['held', [['2026-03-02', happened.defect()]]],
    [
      'entered anew as what no test was of',
      [['2026-03-02', happened.registered({ ...aStick, diameterMillimetres: 38 })]],
    ],
    ['removed', [failed, ['2026-03-02', happened.step('refinished')], failed]],
    ['scrapped', [['2026-03-02', happened.moved('scrapped')]]],
  ])('is withdrawn where the stick was %s since, and holds leave all the same', async (_, since) => {
    const { table, parts, sent } = house()
    await keep(table, ...since)
    expect(await deliver(parts, await owe(table, back()))).toBe('withdrawn')
    expect(await lookUp(table, back())).toMatchObject({
      state: 'withdrawn',
      trouble: expect.stringContaining('no longer so'),
    })
    expect(unsentItems(table.items())).toBe(0)
    expect(await deliver(parts, await owe(table, hold()))).toBe('sent')
    expect(sent()).toHaveLength(1)
  })

  test('is withdrawn where its date has passed at its depot while the mail waited', async () => {
    const { table, parts, later, sent } = house()
    await keep(table)
    const notice = await owe(table, back())
    later(800 * 24 * 3600)
    expect(await deliver(parts, notice)).toBe('withdrawn')
    expect(sent()).toHaveLength(0)
  })
})

describe('word of a report that left a stick fit', () => {
  const report = { what: 'defect', defect: 'tingle', on: '2026-02-28', reportedBy: 'Cy Dahl' } as const
  const told = async (...since: Parameters<typeof history>) => {
    const { table, parts, sent } = house()
    const state = replay(
      history(['2026-03-01', happened.registered()], ['2026-03-01', happened.tested('pass')], ...since),
    )
    await table.transact([
      table.put({
        ...keys.state('S-1'),
        entity: 'stick',
        stickId: 'S-1',
        depotId: 'DEP-1',
        state,
        told: null,
        version: 1,
      }),
    ])
    const entered = { effectiveFrom: day('2024-01-01'), recordedAt: begin, recordedBy: 'manager' }
    const { registers } = openOrganisation(table, organisation)
    await registers.add('depot', 'DEP-1', { body: aDepot, ...entered })
    await registers.add('policy', employerPolicyId, { body: { packs: ['us-29-cfr-1910-269-j'] }, ...entered })
    const [line] = hold().lines
    if (line === undefined) throw new Error('a hold without a stick')
    const owed: OwedNotice = {
      ...hold(),
      kind: 'report',
      key: 'report|S-1',
      lines: [{ ...line, status: 'in service', holds: [], why: 'It may be used.' }],
      report: { ...report, passedSince: day('2026-03-01') },
    }
    expect(await deliver(parts, await owe(table, owed))).toBe('sent')
    return (await simpleParser(String(Buffer.from(sent()[0]?.RawMessage?.Data ?? [])))).text ?? ''
  }

  test('says so while it is true', async () => {
    expect(await told()).toMatch(/tingle[\s\S]*passed a full test since, on 1 March 2026/)
  })

  test('leaves as the stick stands where it was held since', async () => {
    const text = await told(['2026-03-02', happened.defect('drop')])
    expect(text).toMatch(/tingle[\s\S]*on hold[\s\S]*Reported from use: drop/)
    expect(text).not.toMatch(/stays in use|passed a full test since|may be used/)
  })
})

describe('a message from a queue', () => {
  const message = 'M-1'
  const again = { batchItemFailures: [{ itemIdentifier: message }] }
  const done = { batchItemFailures: [] }

  async function messageOf(table: Table, ...stickIds: string[]): Promise<SQSRecord> {
    const notices = []
    for (const stickId of stickIds) notices.push(await owe(table, hold(stickId)))
    return queueMessage(message, notices)
  }

  test('is sent, and does not come again', async () => {
    const { table, parts, sent } = house()
    expect(await deliverFromQueue(parts, [await messageOf(table, 'S-1', 'S-2', 'S-3')])).toEqual(done)
    const numbers = await Promise.all(['S-1', 'S-2', 'S-3'].map(async (id) => (await lookUp(table, hold(id))).number))
    expect(
      sent()
        .map(({ Tags }) => Tags?.[0]?.Value)
        .sort(),
    ).toEqual(numbers.sort())
  })

  test('whoever holds the stick is told before the foreman, and the foreman before the manager', async () => {
    const { table, parts, sent } = house()
    const told = (role: 'crew' | 'foreman' | 'manager') => {
      const owed = hold('S-1', `${role}@crew-one.example`)
      return { ...owed, to: { ...owed.to, role }, answer: { about: 'S-1', withinHours: 4 } }
    }
    const notices = []
    for (const role of ['manager', 'crew', 'foreman'] as const) notices.push(await owe(table, told(role)))
    await deliverFromQueue(parts, [queueMessage(message, notices)])
    expect(sent().map(({ Destinations }) => Destinations?.[0])).toEqual(
      ['crew', 'foreman', 'manager'].map((role) => `${role}@crew-one.example`),
    )
  })

  // Amazon SQS Developer Guide, "Standard queues": at least once
  test('delivered twice, at once or later, sends each notice once', async () => {
    const { table, parts, sent } = house()
    const record = await messageOf(table, 'S-1', 'S-2')
    await Promise.all([deliverFromQueue(parts, [record]), deliverFromQueue(parts, [record])])
    expect(await deliverFromQueue(parts, [record, record])).toEqual(done)
    expect(sent()).toHaveLength(2)
  })

  test('stops at the first that comes too fast, and goes on there when it comes back', async () => {
    const { table, parts, within, ses, sent } = house()
    const record = await messageOf(table, 'S-1', 'S-2', 'S-3')
    ses.on(SendRawEmailCommand).resolvesOnce({}).rejectsOnce(named('Throttling')).resolves({})
    expect(await deliverFromQueue(within(150), [record])).toEqual(again)
    expect((await lookUp(table, hold('S-3'))).state).toBe('owed')
    expect(await deliverFromQueue(parts, [record])).toEqual(done)
    expect(sent()).toHaveLength(4)
    for (const id of ['S-1', 'S-2', 'S-3']) expect((await lookUp(table, hold(id))).state).toBe('sent')
  })

  test('with one that the mail service fails for alone comes again, and what lies behind it is sent', async () => {
    const { table, parts, ses } = house()
    const record = await messageOf(table, 'S-1', 'S-2', 'S-3')
    ses.on(SendRawEmailCommand).callsFake(async ({ Destinations, Tags }) => {
      if (Tags?.[0]?.Value === noticeNumber({ table: {}, name: organisation }, hold('S-2').key))
        throw answered('InternalFailure', 500)
      return { Destinations }
    })
    const other = { ...(await messageOf(table, 'S-4')), messageId: 'M-2' }
    expect(await deliverFromQueue(parts, [record, other])).toEqual(again)
    const states = ['S-1', 'S-2', 'S-3', 'S-4'].map(async (id) => (await lookUp(table, hold(id))).state)
    expect(await Promise.all(states)).toEqual(['sent', 'owed', 'sent', 'sent'])
  })

  test('that cannot be read comes again, and keeps no other from being sent', async () => {
    const { table, parts, sent } = house()
    const broken = { messageId: 'M-0', body: 'no list of keys' } as SQSRecord
    const outcome = await deliverFromQueue(parts, [broken, await messageOf(table, 'S-1')])
    expect(outcome).toEqual({ batchItemFailures: [{ itemIdentifier: 'M-0' }] })
    expect(sent()).toHaveLength(1)
  })

  test('one that is refused is left to the run every few minutes and keeps no other waiting', async () => {
    const { table, parts, ses } = house()
    const record = await messageOf(table, 'S-1', 'S-2')
    ses.on(SendRawEmailCommand).rejectsOnce(named('MessageRejected')).resolves({})
    expect(await deliverFromQueue(parts, [record])).toEqual(done)
    expect((await lookUp(table, hold('S-1'))).state).toBe('owed')
    expect((await lookUp(table, hold('S-2'))).state).toBe('sent')
  })

  test('one that cannot be printed as a mail is left to the next run under a lease given back', async () => {
    const { table, parts, sent } = house()
    const notice = await owe(table, { ...hold(), to: { email: 'ana@crew-one.example' } as never })
    expect(await deliverFromQueue(parts, [queueMessage(message, [notice])])).toEqual(done)
    expect(await lookUp(table, hold())).toMatchObject({ state: 'owed', trouble: expect.stringContaining('NoMail') })
    expect(sent()).toEqual([])
  })

  test('when the table cannot be reached the notice is tried again, not lost', async () => {
    const { table, parts, sent } = house()
    const record = await messageOf(table, 'S-1')
    const away = () => Promise.reject(new Error('no connection'))
    expect(await deliverFromQueue({ ...parts, table: { ...table, update: away } }, [record])).toEqual(again)
    expect(await deliverFromQueue({ ...parts, table: { ...table, getAll: away } }, [record])).toEqual(again)
    expect(sent()).toEqual([])
  })

  test('about a notice that others sent or withdrew meanwhile asks the table for nothing more', async () => {
    const { table, parts, sent } = house()
    const record = await messageOf(table, 'S-1')
    await deliver(parts, await lookUp(table, hold()))
    const before = table.written()
    expect(await deliverFromQueue(parts, [record])).toEqual(done)
    expect([sent().length, table.written()]).toEqual([1, before])
  })
})

describe('the day’s quota of mails', () => {
  const digest = (name: string): OwedNotice => ({
    ...hold('S-1', `${name}@crew-one.example`),
    kind: 'digest',
    key: `digest|${name}`,
  })
  const usedUp = () => Object.assign(new Error('Daily message quota exceeded.'), { name: 'Throttling' })
  const asked = (most: number, sentADay: number) => ({
    MaxSendRate: 10,
    Max24HourSend: most,
    SentLast24Hours: sentADay,
  })

  test('four fifths of it are for what can wait; the rest is kept for what cannot', async () => {
    const { table, parts, ses, later, sent } = house()
    ses.on(GetSendQuotaCommand).resolves(asked(100, 78))
    for (const name of ['a', 'b', 'c', 'd']) await owe(table, digest(name))
    await owe(table, hold('S-9'))
    later(121)
    await deliverUnsent(parts)
    await deliverUnsent(parts)
    const to = sent().map(({ Destinations }) => Destinations?.[0])
    expect(to[0]).toBe('ana@crew-one.example')
    expect(await deliverUnsent(parts)).toMatchObject({ sent: 0 })
    await owe(table, hold('S-10'))
    later(121)
    expect(await deliverUnsent(parts)).toMatchObject({ sent: 1 })
  })

  test('used up it is trouble of the account: it rings, no notice is at fault, all leaves the next day', async () => {
    const { table, parts, ses, later, sent, pass } = house()
    ses.on(SendRawEmailCommand).rejects(usedUp())
    const spy = vi.spyOn(console, 'error').mockImplementation(() => undefined)
    const notice = await owe(table, hold())
    for (let run = 0; run < 12; run++) {
      later(300)
      pass(300_000)
      expect(await deliverUnsent(parts)).toMatchObject({ sent: 0 })
    }
    expect(spy.mock.calls.some(([line]) => String(line).includes('the mail quota of the day is used up'))).toBe(true)
    spy.mockRestore()
    expect((await openNotices(table, organisation).one(notice.number))?.state).toBe('owed')
    ses.on(SendRawEmailCommand).resolves({ MessageId: 'ses-2' })
    later(86_400)
    pass(86_400_000)
    expect(await deliverUnsent(parts)).toMatchObject({ sent: 1 })
    expect(sent().at(-1)?.Destinations).toEqual(['ana@crew-one.example'])
  })

  test('without a limit, or where it cannot be asked, everything leaves', async () => {
    const { table, parts, ses, later } = house()
    ses.on(GetSendQuotaCommand).resolves(asked(-1, 1_000_000))
    await owe(table, digest('a'))
    later(121)
    expect(await deliverUnsent(parts)).toMatchObject({ sent: 1 })
    const other = house()
    other.ses.on(GetSendQuotaCommand).rejects(new Error('away'))
    await owe(other.table, digest('a'))
    other.later(121)
    expect(await deliverUnsent(other.parts)).toMatchObject({ sent: 1 })
  })
})

describe('the run every few minutes', () => {
  test('takes up what came through no queue, of every organisation', async () => {
    const { table, parts, later, sent } = house()
    await owe(table, hold('S-1'))
    await table.transact([noticeWrite(organisationTable(table, 'other-utility'), hold('S-1'), begin)])
    for (let n = 2; n < 30; n++) await owe(table, hold(`S-${n}`))
    later(121)
    expect(await deliverUnsent(parts)).toEqual({ found: 30, sent: 30 })
    expect(sent()).toHaveLength(30)
    expect(await deliverUnsent(parts)).toEqual({ found: 0, sent: 0 })
  })

  test('takes up a bounded number, the longest owed first', async () => {
    const { table, parts, later } = house()
    for (let n = 0; n < 900; n++) await owe(table, hold(`S-${n}`), addSeconds(begin, -n))
    later(121)
    const sent: string[] = []
    const send = async ({ number }: Notice) => `ses-${sent.push(number)}`
    const bounded = { ...parts, mailer: { ...parts.mailer, send } }
    expect(await deliverUnsent(bounded)).toEqual({ found: 400, sent: 400 })
    expect(sent[0]).toBe(noticeNumber({ table: {}, name: organisation }, hold('S-899').key))
    for (let run = 0; run < 3; run++) await deliverUnsent(bounded)
    expect([sent.length, new Set(sent).size, unsentItems(table.items())]).toEqual([900, 900, 0])
  })

  test('leaves what is fresh to the queues', async () => {
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

  test('takes up what is urgent before anything older that is not', async () => {
    const { table, parts, later, sent } = house()
    for (let n = 0; n < 3; n++) await owe(table, { ...hold(`S-${n}`), kind: 'date brought forward' })
    later(10)
    const urgent = hold('S-9')
    await owe(table, urgent, addSeconds(begin, 10))
    later(121)
    await deliverUnsent(parts)
    expect(sent()[0]?.Tags?.[0]?.Value).toBe(noticeNumber({ table: {}, name: organisation }, urgent.key))
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
    const queue = queueOf('owed', notice)?.queue ?? ''
    expect(await table.all({ index: 'notices-by-queue', partition: ['queue', queue] })).toHaveLength(1)
    expect(await deliverUnsent(parts)).toEqual({ found: 0, sent: 0 })
    expect(sent()).toHaveLength(1)
  })
})
