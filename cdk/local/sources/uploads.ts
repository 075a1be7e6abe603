/**
 * Files that come by a signed form, and objects that are fetched by a signed link: judged here as AWS judges them. The
 * emulator behind takes everything. What a form or a link may do is what the function may do that signed it.
 */
import { createHash, createHmac, timingSafeEqual } from 'node:crypto'
import type { IncomingHttpHeaders } from 'node:http'

export interface BucketRefusal {
  readonly status: number
  readonly code: string
  readonly message: string
}

const denied = (message: string): BucketRefusal => ({ status: 403, code: 'AccessDenied', message })
const wrongSignature: BucketRefusal = {
  status: 403,
  code: 'SignatureDoesNotMatch',
  message: 'The request signature we calculated does not match the signature you provided.',
}

export interface UploadedForm {
  readonly fields: Readonly<Record<string, string>>
  readonly file: Buffer
}

/** A form as a browser sends it. What comes behind the file is passed over. */
export async function formIn(headers: IncomingHttpHeaders, body: Buffer): Promise<UploadedForm | null> {
  const sent = new Response(new Uint8Array(body), { headers: { 'content-type': headers['content-type'] ?? '' } })
  const fields: Record<string, string> = {}
  try {
    for (const [name, value] of await sent.formData()) {
      if (typeof value === 'string') fields[name] = value
      else if (name === 'file') return { fields, file: Buffer.from(await value.arrayBuffer()) }
    }
  } catch {
    // a body that is no form has no file either
  }
  return null
}

export const isForm = (method: string | undefined, headers: IncomingHttpHeaders): boolean =>
  method === 'POST' && /^multipart\/form-data\b/.test(headers['content-type'] ?? '')

/** The id of the key by which a form or a link is signed. */
export const signerIn = (credential: string | null | undefined): string => (credential ?? '').split('/')[0] ?? ''

export interface SignedFor {
  readonly secret: string
  readonly bucket: string
  readonly now: number
}

export function formRefusal(
  { fields, file }: UploadedForm,
  { secret, bucket, now }: SignedFor,
): BucketRefusal | undefined {
  const given = lowered(fields)
  const policy = given.policy ?? ''
  if (given['x-amz-algorithm'] !== 'AWS4-HMAC-SHA256') return denied('Only AWS4-HMAC-SHA256 is supported.')
  const key = keyOf(secret, given['x-amz-credential'] ?? '')
  if (!isSame(hmac(key, policy).toString('hex'), given['x-amz-signature'])) return wrongSignature
  const { expiration, conditions } = JSON.parse(Buffer.from(policy, 'base64').toString()) as Policy
  if (now > Date.parse(expiration)) return denied('Invalid according to Policy: Policy expired.')
  const named = new Set<string>()
  for (const condition of conditions) {
    const [operation, of, value, most] = Array.isArray(condition) ? condition : equality(condition)
    if (operation === 'content-length-range') {
      if (file.length > Number(value)) return tooLarge
      if (file.length < Number(of)) return tooSmall
      continue
    }
    if (most !== undefined) return denied('Invalid according to Policy: Policy Condition is malformed')
    const name = String(of).replace(/^\$/, '').toLowerCase()
    named.add(name)
    const came = name === 'bucket' ? bucket : given[name]
    const fits = operation === 'eq' ? came === value : (came?.startsWith(String(value)) ?? false)
    if (!fits)
      return denied(`Invalid according to Policy: Policy Condition failed: ["${operation}", "${of}", "${value}"]`)
  }
  const free = Object.keys(given).find((name) => !unsaid.has(name) && !named.has(name) && !name.startsWith('x-ignore-'))
  return free === undefined ? undefined : denied(`Invalid according to Policy: Extra input fields: ${free}`)
}

/** Fields that a policy need not speak of. */
const unsaid = new Set(['x-amz-signature', 'file', 'policy'])

interface Policy {
  readonly expiration: string
  readonly conditions: readonly (Readonly<Record<string, string>> | readonly (string | number)[])[]
}

const equality = (condition: object): readonly (string | number)[] => {
  const [[name, value] = ['', '']] = Object.entries(condition) as [string, string][]
  return ['eq', `$${name}`, value]
}

const tooLarge = {
  status: 400,
  code: 'EntityTooLarge',
  message: 'Your proposed upload exceeds the maximum allowed size',
}
const tooSmall = {
  status: 400,
  code: 'EntityTooSmall',
  message: 'Your proposed upload is smaller than the minimum allowed size',
}

/** A link is for one object, one host and so many seconds. */
export function linkRefusal(url: URL, host: string, { secret, now }: SignedFor): BucketRefusal | undefined {
  const query = new URLSearchParams(url.search)
  const signature = query.get('X-Amz-Signature')
  query.delete('X-Amz-Signature')
  query.sort()
  const [moment = '', credential = ''] = [query.get('X-Amz-Date') ?? '', query.get('X-Amz-Credential') ?? '']
  const [, ...scope] = credential.split('/')
  const sorted = query.toString().replaceAll('+', '%20')
  const request = ['GET', url.pathname, sorted, `host:${host}\n`, 'host', 'UNSIGNED-PAYLOAD'].join('\n')
  const hash = createHash('sha256').update(request).digest('hex')
  const toSign = ['AWS4-HMAC-SHA256', moment, scope.join('/'), hash].join('\n')
  if (!isSame(hmac(keyOf(secret, credential), toSign).toString('hex'), signature)) return wrongSignature
  const begins = Date.parse(moment.replace(/^(\d{4})(\d\d)(\d\d)T(\d\d)(\d\d)(\d\d)Z$/, '$1-$2-$3T$4:$5:$6Z'))
  return now > begins + 1000 * Number(query.get('X-Amz-Expires')) ? denied('Request has expired') : undefined
}

const hmac = (key: string | Buffer, text: string) => createHmac('sha256', key).update(text).digest()

const keyOf = (secret: string, credential: string): Buffer =>
  credential
    .split('/')
    .slice(1)
    .reduce<Buffer>((key, part) => hmac(key, part), Buffer.from(`AWS4${secret}`))

function isSame(one: string, other: string | null | undefined): boolean {
  return one.length === other?.length && timingSafeEqual(Buffer.from(one), Buffer.from(other))
}

const lowered = (fields: UploadedForm['fields']): Readonly<Record<string, string | undefined>> =>
  Object.fromEntries(Object.entries(fields).map(([name, value]) => [name.toLowerCase(), value]))
