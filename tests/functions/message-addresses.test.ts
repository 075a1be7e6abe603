/** What SES is handed, read back by a MIME parser of another house: who it is for, and every name in it. */
import { SESClient, SendRawEmailCommand } from '@aws-sdk/client-ses'
import { mockClient } from 'aws-sdk-client-mock'
import { type AddressObject, simpleParser } from 'mailparser'
import { describe, expect, test } from 'vitest'
import { sesMailer } from '../../functions/deliver-notices/mail.ts'
import type { Notice } from '../../functions/store/notices.ts'
import type { Instant } from '../../shared-domain/calendar.ts'
import { mailAddress } from '../../shared-domain/mail-address.ts'
import { recipient } from '../../shared-domain/registers.ts'
import { languages } from '../../shared-domain/words.ts'
import { messageOf } from '../support/mails.ts'
import { day } from '../support/trade.ts'

const pagesUrl = 'https://pages.example/q'

function noticeTo(to: Partial<Notice['to']>, crewName = 'Crew one'): Notice {
  return {
    kind: 'hold',
    key: 'hold|S-1',
    number: '2A3B-4C5D-6E7F',
    organisation: 'demo-utility',
    to: { name: 'Ana Ferro', email: 'ana@crew-one.example', role: 'crew', tellInPerson: [], ...to },
    day: day('2026-03-02'),
    owedAt: '2026-03-02T12:00:00.000Z' as Instant,
    state: 'owed',
    lines: [
      {
        stickId: 'S-1',
        crewId: 'CR-1',
        crewName,
        status: 'on hold',
        dueOn: null,
        daysLeft: null,
        bringTo: 'North yard',
        why: { is: 'why held' },
        source: null,
        holds: [{ code: 'defect-reported', detail: { defect: 'tingle' } }],
      },
    ],
  }
}

async function sent(notice: Notice) {
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
  const input = ses.commandCalls(SendRawEmailCommand)[0]?.args[0].input
  const raw = Buffer.from(input?.RawMessage?.Data ?? '')
  return { input, raw: raw.toString('latin1'), mail: await simpleParser(raw) }
}

function addressees(to: AddressObject | AddressObject[] | undefined) {
  return [to].flat().flatMap((one) => one?.value ?? [])
}

/** The header as sent, unfolded; several of one name are several. */
function headersNamed(raw: string, name: string): string[] {
  const head = raw.slice(0, raw.indexOf('\r\n\r\n')).replace(/\r\n[ \t]+/g, ' ')
  return head.split('\r\n').filter((one) => one.toLowerCase().startsWith(`${name.toLowerCase()}:`))
}

/** As the parser gives text back: with line feeds alone, and none or one at the end. */
const body = (text: string | false | undefined) => (text || '').replaceAll('\r\n', '\n').trimEnd()

const hostileNames = [
  // any script, and from right to left
  'علي بن أبي طالب',
  'שרה לוי',
  'فرهاد بارزانی 7',
  '山田 太郎（架線班）',
  '김서연',
  'Юлия Соколова',
  'Νίκη Δελή',
  'सीमा राव',
  'สมชาย ใจดี',
  'გიორგი',
  'ተስፋዬ',
  'ကိုကို',
  'Đặng Thu Hà',
  'Ærøskøbing Ö. Ünïon №5',
  'Ana עלי Ferro',
  // decomposed letters, joiners, emoji, beyond the basic plane
  'Zoe\u0308 Ma\u0301rta',
  'نی\u200Cما',
  'Ana ⚡ Ferro 👷🏽\u200D♀️',
  '🇳🇴 Nils 1️⃣',
  '𝔄𝔫𝔞 𠮷野',
  // what means something in a header
  'Ferro, Ana',
  'Ferro; Ana: Lind,',
  'Ana "the hook" Ferro',
  '"Ana"',
  'Ana \\ Ferro\\',
  'Ana (foreman (nights)',
  "O'Ferro, Ana's crew",
  'Ana <foreman@elsewhere.example>',
  'foreman@elsewhere.example',
  '<ana@crew-two.example>, Bo',
  'undisclosed-recipients:;Ana',
  'Ana @ Crew [two]',
  'To: bo@crew-two.example',
  'Ana % 100 $(id) `id` {{name}} {name}',
  'Ana\u00A0Ferro\u3000Ltd',
  // what looks like an encoded word
  '=?utf-8?B?YQ==?= Ferro',
  '=?utf-8?Q?=22Bo=22_=3Cbo=40crew-two.example=3E?=',
  'Ana =?iso-8859-1?Q?=0D=0ABcc:_bo=40crew-two.example?=',
  'Ana =? Ferro ?=',
  '=?=?=?1',
  // markup
  '<b onclick="x()">Ana</b>',
  '&lt;Ana&gt; &amp; Bo',
  '--></td></table><!--1',
  // as long as the register takes
  `Ferro, ${'Ana-'.repeat(29)}`.slice(0, 120),
  '長い名前、'.repeat(24),
  `${'👷🏽'.repeat(29)}1234`,
  'A'.repeat(120),
  'é'.repeat(120),
  `${'x '.repeat(59)}x`,
]

describe('hostile names', () => {
  test('are at least forty, all different, and all of them the register takes', () => {
    expect(new Set(hostileNames).size).toBe(hostileNames.length)
    expect(hostileNames.length).toBeGreaterThanOrEqual(40)
    for (const name of hostileNames) {
      const entered = recipient.safeParse({ name, email: 'ana@crew-one.example', role: 'crew' })
      expect(entered.data?.name, name).toBe(name)
    }
  })

  for (const language of languages) {
    test.each(hostileNames)(`come back from the mail as they were meant, in ${language}: %s`, async (name) => {
      const notice = noticeTo({ name, language, tellInPerson: [{ name, phone: '555 0100' }] }, name)
      const { input, raw, mail } = await sent(notice)
      const meant = messageOf(notice, pagesUrl)
      expect(addressees(mail.to)).toEqual([{ name, address: 'ana@crew-one.example' }])
      expect(input?.Destinations).toEqual(['ana@crew-one.example'])
      expect(mail.subject).toBe(meant.subject)
      expect(body(mail.text)).toBe(body(meant.text))
      expect(body(mail.html)).toBe(body(meant.html))
      expect(meant.text).toContain(name)
      for (const header of ['To', 'From', 'Subject']) expect(headersNamed(raw, header)).toHaveLength(1)
      for (const header of ['Cc', 'Bcc']) expect(headersNamed(raw, header)).toEqual([])
      // whoever answers “got it” is read by somebody
      expect(headersNamed(raw, 'Reply-To')).toEqual(['Reply-To: bench@quarterturn.example'])
      for (const row of raw.split('\r\n')) expect(row.length).toBeLessThanOrEqual(998)
      expect(raw.slice(0, raw.indexOf('\r\n\r\n'))).toMatch(/^[\x20-\x7e\r\n\t]*$/)
    })
  }

  test.each([
    'Ana\r\nBcc: bo@crew-two.example',
    'Ana\nSubject: all clear',
    'Ana\rFerro',
    'Ana\u0000Ferro',
    'Ana\u2028Ferro',
    'Ana\u2029Ferro',
    'Ana\u0085Ferro',
    'Ana\u000BFerro',
    'Ana \u202Eorref',
    'Ana \u2066Ferro\u2069',
    'Ana\u200BFerro',
    '\uFEFFAna',
    '',
    '   ',
    '"<>"',
    'A'.repeat(121),
  ])('with a line break, hidden, empty or too long are refused when entered: %j', (name) => {
    expect(recipient.safeParse({ name, email: 'ana@crew-one.example', role: 'crew' }).success).toBe(false)
  })

  test.each(['Ana\r\nBcc: bo@crew-two.example', 'Ana\nSubject: all clear', 'Ana\u2028\u0000Ferro'])(
    'that got in all the same become no header: %j',
    async (name) => {
      const { raw, mail } = await sent(noticeTo({ name }, name))
      for (const header of ['To', 'Subject', 'From']) expect(headersNamed(raw, header)).toHaveLength(1)
      expect(headersNamed(raw, 'Bcc')).toEqual([])
      expect(mail.subject).toMatch(/^Stick S-1 is on hold/)
      expect(addressees(mail.to)).toMatchObject([{ address: 'ana@crew-one.example' }])
    },
  )
})

describe('a phone number behind a name written from right to left', () => {
  test.each([
    ['فرهاد بارزانی', '\u200E'],
    ['שרה לוי', '\u200E'],
    ['Cy Dahl', ''],
    ['山田', ''],
  ])('%s: is kept in order', (name, mark) => {
    const { text, html } = messageOf(noticeTo({ tellInPerson: [{ name, phone: '+1 555 0104' }] }), pagesUrl)
    for (const part of [text, html]) expect(part).toContain(`${name}${mark}, +1 555 0104`)
  })
})

const label63 = 'b'.repeat(63)

const taken: [why: string, address: string][] = [
  ['a dot-string of atoms (RFC 5321 4.1.2)', 'ana.ferro@crew.example'],
  ['every sign an atom may have (RFC 5322 3.2.3)', "!#$%&'*+/=?^_`{|}~-@crew.example"],
  ['a tag (RFC 5233 1)', "o'brien+sticks@crew.example"],
  ['64 octets before the @ (RFC 5321 4.5.3.1.1)', `${'a'.repeat(64)}@crew.example`],
  [
    '254 octets in all (RFC 5321 4.5.3.1.3, less the brackets of a path)',
    `a@${label63}.${label63}.${label63}.${'c'.repeat(52)}.example`,
  ],
  ['a label of 63 octets (RFC 1035 2.3.4)', `a@${label63}.example`],
  ['a label of digits (RFC 1123 2.1)', 'a@3com.example'],
  ['a hyphen inside a label (RFC 1123 2.1)', 'a@crew-one.example'],
  ['a domain in its ASCII form (RFC 5891 5.4)', 'a@xn--bcher-kva.example'],
  ['either case (RFC 5321 2.4)', 'Ana.Ferro@Crew-One.EXAMPLE'],
  ['one letter before the @', 'a@b.example'],
  ['a digit first', '1@b.example'],
]

const refused: [why: string, address: string][] = [
  ['a local part that is not ASCII (RFC 6531 3.3, which SES does not serve)', 'añez@crew.example'],
  ['a local part in another script (RFC 6531 3.3)', '田村@crew.example'],
  ['a domain not in its ASCII form (RFC 5891 5.4)', 'ana@bücher.example'],
  ['a quoted local part (RFC 5321 4.1.2: should be avoided)', '"ana ferro"@crew.example'],
  ['an address literal (RFC 5321 4.1.3)', 'ana@[192.0.2.1]'],
  ['a domain of one label, no use outside a site (RFC 5321 2.3.5)', 'ana@localhost'],
  ['65 octets before the @ (RFC 5321 4.5.3.1.1)', `${'a'.repeat(65)}@crew.example`],
  ['255 octets in all (RFC 5321 4.5.3.1.3)', `a@${label63}.${label63}.${label63}.${'c'.repeat(53)}.example`],
  ['a label of 64 octets (RFC 1035 2.3.4)', `a@${label63}b.example`],
  ['an empty label (RFC 5321 4.1.2)', 'ana@crew..example'],
  ['a domain that begins with a dot (RFC 5321 4.1.2)', 'ana@.example'],
  ['a domain that ends with a dot (RFC 5321 4.1.2)', 'ana@crew.example.'],
  ['a label that begins with a hyphen (RFC 1123 2.1)', 'ana@-crew.example'],
  ['a label that ends with a hyphen (RFC 1123 2.1)', 'ana@crew-.example'],
  ['an underscore in a domain (RFC 1123 2.1)', 'ana@crew_one.example'],
  ['a dot first (RFC 5322 3.2.3)', '.ana@crew.example'],
  ['a dot last (RFC 5322 3.2.3)', 'ana.@crew.example'],
  ['two dots (RFC 5322 3.2.3)', 'ana..ferro@crew.example'],
  ['no local part (RFC 5321 4.1.2)', '@crew.example'],
  ['no domain (RFC 5321 4.1.2)', 'ana@'],
  ['no @ (RFC 5321 4.1.2)', 'ana.crew.example'],
  ['two @ (RFC 5321 4.1.2)', 'ana@ferro@crew.example'],
  ['a list (RFC 5322 3.4)', 'ana@crew.example,bo@crew.example'],
  ['a list with a semicolon', 'ana@crew.example;bo@crew.example'],
  ['a display name (RFC 5322 3.4)', 'Ana <ana@crew.example>'],
  ['brackets (RFC 5322 3.4)', '<ana@crew.example>'],
  ['a comment (RFC 5322 3.2.2)', 'ana(foreman)@crew.example'],
  ['a space', 'ana ferro@crew.example'],
  ['a space in front', ' ana@crew.example'],
  ['a line break and a header (RFC 5322 2.2)', 'ana@crew.example\r\nBcc: bo@crew.example'],
  ['a line feed at the end', 'ana@crew.example\n'],
  ['a nul', 'ana\u0000@crew.example'],
  ['a colon', 'mailto:ana@crew.example'],
  ['a backslash', 'ana\\ferro@crew.example'],
  ['an encoded word (RFC 2047 5)', '=?utf-8?Q?ana=40crew.example?='],
  ['a source route (RFC 5321 C)', '@relay.example:ana@crew.example'],
  ['a percent sign in the domain', 'ana@crew%example.com'],
  ['nothing', ''],
]

describe('addresses', () => {
  test.each(taken)('with %s are taken, and written to as they stand', async (_, email) => {
    expect(mailAddress.safeParse(email).data).toBe(email)
    const { input, raw, mail } = await sent(noticeTo({ email }))
    const [local, domain = ''] = email.split('@')
    expect(input?.Destinations).toEqual([email])
    // the parser reads a domain's ASCII form back into letters, so what was sent is looked at too
    expect(headersNamed(raw, 'To')).toEqual([expect.stringMatching(new RegExp(`<[^@]+@${domain}>$`, 'i'))])
    expect(addressees(mail.to).map(({ address }) => address?.split('@')[0])).toEqual([local])
  })

  test.each(refused)('with %s are refused when they are entered', (_, email) => {
    expect(mailAddress.safeParse(email).success).toBe(false)
    expect(recipient.safeParse({ name: 'Ana', email, role: 'crew', phone: '1' }).success).toBe(false)
  })
})
