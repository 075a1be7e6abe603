/** The mail service: refuses what SES refuses, keeps what it accepts, and shows it as the local mailbox. */
import { randomBytes, randomUUID } from 'node:crypto'
import { createServer } from 'node:http'
import { type ParsedMail, simpleParser } from 'mailparser'
import type { SettableClock } from '../clock.ts'
import { close, listen, loopback } from '../free-port.ts'
import type { Permission } from '../table/permissions.ts'
import type { Deployed } from '../template/template.ts'
import type { Tell } from './feedback.ts'
import { addressFault, type HeadLine, headFault, readHead } from './mail-rules.ts'
import { type KeptMail, mailbox } from './mailbox.ts'

export type SendResult =
  | { readonly messageId: string }
  | { readonly code: string; readonly message: string; readonly status: number }

export interface SendQuota {
  readonly max24HourSend: number
  readonly maxSendRate: number
  readonly sentLast24Hours: number
}

export interface ForeignMail {
  readonly from: string
  readonly to: string
  readonly subject: string
  readonly text: string
}

export interface MailService {
  readonly page: string
  readonly permissionsNeeded: (form: URLSearchParams) => Permission[]
  readonly accept: (form: URLSearchParams) => Promise<SendResult>
  readonly quota: () => SendQuota
  /** a mail of somebody else's, which no rule of our sending binds */
  readonly receive: (mail: ForeignMail) => void
  /** mails to an address, or all, the newest first */
  readonly mailTo: (address?: string) => Promise<KeptMail[]>
  readonly stop: () => Promise<void>
}

interface Letter {
  readonly source: string
  readonly recipients: readonly string[]
  readonly raw: Buffer
  readonly head: readonly HeadLine[]
  readonly configurationSet: string | undefined
  readonly tags: readonly (readonly [name: string, value: string])[]
}

const mostBytes = 10 * 1024 * 1024
const mostRecipients = 50
/** Limits of an account out of the sandbox, and of a quick one: a walk through years of digests sends many mails. */
const maxSendRate = 500
const max24HourSend = 1_000_000

/** The mail service as it runs: what the template deploys of it, and what it accepted so far. */
interface Service {
  readonly region: string
  /** the addresses and domains that may be sent from */
  readonly identities: readonly string[]
  readonly sets: readonly string[]
  readonly clock: SettableClock
  /** hears of each mail that was accepted */
  readonly tell: Tell
  readonly kept: { recipients: readonly string[]; mail: () => Promise<KeptMail> }[]
}

/** `tell` hears of each mail that was accepted. */
export async function mailService(deployed: Deployed, clock: SettableClock, tell: Tell): Promise<MailService> {
  const identities = deployed
    .all('AWS::SES::EmailIdentity')
    .map(({ properties }) => String(properties.EmailIdentity).toLowerCase())
  const sets = deployed.all('AWS::SES::ConfigurationSet').map(({ name }) => name)
  const kept: Service['kept'] = []
  const service: Service = { region: deployed.region, identities, sets, clock, tell, kept }
  const server = createServer(mailbox(kept, clock))
  const page = `http://${loopback}:${await listen(server)}`
  return {
    page,
    permissionsNeeded: (form) => permissionsNeeded(form, deployed),
    accept: (form) => accept(service, form),
    receive: (mail) => receive(service, mail),
    quota: () => ({ max24HourSend, maxSendRate, sentLast24Hours: kept.length }),
    mailTo: (address) =>
      Promise.all(
        kept
          .filter(({ recipients }) => address === undefined || recipients.includes(address.toLowerCase()))
          .map(({ mail }) => mail())
          .reverse(),
      ),
    stop: () => close(server),
  }
}

async function accept(service: Service, form: URLSearchParams): Promise<SendResult> {
  if (form.get('Action') !== 'SendRawEmail')
    return refused('InvalidAction', `The local stack sends by SendRawEmail only.`)
  const letter = await open(form)
  return faultOf(service, letter, form) ?? keep(service, letter)
}

function faultOf(
  service: Service,
  { source, recipients, raw, head, configurationSet }: Letter,
  form: URLSearchParams,
): SendResult | undefined {
  if (raw.length > mostBytes)
    return refused('InvalidParameterValue', `Message length is more than ${mostBytes} bytes long: '${raw.length}'.`)
  const wrong =
    headFault(raw, head) ??
    [source, ...recipients].map(addressFault).find((fault) => fault !== undefined) ??
    tagFault(form)
  if (wrong !== undefined) return refused('InvalidParameterValue', wrong)
  if (recipients.length === 0) return refused('InvalidParameterValue', 'Missing final recipient.')
  if (recipients.length > mostRecipients) return refused('InvalidParameterValue', 'Recipient count exceeds 50.')
  if (configurationSet !== undefined && !service.sets.includes(configurationSet)) {
    return refused('ConfigurationSetDoesNotExist', `Configuration set <${configurationSet}> does not exist.`)
  }
  return identityFault(service, [source, ...fromOf(head)])
}

function identityFault({ region, identities }: Service, addresses: readonly string[]): SendResult | undefined {
  const unverified = addresses.filter((address) => !verified(address, identities))
  if (unverified.length === 0) return undefined
  const failed = `The following identities failed the check in region ${region.toUpperCase()}`
  return refused('MessageRejected', `Email address is not verified. ${failed}: ${unverified.join(', ')}`)
}

function keep(service: Service, { raw, recipients, source, configurationSet, tags }: Letter): SendResult {
  const messageId = arrives(service, raw, recipients)
  service.tell({ messageId, source, recipients, configurationSet, tags })
  return { messageId }
}

function receive(service: Service, { from, to, subject, text }: ForeignMail): void {
  const head = [`From: ${from}`, `To: ${to}`, `Subject: ${subject}`, 'Content-Type: text/plain; charset=utf-8']
  arrives(service, Buffer.from(`${head.join('\r\n')}\r\n\r\n${text.replaceAll('\n', '\r\n')}\r\n`), [to])
}

function arrives({ clock, kept }: Service, raw: Buffer, recipients: readonly string[]): string {
  const messageId = `0100${randomBytes(6).toString('hex')}-${randomUUID()}-000000`
  const at = new Date(clock.now())
  const envelope = { at: at.toISOString(), recipients }
  kept.push({
    recipients: recipients.map((address) => address.toLowerCase()),
    mail: readOnce(stamped(raw, messageId, at), envelope),
  })
  return messageId
}

const refused = (code: string, message: string): SendResult => ({ code, message, status: 400 })

async function open(form: URLSearchParams): Promise<Letter> {
  const raw = Buffer.from(form.get('RawMessage.Data') ?? '', 'base64')
  const head = readHead(raw)
  const header = (name: string) => head.find((line) => line.name.toLowerCase() === name)?.value.trim()
  const named = members(form, 'Destinations.member.')
  const written = named.length > 0 ? [] : ['to', 'cc', 'bcc'].flatMap((name) => addressesIn(header(name)))
  return {
    source: bare(form.get('Source') ?? header('from') ?? ''),
    recipients: [...named, ...written].map(bare),
    raw,
    head,
    configurationSet: form.get('ConfigurationSetName') ?? header('x-ses-configuration-set'),
    tags: tagsOf(form),
  }
}

function members(form: URLSearchParams, prefix: string): string[] {
  return [...form].filter(([name]) => name.startsWith(prefix)).map(([, value]) => value)
}

/** The addresses of a list, split at commas outside quotes. */
function addressesIn(list: string | undefined): string[] {
  return (
    list
      ?.match(/(?:"(?:\\.|[^"\\])*"|[^,"])+/g)
      ?.map((one) => one.trim())
      .filter(Boolean) ?? []
  )
}

function bare(address: string): string {
  return /<([^<>]*)>\s*$/.exec(address)?.[1] ?? address.trim()
}

const fromOf = (head: readonly HeadLine[]) =>
  head.filter(({ name }) => name.toLowerCase() === 'from').flatMap(({ value }) => addressesIn(value).map(bare))

function verified(address: string, identities: readonly string[]): boolean {
  const lower = address.toLowerCase()
  const domain = lower.split('@').at(-1) ?? ''
  return identities.some((identity) => identity === lower || identity === domain || domain.endsWith(`.${identity}`))
}

function tagsOf(form: URLSearchParams): [name: string, value: string][] {
  return [...form].flatMap(([field, name]): [string, string][] => {
    const place = /^(Tags\.member\.\d+)\.Name$/.exec(field)?.[1]
    return place === undefined ? [] : [[name, form.get(`${place}.Value`) ?? '']]
  })
}

function tagFault(form: URLSearchParams): string | undefined {
  const wrong = [...form].find(
    ([name, value]) => /^Tags\.member\.\d+\.(Name|Value)$/.test(name) && !/^[A-Za-z0-9_.@-]{1,256}$/.test(value),
  )
  return wrong && `Invalid tag <${wrong[1]}>: letters, digits, hyphens, underscores, dots and @ only.`
}

function permissionsNeeded(form: URLSearchParams, { region, account }: Deployed): Permission[] {
  if (form.get('Action') === 'GetSendQuota') return [{ action: 'ses:GetSendQuota', resource: '*' }]
  const raw = Buffer.from(form.get('RawMessage.Data') ?? '', 'base64')
  const head = readHead(raw)
  const source = bare(form.get('Source') ?? head.find(({ name }) => name.toLowerCase() === 'from')?.value ?? '')
  const set =
    form.get('ConfigurationSetName') ??
    head.find(({ name }) => name.toLowerCase() === 'x-ses-configuration-set')?.value.trim()
  const action = `ses:${form.get('Action')}`
  const on = (resource: string) => ({ action, resource: `arn:aws:ses:${region}:${account}:${resource}` })
  const identity = on(`identity/${source.split('@').at(-1)?.toLowerCase()}`)
  return set === undefined ? [identity] : [identity, on(`configuration-set/${set}`)]
}

/** SES puts its own Message-ID in place of the sender's. It adds a missing date, and drops Bcc and directives. */
function stamped(raw: Buffer, messageId: string, at: Date): Buffer {
  const text = raw.toString('latin1')
  const end = text.indexOf('\r\n\r\n')
  const head = (end < 0 ? text : text.slice(0, end)).split(/\r\n(?![ \t])/)
  const left = head.filter((line) => !/^(message-id|bcc|x-ses-[a-z-]+):/i.test(line))
  const date = left.some((line) => /^date:/i.test(line)) ? [] : [`Date: ${at.toUTCString().replace('GMT', '+0000')}`]
  const whole = [...left, ...date, `Message-ID: <${messageId}@email.amazonses.com>`].join('\r\n')
  return Buffer.from(whole + (end < 0 ? '\r\n\r\n' : text.slice(end)), 'latin1')
}

/** Facts of the delivery that the message itself does not say. */
interface Envelope {
  readonly at: string
  readonly recipients: readonly string[]
}

/** Mails are parsed when somebody looks: most of them are never looked at. */
function readOnce(sent: Buffer, envelope: Envelope): () => Promise<KeptMail> {
  let known: Promise<KeptMail> | undefined
  return () => {
    known ??= simpleParser(sent).then((parsed) => keptMail(parsed, envelope))
    return known
  }
}

function keptMail(parsed: ParsedMail, { at, recipients }: Envelope): KeptMail {
  const headers = Object.fromEntries(parsed.headerLines.map(({ key, line }) => [key, unfolded(line)]))
  for (const [name, value] of parsed.headers) if (typeof value === 'string') headers[name] = value
  return {
    at,
    to: recipients.join(', '),
    subject: parsed.subject ?? '',
    text: parsed.text ?? '',
    html: parsed.html || '',
    headers,
    attachments: parsed.attachments.map(({ filename, contentType, size, content }) => ({
      filename: filename ?? '',
      contentType,
      size,
      content: content.toString('base64'),
    })),
  }
}

const unfolded = (line: string) =>
  line
    .slice(line.indexOf(':') + 1)
    .replace(/\r?\n[ \t]+/g, ' ')
    .trim()
