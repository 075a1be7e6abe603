import { SESClient, SendRawEmailCommand } from '@aws-sdk/client-ses'
import { mockClient } from 'aws-sdk-client-mock'
import fc from 'fast-check'
import { simpleParser } from 'mailparser'
import { describe, expect, test } from 'vitest'
import { sesMailer } from '../../functions/deliver-notices/mail.ts'
import type { Notice } from '../../functions/store/notices.ts'
import type { Instant } from '../../shared-domain/calendar.ts'
import {
  type Addressee,
  type NoticeKind,
  noticeKinds,
  type RecallTold,
  type Report,
  type StickLine,
  undeliveredWhys,
  type WayBack,
  waysBack,
} from '../../shared-domain/notices/notice.ts'
import { languages, unitSystems } from '../../shared-domain/words.ts'
import { inEnglish } from '../support/english.ts'
import { messageOf } from '../support/mails.ts'
import { day } from '../support/trade.ts'

const pagesUrl = 'https://pages.example/q'
const safetyWords =
  'This service supports and never replaces your employer’s procedures, local rules and qualified people. If in ' +
  'doubt, do not use the stick.'
const number = '2A3B-4C5D-6E7F'

const ana: Addressee = { name: 'Ana Ferro', email: 'ana@crew-one.example', role: 'crew', tellInPerson: [] }

const overdue: StickLine = {
  stickId: 'S-1',
  crewId: 'CR-1',
  crewName: 'Crew one',
  status: 'overdue',
  dueOn: day('2026-02-28'),
  daysLeft: -2,
  bringTo: 'North yard',
  why: { is: 'why overdue', dueOn: '2026-02-28' },
  source: '29 CFR 1910.269(j)(2)(iii)',
  holds: [],
}

const held: StickLine = {
  ...overdue,
  status: 'on hold',
  holds: [
    { code: 'failed-test', detail: { reason: { code: 'other', text: '21 over the limit of 20' }, more: 0 } },
    { code: 'defect-reported', detail: { defect: 'tingle' } },
  ],
}

const removed: StickLine = { ...overdue, status: 'removed from service', why: 'Failed again after it was cleaned.' }
const back: StickLine = { ...overdue, status: 'in service', dueOn: day('2028-03-02'), daysLeft: 731 }

const lineFor: { readonly [kind in NoticeKind]: StickLine } = {
  digest: overdue,
  hold: held,
  removal: removed,
  recall: held,
  return: back,
  'used while unfit': held,
  report: back,
  unanswered: held,
  'not delivered': held,
  proposal: held,
  calibration: held,
  'put right': back,
  reminder: overdue,
  invitation: overdue,
  fingerprint: overdue,
  'date brought forward': { ...overdue, status: 'due soon', daysLeft: 20, broughtForwardFrom: day('2027-03-01') },
}

const aRecall: RecallTold = { id: 'R-1', by: 'lot', named: 'L-7', reason: 'cracks', openedBy: 'Mia Okafor' }

const aReport: Report = {
  what: 'defect',
  defect: 'tingle',
  on: '2026-03-01',
  reportedBy: 'Ana Ferro',
  passedSince: day('2026-03-02'),
}

function noticeOf(kind: NoticeKind, over: Partial<Notice> = {}): Notice {
  return {
    kind,
    key: `${kind}|S-1`,
    number,
    organisation: 'demo-utility',
    to: ana,
    day: day('2026-03-02'),
    owedAt: '2026-03-02T12:00:00.000Z' as Instant,
    state: 'owed',
    lines: [lineFor[kind]],
    ...(kind === 'report' ? { report: aReport } : {}),
    ...(kind === 'recall' ? { recall: aRecall } : {}),
    ...over,
  }
}

async function mailOf(notice: Notice) {
  const client = new SESClient({ region: 'local' })
  const ses = mockClient(client)
  ses.on(SendRawEmailCommand).resolves({ MessageId: 'ses-1' })
  const settings = {
    from: 'sticks@quarterturn.example',
    replyTo: 'bench@quarterturn.example',
    configurationSet: 'feedback',
    pagesUrl,
    answersUrl: pagesUrl,
  }
  await sesMailer(client, settings).send(notice)
  const raw = Buffer.from(ses.commandCalls(SendRawEmailCommand)[0]?.args[0].input.RawMessage?.Data ?? '')
  return { raw: raw.toString('latin1'), mail: await simpleParser(raw) }
}

/** What a reader of the HTML sees, in one line. */
function seen(html: string): string {
  return squeezed(
    html
      .replace(/<head>.*<\/head>/s, '')
      .replace(/<[^>]*>/g, ' ')
      .replace(/&#(\d+);/g, (_, code) => String.fromCharCode(Number(code))),
  )
}

const squeezed = (text: string) => text.replace(/\s+/g, ' ')

/** The header as sent, unfolded; several of one name are several. */
function headersNamed(raw: string, name: string): string[] {
  const head = raw.slice(0, raw.indexOf('\r\n\r\n')).replace(/\r\n[ \t]+/g, ' ')
  return head.split('\r\n').filter((one) => one.toLowerCase().startsWith(`${name.toLowerCase()}:`))
}

/** What clears all of its sticks a recall says once, above them. */
const saidBy = (kind: NoticeKind, { text, clearedBy }: { text: string; clearedBy: string }) =>
  kind === 'recall' ? [text] : [text, clearedBy]

/** All that must be known of a line to act on it. */
function musts(kind: NoticeKind, one: StickLine): string[] {
  // a due date beside a hold would read as leave to use it until then
  const dated = one.status !== 'on hold' && one.status !== 'removed from service'
  return [
    `Stick ${one.stickId}`,
    one.status,
    ...(one.crewName === null ? [] : [one.crewName]),
    ...(one.dueOn === null || !dated ? [] : [inEnglish.day(one.dueOn)]),
    ...(one.holds.length === 0
      ? // a digest says by the due date that a test ran out
        kind === 'digest'
        ? []
        : [inEnglish.why(one)]
      : one.holds.flatMap((hold) => saidBy(kind, inEnglish.hold(hold)))),
    ...(kind === 'digest' && one.source !== null ? [one.source] : []),
    ...(!['return', 'report', 'put right'].includes(kind) && one.bringTo !== null ? [one.bringTo] : []),
  ]
}

/**
 * Others say in a part of their own what they are about: `proposals.test.ts` and `message-telling.test.ts` read them.
 */
const sayThemselves: readonly NoticeKind[] = ['proposal', 'calibration', 'reminder', 'invitation', 'fingerprint']
const aboutSticks = noticeKinds.filter((kind) => !sayThemselves.includes(kind))

describe.each(aboutSticks)('a notice of the kind %s, read back from the mail', (kind) => {
  test('goes to one person at the right address, with its number in a header of its own', async () => {
    const { raw, mail } = await mailOf(noticeOf(kind))
    expect(headersNamed(raw, 'To')).toHaveLength(1)
    expect(mail.to).toMatchObject({ value: [{ name: 'Ana Ferro', address: 'ana@crew-one.example' }] })
    expect(mail.from?.value).toMatchObject([{ name: 'Quarterturn', address: 'sticks@quarterturn.example' }])
    expect(mail.headers.get('x-quarterturn-notice')).toBe(number)
    expect(mail.headers.get('auto-submitted')).toBe('auto-generated')
    expect(mail.cc).toBeUndefined()
    expect(mail.bcc).toBeUndefined()
    for (const { contentType } of mail.attachments) expect(contentType).toBe('text/calendar')
  })

  test('has a subject on one line that names the stick or how many, and ends with the number', async () => {
    const { raw, mail } = await mailOf(noticeOf(kind))
    expect(headersNamed(raw, 'Subject')).toHaveLength(1)
    const [first] =
      { digest: ['1 stick overdue'], recall: ['Recall: do not use 1 stick of lot L-7 '] }[String(kind)] ?? []
    expect(mail.subject).toContain(first ?? 'Stick S-1 ')
    expect(mail.subject).toMatch(/ \[2A3B-4C5D-6E7F\]$/)
  })

  test('says in text and HTML stick, status, date, every reason and what clears it, number, safety words', async () => {
    const { mail } = await mailOf(noticeOf(kind))
    for (const part of [squeezed(mail.text ?? ''), seen(mail.html || '')]) {
      for (const must of [...musts(kind, lineFor[kind]), number, safetyWords, 'Ana Ferro', '2 March 2026'])
        expect(part).toContain(must)
    }
  })

  test('says nothing in the one part that it does not say in the other', async () => {
    const { mail } = await mailOf(
      noticeOf(kind, {
        to: { ...ana, role: 'foreman', tellInPerson: [{ name: 'Cy Dahl', phone: '555 0100' }] },
        lines: [lineFor[kind], { ...lineFor[kind], stickId: 'S-2', bringTo: 'South yard', crewName: 'Crew two' }],
      }),
    )
    const words = (text: string) => new Set(text.match(/[\p{L}\p{N}]+/gu) ?? [])
    const shown = seen(mail.html || '')
    const links = [...(mail.html || '').matchAll(/href="([^"]*)"/g)].map((found) => found[1] ?? '').join(' ')
    expect(words(mail.text ?? '')).toEqual(words(`${shown} ${links}`))
    expect(shown).toContain('Cy Dahl, 555 0100')
  })

  test('links to the pages only, and to nothing else', async () => {
    const { mail } = await mailOf(noticeOf(kind))
    const html = mail.html || ''
    const links = [...html.matchAll(/(?:href|src|action|background)\s*=\s*"([^"]*)"/g)].map((found) => found[1])
    expect(links).toContain(`${pagesUrl}/sticks/S-1`)
    expect(links).toContain(`${pagesUrl}/roster`)
    const inText = (mail.text ?? '').match(/\w+:\/\/\S+/g) ?? []
    for (const link of [...links, ...inText]) expect(link).toMatch(/^https:\/\/pages\.example\/q\//)
    expect(html).not.toMatch(/url\(|<script|<img|<link|<form|javascript:/i)
  })

  test('lets no name or reason become markup, whichever field it stands in', async () => {
    const evil = `<b onclick="x('&amp;')">bold</b>`
    const hold = { code: evil, text: evil, clearedBy: evil }
    const lines = [
      { ...lineFor[kind], stickId: evil, crewName: evil, bringTo: evil, why: evil, source: evil },
      { ...lineFor[kind], holds: [hold], status: evil as never },
    ]
    const to = { ...ana, name: evil, tellInPerson: [{ name: evil, phone: evil }] }
    const { mail } = await mailOf(noticeOf(kind, { lines, to, number: evil }))
    const plain = (await mailOf(noticeOf(kind, { lines: [lineFor[kind], lineFor[kind]] }))).mail
    const tags = (html: string) => html.match(/<\/?\w+/g) ?? []
    const allowed = [...tags(plain.html || ''), '<ul', '</ul', '<li', '</li']
    expect(tags(mail.html || '').filter((tag) => !allowed.includes(tag))).toEqual([])
    expect(mail.html || '').not.toContain('onclick="')
    expect(seen(mail.html || '')).toContain(evil)
    expect(mail.text).toContain(evil)
  })
})

describe('word that a stick is back', () => {
  const toDo = (cameBackBy?: WayBack) =>
    messageOf(noticeOf('return', cameBackBy === undefined ? {} : { cameBackBy }), pagesUrl).text

  test('says that it passed in full only where it did', () => {
    expect(toDo('full test')).toContain('This stick passed its test in full and may be used again.')
    for (const way of [undefined, ...waysBack.filter((one) => one !== 'full test')]) {
      expect(toDo(way)).not.toMatch(/passed|test\b.*again/)
      expect(toDo(way)).toContain('may be used again.')
    }
  })

  test('says how it came back where that is known, and claims nothing where it is not', () => {
    expect(new Set(waysBack.map((way) => toDo(way))).size).toBe(waysBack.length)
    expect(toDo()).toContain('What this stick had to wait for is done, and it may be used again.')
    expect(toDo()).toBe(toDo('other'))
  })
})

describe('a stick that must not be used', () => {
  const said = (kind: NoticeKind, over: Partial<StickLine>) =>
    squeezed(messageOf(noticeOf(kind, { lines: [{ ...lineFor[kind], ...over }] }), pagesUrl).text)

  test('is not sent to the bench where it lies there already', () => {
    const text = said('hold', { liesAt: 'bench' })
    expect(text).toContain('Do not use this stick. It is at the bench, and stays there with its tag.')
    expect(text).toContain('Where: at the bench already')
    expect(text).not.toMatch(/bring it to the bench|North yard/)
    expect(said('removal', { liesAt: 'bench' })).not.toContain('hand it in')
  })

  test('is not to be taken from the store, and nobody is told to stop using it', () => {
    const text = said('hold', { liesAt: 'store' })
    expect(text).toContain('It is in store: tag it there, give it to nobody, and bring it to the bench.')
    expect(text).not.toContain('Stop using')
    expect(said('hold', {})).toContain('Stop using this stick now, tag it, and bring it to the bench.')
  })

  test('has the worst of its holds first', () => {
    const holds = ['scratch', 'flashover'].map((defect) => ({
      code: 'defect-reported',
      text: `Reported from use: ${defect}`,
      clearedBy: 'a test',
      detail: { defect },
    }))
    const text = said('hold', { holds })
    expect(text.indexOf('flashover')).toBeLessThan(text.indexOf('scratch'))
  })

  test.each(['on hold', 'awaiting first test', 'removed from service', 'scrapped'] as const)(
    'has no due date beside it: %s',
    (status) => {
      expect(said('not delivered', { status })).not.toContain('Due: ')
    },
  )
})

describe('a digest of looks at idle stock', () => {
  const look: StickLine = {
    ...overdue,
    duty: 'look',
    liesAt: 'store',
    why: 'It was not looked over by 28 February 2026: look it over before it is used.',
    source: 'TM 5-684 / NAVFAC MO-200, 15-18d',
  }
  const soon: StickLine = { ...look, status: 'due soon', dueOn: day('2026-03-20'), daysLeft: 18 }
  const of = (...lines: StickLine[]) => messageOf(noticeOf('digest', { lines }), pagesUrl)

  test.each([
    [[look], '1 stick not looked over in time: do not use'],
    [[look, look], '2 sticks not looked over in time: do not use'],
    [[look, soon], '1 stick not looked over in time: do not use'],
    [[soon], '1 stick to be looked over'],
    [[soon, soon], '2 sticks to be looked over'],
    [[overdue, look, soon], '1 stick overdue: do not use; to be looked over: 2'],
  ])('has a subject that sends none of them to the bench', (lines, subject) => {
    expect(of(...lines).subject).toBe(`${subject} [${number}]`)
  })

  test('says to look them over where they lie, and of no test that it ran out', () => {
    const text = squeezed(of(look, soon).text)
    expect(text).toContain('Look these sticks over where they lie, by the date beside each, and record the look.')
    expect(text).toContain('look it over before it is used')
    expect(text).not.toMatch(/bench|test|North yard/i)
  })

  test('among sticks due for the bench says which are which', () => {
    const text = squeezed(of(overdue, look).text)
    expect(text).toContain('Overdue: do not use it, and bring it to the bench now')
    expect(text).toContain('Those that are only to be looked over are looked over where they lie')
    expect(text.match(/North yard/g)).toHaveLength(1)
  })
})

describe('a long digest', () => {
  const clip = 100 * 1024
  const many = (n: number, over: Partial<StickLine> = {}): StickLine[] =>
    Array.from({ length: n }, (_, i) => ({ ...overdue, stickId: `S-${String(i + 1).padStart(4, '0')}`, ...over }))

  async function partsOf(lines: StickLine[]) {
    const { mail } = await mailOf(noticeOf('digest', { lines }))
    return { subject: mail.subject, parts: [mail.text ?? '', mail.html || ''], html: mail.html || '' }
  }

  test('of 900 sticks stays under what mail clients clip, counts them all, and leads to the rest', async () => {
    const { subject, parts, html } = await partsOf(many(900))
    expect(subject).toMatch(/^900 sticks overdue/)
    for (const part of parts) {
      expect(Buffer.byteLength(part)).toBeLessThan(clip)
      const named = new Set(part.match(/Stick (?:<[^>]*>)?S-\d{4}/g)).size
      expect(named).toBeGreaterThanOrEqual(50)
      expect(part).toContain(`and ${900 - named} more`)
      expect(part).toContain(number)
      expect(seen(part)).toContain(safetyWords)
    }
    expect(html).toContain(`href="${pagesUrl}/roster"`)
  })

  test('stays under it with names as long as the registers take, in any script', async () => {
    const long = { crewName: '電'.repeat(120), bringTo: '&'.repeat(120), stickId: 'S'.repeat(64) }
    const { parts } = await partsOf(many(300, long))
    for (const part of parts) {
      expect(Buffer.byteLength(part)).toBeLessThan(clip)
      expect(part).toMatch(/and \d+ more/)
    }
  })

  // as long as the registers take, of signs that cost most in HTML, in UTF-8 or in both
  const longNames = fc.constantFrom('&', '"', '電', '👷', 'é', 'a').map((sign) => sign.repeat(120 / sign.length))
  // one hold a code, with a citation as long as a procedure takes; only reports from use come in any number
  const longHold = { code: 'failed-test', text: '&'.repeat(900), clearedBy: '&'.repeat(300) }
  const report = { code: 'defect-reported', text: 'Reported from use: tingle', clearedBy: 'a test'.repeat(30) }
  const anyLine: fc.Arbitrary<StickLine> = fc.record({
    stickId: fc.constantFrom('S'.repeat(64), 'S-1'),
    crewId: fc.constant('CR-1'),
    crewName: longNames,
    status: fc.constantFrom('overdue', 'due soon', 'on hold'),
    dueOn: fc.constant(day('2026-09-30')),
    daysLeft: fc.integer({ min: -400, max: 400 }),
    bringTo: longNames,
    why: fc.constant('Its test ran out on 30 September 2026.'),
    source: longNames,
    holds: fc.nat(40).map((reports) => [longHold, ...Array(reports).fill(report)].slice(reports % 2)),
  })
  const anybody = fc.record({
    name: longNames,
    email: fc.constant('ana@crew-one.example'),
    role: fc.constant('foreman' as const),
    language: fc.constantFrom(...languages),
    units: fc.constantFrom(...unitSystems),
    tellInPerson: fc
      .tuple(longNames, fc.nat(120))
      .map(([name, people]) => Array(people).fill({ name, phone: '&'.repeat(40) })),
  })

  test('of 500 sticks, whatever they and their people are called, is under it in either language, and leads on', () => {
    fc.assert(
      fc.property(fc.array(anyLine, { minLength: 1, maxLength: 20 }), anybody, (some, to) => {
        const lines = Array.from({ length: 500 }, (_, i) => some[i % some.length] as StickLine)
        const { subject, text, html } = messageOf(noticeOf('digest', { lines, to }), pagesUrl)
        for (const part of [text, html]) {
          expect(Buffer.byteLength(part)).toBeLessThan(clip)
          const [, more = 0] = / (?:and|y) (\d+) (?:more on the roster|más en la lista)/.exec(` ${seen(part)}`) ?? []
          expect(part.match(/pages\.example\/q\/sticks\//g)).toHaveLength(500 - Number(more))
          expect(part).toContain(number)
          expect(seen(part)).toContain(to.language === 'es' ? 'nunca sustituye' : safetyWords)
        }
        expect(text.includes(`roster`) && html.includes(`href="${pagesUrl}/roster"`)).toBe(true)
        expect(subject).toContain('5')
      }),
      { numRuns: 30 },
    )
  })

  test.each(languages)('with more holds or people than a mail should name counts the others, in %s', (language) => {
    const holds = Array.from({ length: 30 }, () => ({ code: 'defect-reported', text: 'Reported', clearedBy: 'a test' }))
    const tellInPerson = Array.from({ length: 100 }, (_, i) => ({ name: `Cy ${i}`, phone: '555' }))
    const notice = noticeOf('hold', { lines: [{ ...held, holds }], to: { ...ana, language, tellInPerson } })
    const { text, html } = messageOf(notice, pagesUrl)
    for (const part of [text, html]) {
      expect(part).toContain(language === 'es' ? '18 motivos más' : '18 more reasons')
      expect(part).toContain(language === 'es' ? '40 personas más' : '40 more people')
      expect(part.match(/Cy \d+, 555/g)).toHaveLength(60)
    }
  })

  test('that fits names every stick and speaks of no others', async () => {
    const { parts } = await partsOf(many(50))
    for (const part of parts) {
      for (const { stickId } of many(50)) expect(part).toContain(stickId)
      expect(part).not.toMatch(/and -?\d+ more/)
    }
  })

  test.each([
    [1, 0, '1 stick overdue: do not use'],
    [0, 1, '1 stick due for the bench'],
    [2, 0, '2 sticks overdue: do not use'],
    [0, 3, '3 sticks due for the bench'],
    [2, 3, '2 sticks overdue: do not use; 3 due for the bench'],
  ])('of %i overdue and %i due says so in its subject', (late, soon, subject) => {
    const lines = [...many(late), ...many(soon, { status: 'due soon', daysLeft: 7 })]
    expect(messageOf(noticeOf('digest', { lines }), pagesUrl).subject).toBe(`${subject} [${number}]`)
  })

  test.each([
    [-2, '2 days ago'],
    [-1, '1 day ago'],
    [0, 'today'],
    [1, 'in 1 day'],
    [60, 'in 60 days'],
  ])('says of %i days left: %s', (daysLeft, words) => {
    const { text, html } = messageOf(noticeOf('digest', { lines: [{ ...overdue, daysLeft }] }), pagesUrl)
    for (const part of [text, seen(html)]) expect(part).toContain(`28 February 2026, ${words}`)
  })
})

describe('a loan that is not back', () => {
  const loan = { lentTo: 'Fennick Isles Electric', returnBy: day('2026-03-01'), daysLate: 1 }
  const lentOnly: StickLine = { ...back, stickId: 'L-1', loan, onlyLoan: true }
  const digestOf = (...lines: StickLine[]) => messageOf(noticeOf('digest', { lines }), pagesUrl)

  test('alone in a digest it asks for nothing to be brought to the bench', () => {
    const { subject, text, html } = digestOf(lentOnly)
    expect(subject).toBe(`1 stick lent out is not back [${number}]`)
    for (const part of [text, seen(html)]) {
      expect(part).toContain('to Fennick Isles Electric, to be back by 1 March 2026, 1 day ago')
      expect(part).toContain('not back by the day agreed')
      expect(part).not.toMatch(/by the date beside|overdue/)
    }
  })

  test.each([
    ['others are due', [overdue], '1 stick overdue: do not use; lent out and not back: 1'],
    ['it is due as well', [], '1 stick due for the bench; lent out and not back: 1'],
  ] as const)('where %s the subject says both', (_, others, subject) => {
    const { onlyLoan: __, ...both } = lentOnly
    const line = others.length === 0 ? { ...both, status: 'due soon' as const, daysLeft: 7 } : lentOnly
    const mail = digestOf(...others, line)
    expect(mail.subject).toBe(`${subject} [${number}]`)
    expect(mail.text).toContain('by the date beside ')
  })

  test('of a stick that must not be used it says so, with the hold and without a date', () => {
    const { text } = digestOf({ ...held, loan: { ...loan, daysLate: 8 }, onlyLoan: true })
    expect(text).toContain(`Stick ${held.stickId}: on hold.`)
    expect(text).toContain('Why: Reported from use: tingle.')
    expect(text).toContain('to be back by 1 March 2026, 8 days ago')
    expect(text).toContain('Reported from use: tingle')
    expect(text).not.toContain('Due:')
  })

  test('many at once are counted', () => {
    expect(digestOf(lentOnly, { ...lentOnly, stickId: 'L-2' }).subject).toBe(
      `2 sticks lent out are not back [${number}]`,
    )
  })

  test('an overdue stick is called so though only its loan is told of that day', () => {
    const { subject, text } = digestOf({ ...overdue, loan, onlyLoan: true })
    expect(subject).toBe(`1 stick overdue: do not use; lent out and not back: 1 [${number}]`)
    expect(text).toContain('Do not use this stick: its test has run out.')
  })
})

describe('a label that shows too late a date', () => {
  const labelOnly: StickLine = { ...back, stickId: 'L-1', wrongLabel: day('2028-09-01'), onlyLabel: true }
  const digestOf = (...lines: StickLine[]) => messageOf(noticeOf('digest', { lines }), pagesUrl)
  const sentence = 'Label: Shows 1 September 2028, later than the stick is due: take it off or change it.'

  test('alone in a digest asks for nothing but the label', () => {
    const { subject, text, html } = digestOf(labelOnly)
    expect(subject).toBe(`Wrong labels to take off or change: 1 [${number}]`)
    for (const part of [text, seen(html)]) {
      expect(part).toContain(sentence)
      expect(part).toContain('go by the date here')
      expect(part).not.toMatch(/by the date beside|overdue/)
    }
    expect(digestOf(labelOnly, { ...labelOnly, stickId: 'L-2' }).subject).toContain(
      'Wrong labels to take off or change: 2',
    )
  })

  test('beside others is counted, with what they are told for', () => {
    const { onlyLabel: _, ...due } = labelOnly
    const loan = { lentTo: 'Fennick', returnBy: day('2026-03-01'), daysLate: 1 }
    const of = (...lines: StickLine[]) => digestOf(...lines).subject.replace(` [${number}]`, '')
    expect(of(overdue, labelOnly)).toBe('1 stick overdue: do not use; wrong labels: 1')
    expect(of({ ...due, status: 'due soon' })).toBe('1 stick due for the bench; wrong labels: 1')
    expect(of({ ...due, loan, onlyLoan: true })).toBe('1 stick lent out is not back; wrong labels: 1')
    expect(of({ ...labelOnly, status: 'overdue' })).toBe('1 stick overdue: do not use; wrong labels: 1')
  })

  test('stands in place of the date brought forward, since it is known what the label shows', () => {
    const line = { ...labelOnly, broughtForwardFrom: day('2028-09-01') }
    const { text } = messageOf(noticeOf('date brought forward', { lines: [line] }), pagesUrl)
    expect(text).toContain(sentence.slice('Label: '.length, -1))
    expect(text).not.toContain('Brought forward from')
  })

  test('on what must not be used is to be taken off, whatever it shows', () => {
    const { text } = messageOf(noticeOf('hold', { lines: [{ ...held, wrongLabel: day('2028-03-02') }] }), pagesUrl)
    expect(text).toContain('Label: Still shows 2 March 2028: take it off')
    const loan = { lentTo: 'Fennick', returnBy: day('2026-03-01'), daysLate: 1 }
    expect(digestOf({ ...held, wrongLabel: day('2028-03-02'), loan, onlyLoan: true }).subject).toBe(
      `1 stick lent out is not back [${number}]`,
    )
  })
})

test.each(['removed from service', 'scrapped'] as const)('of a stick %s no mail says what would clear it', (status) => {
  const line = { ...held, status, why: 'Failed again after it was cleaned.' }
  const { text, html } = messageOf(noticeOf('removal', { lines: [line] }), pagesUrl)
  for (const part of [text, html]) {
    expect(part).toContain(line.why)
    expect(part).not.toMatch(/Must be done first|Reported from use/)
  }
})

describe('a notice that did not reach its reader', () => {
  const everyPart = async (notice: Notice) => {
    const { mail } = await mailOf(notice)
    return [squeezed(mail.text ?? ''), seen(mail.html || '')]
  }

  test.each(undeliveredWhys)('is told to a manager with who, which address and why: %s', async (why) => {
    const missed = { name: 'Bo Lind', email: 'bo@crew-one.example', why }
    const told = await everyPart(noticeOf('not delivered', { missed }))
    for (const part of told) expect(part).toMatch(/Bo Lind, bo@crew-one\.example: \w.{20,}\./)
    const es = await everyPart(noticeOf('not delivered', { missed, to: { ...ana, language: 'es' } }))
    for (const part of es) expect(part).toMatch(/Bo Lind, bo@crew-one\.example: (el|no|este) .{20,}\./)
  })

  test('says whom it was meant for where it is passed on, and otherwise nothing of it', async () => {
    for (const part of await everyPart(noticeOf('hold', { passedOnFor: ['Ana Ferro', 'Bo Lind'] })))
      expect(part).toContain('could not be delivered to Ana Ferro, Bo Lind, so it is passed on to you')
    for (const part of await everyPart(noticeOf('hold'))) expect(part).not.toContain('passed on')
  })

  test('that is a safety notice says that nobody can opt out of it', async () => {
    const asked = { answer: { about: 'hold|S-1', withinHours: 4 }, answerKey: 'k' }
    for (const part of await everyPart(noticeOf('hold', asked))) expect(part).toContain('nobody can opt out of them')
  })
})

test('a foreman is asked to tell those who have no mail, others are not', async () => {
  const told = noticeOf('hold', { to: { ...ana, tellInPerson: [{ name: 'Cy Dahl', phone: '555 0100' }] } })
  for (const part of [(await mailOf(told)).mail.text, (await mailOf(told)).mail.html || '']) {
    expect(part).toContain('Tell them now, by telephone or in person')
    expect(part).toContain('Cy Dahl, 555 0100')
  }
  expect((await mailOf(noticeOf('hold'))).mail.text).not.toContain('in person')
})

describe('the layout', () => {
  const { html } = messageOf(noticeOf('hold', { lines: [{ ...held, holds: held.holds }] }), pagesUrl)

  test('is of tables and inline styles that a word processor can print: no box, grid, script or picture', () => {
    expect(html).not.toMatch(/display:\s*(flex|grid)|position:|float:|<div|<img|<script|background/i)
    expect(html.match(/<table/g)?.length).toBeGreaterThanOrEqual(2)
    for (const table of html.match(/<table[^>]*>/g) ?? []) expect(table).toContain('role="presentation"')
    expect(html).toContain(
      '<!--[if mso]><table role="presentation" cellpadding="0" cellspacing="0" border="0" width="640">',
    )
    expect(html).toContain('<html lang="en">')
  })

  test('tells nothing by colour alone: without styles and tags every status and its command still stand', () => {
    const bare = seen(html.replace(/style="[^"]*"|<style>.*?<\/style>/gs, ''))
    expect(bare).toContain('Status on hold')
    expect(bare).toContain('Stop using this stick now')
  })

  test('has enough contrast on white and, in the dark, on black (WCAG 2.2, 1.4.3: at least 4.5 to 1)', () => {
    const [styles = '', dark = ''] = [
      html.replace(/<style>.*<\/style>/s, '').replace(/<a class="button".*?<\/a>/s, ''),
      /<style>(.*)<\/style>/s.exec(html)?.[1] ?? '',
    ]
    const colours = (css: string) => [...css.matchAll(/color:#([0-9a-f]{6})/g)].map((found) => found[1] ?? '')
    expect(colours(styles).length).toBeGreaterThan(2)
    for (const colour of colours(styles)) expect(1.05 / (luminance(colour) + 0.05)).toBeGreaterThanOrEqual(4.5)
    expect(colours(dark).length).toBeGreaterThan(2)
    for (const colour of colours(dark)) expect((luminance(colour) + 0.05) / 0.05).toBeGreaterThanOrEqual(4.5)
  })

  test('asks for the confirmation by one button on a ground of its own; the text has the plain link below', () => {
    const { html: page, text } = messageOf(
      { ...noticeOf('hold'), answer: { about: 'hold|S-1', withinHours: 4 }, answerKey: 'k' },
      pagesUrl,
    )
    const link = '<a class="button" href="([^"]*)"[^>]*[;"]color:#([0-9a-f]{6})[^>]*>([^<]*)</a>'
    const [all = '', ground = '', href = '', ink = '', words = ''] =
      new RegExp(`bgcolor="#([0-9a-f]{6})"[^>]*>\\s*${link}`).exec(page) ?? []
    expect(page.split('class="button"')).toHaveLength(2)
    expect(all).toMatch(/padding:14px/)
    expect((luminance(ink) + 0.05) / (luminance(ground) + 0.05)).toBeGreaterThanOrEqual(4.5)
    expect(page).toContain('a.button{color:#ffffff!important}')
    expect(text).toContain(`${words}:\n${href}\n`)
  })
})

/** Relative luminance of sRGB (WCAG 2.2). */
function luminance(hex: string): number {
  const [red = 0, green = 0, blue = 0] = [0, 2, 4].map((at) => {
    const share = Number.parseInt(hex.slice(at, at + 2), 16) / 255
    return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4
  })
  return 0.2126 * red + 0.7152 * green + 0.0722 * blue
}
