/** The mail service takes what SES takes and refuses what SES refuses. */
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { type FixtureStack, startFixtureStack } from './fixture-stack.ts'

let stack: FixtureStack
beforeAll(async () => {
  stack = await startFixtureStack()
})
afterAll(() => stack?.stop())

/** The number of mails that were taken; an alarm may ring meanwhile, and mails the operators. */
const taken = async () => (await stack.mail()).filter(({ to }) => !to.startsWith('operators@')).length

const head = {
  From: 'Quarterturn <notices@quarterturn.example>',
  To: 'ana@crew-one.example',
  Subject: 'A stick is due',
  'Message-ID': '<ours@quarterturn.example>',
  'MIME-Version': '1.0',
  'Content-Type': 'text/plain; charset=utf-8',
}

const message = (change: Record<string, string> = {}, body = 'S-1 is due on 2028-03-02.') =>
  `${Object.entries({ ...head, ...change })
    .map(([name, value]) => `${name}: ${value}`)
    .join('\r\n')}\r\n\r\n${body}\r\n`

const set = () => stack.parts.deployed.all('AWS::SES::ConfigurationSet')[0]?.name ?? ''

async function send(raw: string, more: object = {}): Promise<{ MessageId?: string; name?: string; message?: string }> {
  return (await stack.invoke('DeliverNoticesDoorFunction', { kind: 'unsent', send: { raw, ...more } })) as object
}

describe('a good message', () => {
  test('is kept as its recipient would read it, with an id of the service’s own', async () => {
    const { MessageId } = await send(message({ 'X-Notice': 'ABCD-1234' }), {
      ConfigurationSetName: set(),
      Tags: [{ Name: 'notice', Value: 'ABCD-1234' }],
    })
    expect(MessageId).toMatch(/^[0-9a-f-]+$/)
    const [mail] = await stack.mail('ANA@Crew-One.example')
    expect(mail).toMatchObject({
      to: 'ana@crew-one.example',
      subject: 'A stick is due',
      text: 'S-1 is due on 2028-03-02.\n',
      headers: { 'message-id': `<${MessageId}@email.amazonses.com>`, 'x-notice': 'ABCD-1234' },
      attachments: [],
    })
  })

  test('names and words beyond ASCII, attachments and HTML come through', async () => {
    const parts = [
      'Content-Type: text/plain; charset=utf-8\r\n\r\nText ü\r\n',
      'Content-Type: text/html; charset=utf-8\r\n\r\n<p>HTML ü</p>\r\n',
      'Content-Type: text/calendar; name="due.ics"\r\nContent-Disposition: attachment; ' +
        'filename="due.ics"\r\n\r\nBEGIN:VCALENDAR\r\n',
    ]
    const body = `${parts.map((part) => `--b\r\n${part}`).join('')}--b--`
    const raw = message({ 'Content-Type': 'multipart/mixed; boundary="b"', Subject: '=?utf-8?Q?f=C3=A4llig?=' }, body)
    expect(await send(Buffer.from(raw).toString('latin1'))).toHaveProperty('MessageId')
    const [mail] = await stack.mail('ana@crew-one.example')
    expect(mail).toMatchObject({
      subject: 'fällig',
      text: expect.stringContaining('Text ü'),
      html: expect.stringContaining('HTML ü'),
    })
    expect(mail?.attachments).toMatchObject([{ filename: 'due.ics', contentType: 'text/calendar' }])
  })

  test('goes to those named in the call, whatever the head says, and blind copies stay blind', async () => {
    await send(message({ Bcc: 'eve@crew-two.example' }), { Destinations: ['bo@crew-one.example'] })
    expect(await stack.mail('eve@crew-two.example')).toEqual([])
    expect((await stack.mail('bo@crew-one.example'))[0]?.headers).not.toHaveProperty('bcc')
  })

  test('newest comes first', async () => {
    await send(message({ Subject: 'first' }))
    await send(message({ Subject: 'second' }))
    expect((await stack.mail('ana@crew-one.example')).slice(0, 2).map(({ subject }) => subject)).toEqual([
      'second',
      'first',
    ])
    expect((await stack.mail()).length).toBeGreaterThan(2)
  })
})

describe('the local mailbox', () => {
  const page = async (path = '/') => {
    const answer = await fetch(stack.mailbox + path)
    return { status: answer.status, headers: answer.headers, text: await answer.text() }
  }

  test('says that it stands in for the mail service, and tells the time by the local clock', async () => {
    await stack.clock('2031-05-06T07:08:00Z')
    await send(message({ Subject: 'by <the> clock', To: 'cy@crew-one.example' }))
    const { text, headers } = await page()
    expect(headers.get('content-type')).toContain('text/html')
    expect(text).toContain('stands in for the mail service')
    expect(text).toContain('no part of the product')
    expect(text).toMatch(/2031-05-06 07:08 UTC[\s\S]*cy@crew-one.example[\s\S]*by &lt;the&gt; clock/)
    expect((await stack.mail('cy@crew-one.example'))[0]?.at).toMatch(/^2031-05-06T07:08:/)
  })

  test('shows a mail as its reader sees it, and runs nothing of it', async () => {
    const html = '<html><head></head><body><p>Do not use S-1</p><script>1</script></body></html>'
    const parts = [
      'Content-Type: text/plain\r\n\r\nDo not use S-1\r\n',
      `Content-Type: text/html\r\n\r\n${html}\r\n`,
      'Content-Type: text/calendar; name="due.ics"\r\nContent-Disposition: attachment; ' +
        'filename="due.ics"\r\n\r\nBEGIN:VCALENDAR\r\n',
    ]
    const body = `${parts.map((part) => `--b\r\n${part}`).join('')}--b--`
    const to = 'di@crew-one.example'
    await send(message({ 'Content-Type': 'multipart/mixed; boundary="b"', To: to }, body))
    const [, path = ''] = /href="(\/mails\/\d+)"/.exec((await page(`/?to=${to}`)).text) ?? []
    expect((await page(path)).text).toContain(`<iframe src="${path}/body"`)
    const seen = await page(`${path}/body`)
    expect(seen.text).toContain('<base target="_blank">')
    expect(seen.headers.get('content-security-policy')).toMatch(/^sandbox allow-popups [^;]*; default-src 'none'/)
    const calendar = await page(`${path}/attachments/0`)
    expect(calendar.text).toContain('BEGIN:VCALENDAR')
    expect(calendar.headers.get('content-disposition')).toBe('attachment; filename="due.ics"')
  })

  test('shows the mails of one reader, and a hundred at a time', async () => {
    await send(message({ To: 'ed@crew-one.example', Subject: 'to Ed alone' }))
    const { text } = await page('/?to=Ed@Crew-One.example')
    expect(text.match(/<tr><td>/g)).toHaveLength(1)
    for (let i = 0; i < 101; i++) await send(message({ To: 'flo@crew-one.example', Subject: `the ${i}th` }))
    const first = await page('/?to=flo@crew-one.example')
    expect(first.text.match(/<tr><td>/g)).toHaveLength(100)
    const [, older = ''] = /<a href="([^"]+)">Older mails/.exec(first.text) ?? []
    const rest = await page(older.replaceAll('&amp;', '&'))
    expect(rest.text).toContain('the 0th')
    expect(rest.text.match(/<tr><td>/g)).toHaveLength(1)
  })

  test.each(['/mails/0', '/mails/99999', '/mails/1/attachments/7', '/store'])('%s is not there', async (path) => {
    expect((await page(path)).status).toBe(404)
  })
})

describe('refused', () => {
  const many = (count: number) => Array.from({ length: count }, (_, i) => `crew-${i}@crew-one.example`)

  test.each([
    // egulias/EmailValidator#414
    [
      'an address with letters beyond ASCII before the @',
      message(),
      { Destinations: ['jürgen@crew-one.example'] },
      'InvalidParameterValue',
    ],
    ['an address without a domain', message(), { Destinations: ['ana'] }, 'InvalidParameterValue'],
    [
      'an address with two dots in a row',
      message(),
      { Destinations: ['a..b@crew-one.example'] },
      'InvalidParameterValue',
    ],
    ['an address with a space', message(), { Destinations: ['ana maria@crew-one.example'] }, 'InvalidParameterValue'],
    ['a domain that cannot be one', message(), { Destinations: ['ana@crew_one'] }, 'InvalidParameterValue'],
    ['51 recipients', message(), { Destinations: many(51) }, 'InvalidParameterValue'],
    [
      'a sender of another domain, which the role does not allow',
      message({ From: 'notices@elsewhere.example' }),
      {},
      'AccessDenied',
    ],
    [
      'a sender that is verified behind a From that is not',
      message({ From: 'notices@elsewhere.example' }),
      { Source: 'notices@quarterturn.example' },
      'MessageRejected',
    ],
    ['a configuration set that does not exist', message(), { ConfigurationSetName: 'none' }, 'AccessDenied'],
    // rdunlop/unicycling-registration#749
    [
      'a line break in the subject that makes a header',
      message({ Subject: 'due\r\nSubject: other' }),
      {},
      'InvalidParameterValue',
    ],
    [
      'a line break in the subject that makes a line of no header',
      message({ Subject: 'due\r\nsoon' }),
      {},
      'InvalidParameterValue',
    ],
    [
      'a bare line feed in the head',
      message({ Subject: 'due\nBcc: eve@crew-two.example' }),
      {},
      'InvalidParameterValue',
    ],
    ['a head with letters beyond ASCII', message({ Subject: 'f\u00e4llig' }), {}, 'InvalidParameterValue'],
    ['a tag with a space', message(), { Tags: [{ Name: 'notice', Value: 'a b' }] }, 'InvalidParameterValue'],
  ])('%s', async (_, raw, more, code) => {
    const before = await taken()
    expect(await send(raw, more)).toMatchObject({ name: code, message: expect.stringMatching(/.{10}/) })
    expect(await taken()).toBe(before)
  })

  test('50 recipients are taken', async () => {
    expect(await send(message(), { Destinations: many(50) })).toHaveProperty('MessageId')
  })

  test('a message of more than 10 MB, and not one of less', async () => {
    expect(await send(message(), { pad: 10 * 1024 * 1024 })).toMatchObject({
      name: 'InvalidParameterValue',
      message: expect.stringContaining('more than 10485760 bytes'),
    })
    expect(await send(message(), { pad: 9 * 1024 * 1024 })).toHaveProperty('MessageId')
  })
})
