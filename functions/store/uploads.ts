/**
 * The bucket that files come to, by links and forms that a sender can use by themselves: signed by hand, since the
 * client of the service would be many times as long ("Authenticating requests: browser-based uploads using POST" and
 * "using query parameters", Amazon S3 API reference). Only a form can bound how much is sent.
 */
import { createHash, createHmac } from 'node:crypto'
import type { WallClock } from '../ground/clock.ts'

export interface UploadSettings {
  readonly bucket: string
  readonly region: string
  /** the address of the service, if elsewhere than by its own name */
  readonly endpoint?: string | undefined
  readonly keyId: string
  readonly secret: string
  readonly sessionToken?: string | undefined
}

/** Fields of a form in this order, and behind them the file as `file`. */
export interface UploadForm {
  readonly url: string
  readonly fields: Readonly<Record<string, string>>
  /** the most bytes that are taken */
  readonly most: number
}

export interface Uploads {
  /** `goTo`: where a browser goes once the file is there */
  readonly form: (key: string, goTo?: string) => UploadForm
  readonly send: (key: string, bytes: Uint8Array<ArrayBuffer>) => Promise<void>
  /** the address at which an object can be fetched for a few minutes, under the name that it is kept by */
  readonly link: (key: string, name: string) => string
  /** the origin to which the form leads */
  readonly origin: string
}

export const mostUploadMegabytes = 32
const mostBytes = mostUploadMegabytes * 1_000_000
/** Time enough to choose a file and send it. */
const formMinutes = 60
const linkSeconds = 600
export const uploadType = 'application/octet-stream'

export function uploadsTo(settings: UploadSettings, clock: WallClock): Uploads {
  const { bucket, region, endpoint = `https://s3.${region}.amazonaws.com` } = settings
  const url = `${endpoint}/${bucket}`
  const { origin, host } = new URL(url)

  function form(key: string, goTo?: string): UploadForm {
    const now = clock()
    const until = new Date(Date.parse(now) + formMinutes * 60_000).toISOString()
    const fields = {
      key,
      'Content-Type': uploadType,
      ...(goTo === undefined ? { success_action_status: '204' } : { success_action_redirect: goTo }),
      ...signedBy(settings, now),
    }
    const equal = Object.entries(fields).map(([name, value]) => ['eq', `$${name}`, value])
    const conditions = [{ bucket }, ...equal, ['content-length-range', 1, mostBytes]]
    const policy = Buffer.from(JSON.stringify({ expiration: until, conditions })).toString('base64')
    const signature = hmac(keyOfDay(settings, now), policy).toString('hex')
    return { url, fields: { ...fields, Policy: policy, 'X-Amz-Signature': signature }, most: mostBytes }
  }

  async function send(key: string, bytes: Uint8Array<ArrayBuffer>): Promise<void> {
    const { fields } = form(key)
    const body = new FormData()
    for (const [name, value] of Object.entries(fields)) body.append(name, value)
    body.append('file', new Blob([bytes], { type: uploadType }))
    const answer = await fetch(url, { method: 'POST', body })
    if (!answer.ok) throw new Error(`the bucket answers ${answer.status}: ${(await answer.text()).slice(0, 300)}`)
  }

  function link(key: string, name: string): string {
    const now = clock()
    const path = `/${bucket}/${key.split('/').map(encodeURIComponent).join('/')}`
    const query = new URLSearchParams({
      ...signedBy(settings, now),
      'X-Amz-Expires': String(linkSeconds),
      'X-Amz-SignedHeaders': 'host',
      'response-content-disposition': `attachment; filename="${name}"`,
    })
    query.sort()
    // the service reads a blank as %20 alone
    const sorted = query.toString().replaceAll('+', '%20')
    const request = ['GET', path, sorted, `host:${host}\n`, 'host', 'UNSIGNED-PAYLOAD'].join('\n')
    const hash = createHash('sha256').update(request).digest('hex')
    const toSign = ['AWS4-HMAC-SHA256', momentOf(now), scopeOf(settings, now), hash].join('\n')
    return `${origin}${path}?${sorted}&X-Amz-Signature=${hmac(keyOfDay(settings, now), toSign).toString('hex')}`
  }

  return { form, send, link, origin }
}

const hmac = (key: string | Buffer, text: string) => createHmac('sha256', key).update(text).digest()

/** `20260302T150000Z` */
const momentOf = (now: string) => `${now.slice(0, 19).replaceAll(/[-:]/g, '')}Z`
const dayOf = (now: string) => momentOf(now).slice(0, 8)

const scopeOf = ({ region }: UploadSettings, now: string) => `${dayOf(now)}/${region}/s3/aws4_request`

function signedBy(settings: UploadSettings, now: string): Record<string, string> {
  const { keyId, sessionToken } = settings
  return {
    'X-Amz-Algorithm': 'AWS4-HMAC-SHA256',
    'X-Amz-Credential': `${keyId}/${scopeOf(settings, now)}`,
    'X-Amz-Date': momentOf(now),
    ...(sessionToken === undefined ? {} : { 'X-Amz-Security-Token': sessionToken }),
  }
}

/** The key that signs all of one day, in one region, for one service. */
const keyOfDay = ({ secret, region }: UploadSettings, now: string): Buffer =>
  [dayOf(now), region, 's3', 'aws4_request'].reduce<Buffer>(
    (key, part) => hmac(key, part),
    Buffer.from(`AWS4${secret}`),
  )
