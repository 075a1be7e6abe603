/** Forms and links as the service signs them, judged as AWS judges them: each way in which one can be wrong. */
import { describe, expect, test } from 'vitest'
import { formIn, formRefusal, isForm, linkRefusal, type UploadedForm } from '../../cdk/local/sources/uploads.ts'
import { uploadsTo } from '../../functions/store/uploads.ts'
import type { Instant } from '../../shared-domain/calendar.ts'

const at = '2026-03-02T15:00:00.000Z' as Instant
const settings = { bucket: 'uploads', region: 'us-east-1', keyId: 'AKEY', secret: 'a secret', sessionToken: 'a token' }
const uploads = uploadsTo(settings, () => at)
const judging = { secret: 'a secret', bucket: 'uploads', now: Date.parse(at) }
const minutesOn = (minutes: number) => ({ ...judging, now: judging.now + minutes * 60_000 })

const { fields } = uploads.form('files/demo/1', 'https://pages.example/imports/1')
const form = (change: Record<string, string> = {}, bytes = 10): UploadedForm => ({
  fields: { ...fields, ...change },
  file: Buffer.alloc(bytes),
})

describe('a form', () => {
  test('that is sent as it was handed out is taken', () => {
    expect(formRefusal(form(), judging)).toBeUndefined()
    expect(
      formRefusal({ fields: uploads.form('files/demo/1').fields, file: Buffer.alloc(1) }, minutesOn(59)),
    ).toBeUndefined()
  })

  test.each<[what: string, given: UploadedForm, by: typeof judging, code: string]>([
    ['another signature', form({ 'X-Amz-Signature': '0'.repeat(64) }), judging, 'SignatureDoesNotMatch'],
    ['a signature of another length', form({ 'X-Amz-Signature': '0' }), judging, 'SignatureDoesNotMatch'],
    ['another policy', form({ Policy: Buffer.from('{}').toString('base64') }), judging, 'SignatureDoesNotMatch'],
    ['another secret', form(), { ...judging, secret: 'another' }, 'SignatureDoesNotMatch'],
    [
      'another region of the key',
      form({ 'X-Amz-Credential': 'AKEY/20260302/eu-west-1/s3/aws4_request' }),
      judging,
      'SignatureDoesNotMatch',
    ],
    ['an hour later', form(), minutesOn(61), 'AccessDenied'],
    ['another place', form({ key: 'files/other/1' }), judging, 'AccessDenied'],
    ['another type', form({ 'Content-Type': 'text/html' }), judging, 'AccessDenied'],
    ['another page to go to', form({ success_action_redirect: 'https://elsewhere.example' }), judging, 'AccessDenied'],
    ['another bucket', form(), { ...judging, bucket: 'journal' }, 'AccessDenied'],
    ['another session', form({ 'X-Amz-Security-Token': 'another' }), judging, 'AccessDenied'],
    ['a field more', form({ acl: 'public-read' }), judging, 'AccessDenied'],
    ['nothing in the file', form({}, 0), judging, 'EntityTooSmall'],
    ['too much in the file', form({}, 32_000_001), judging, 'EntityTooLarge'],
  ])('with %s is refused', (_, given, by, code) => {
    expect(formRefusal(given, by)?.code).toBe(code)
  })

  test('is read as a browser sends it', async () => {
    const body = new FormData()
    body.append('key', 'files/demo/1')
    body.append('file', new Blob(['a,b\n']), 'sticks.csv')
    body.append('late', 'passed over')
    const sent = new Response(body)
    const headers = { 'content-type': sent.headers.get('content-type') ?? '' }
    expect(isForm('POST', headers)).toBe(true)
    const found = await formIn(headers, Buffer.from(await sent.arrayBuffer()))
    expect(found).toEqual({ fields: { key: 'files/demo/1' }, file: Buffer.from('a,b\n') })
    expect(await formIn(headers, Buffer.from('no form'))).toBeNull()
  })
})

describe('a link', () => {
  const link = new URL(uploads.link('rest/demo/a b.csv', 'rest.csv'))
  const changed = (change: (url: URL) => void) => {
    const url = new URL(link)
    change(url)
    return url
  }

  test('leads to its object for ten minutes, under its name', () => {
    expect(link.pathname).toBe('/uploads/rest/demo/a%20b.csv')
    expect(link.searchParams.get('response-content-disposition')).toBe('attachment; filename="rest.csv"')
    expect(linkRefusal(link, link.host, minutesOn(9))).toBeUndefined()
  })

  test.each<[what: string, url: URL, by: typeof judging, code: string]>([
    ['eleven minutes later', link, minutesOn(11), 'AccessDenied'],
    ['to another object', changed((url) => (url.pathname = '/uploads/files/demo/1')), judging, 'SignatureDoesNotMatch'],
    ['for longer', changed((url) => url.searchParams.set('X-Amz-Expires', '9999')), judging, 'SignatureDoesNotMatch'],
    ['of another secret', link, { ...judging, secret: 'another' }, 'SignatureDoesNotMatch'],
  ])('%s is refused', (_, url, by, code) => {
    expect(linkRefusal(url, link.host, by)?.code).toBe(code)
  })

  test('to another host is refused', () => {
    expect(linkRefusal(link, 'elsewhere.example', judging)?.code).toBe('SignatureDoesNotMatch')
  })
})
