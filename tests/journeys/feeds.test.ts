/** A crew's due dates in its own calendar: made, fetched, moved, revoked; and in the mail. */
import ICAL from 'ical.js'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { type LocalStack, startStack } from '../local-stack.ts'
import { aStick, aTest, day } from '../support/trade.ts'
import { ana, bring, furnish, put } from './furnish.ts'

let stack: LocalStack
let feed: { feedId: string; url: string }
beforeAll(async () => {
  stack = await startStack({ memory: true })
  await stack.day('2026-03-02')
  await furnish(stack)
  await put(stack, '/v1/sticks/S-2', aStick)
  await bring(stack, aTest())
  await bring(stack, aTest(), 'S-2')
})
afterAll(async () => {
  await stack?.stop()
})

function entriesIn(text: string) {
  const calendar = new ICAL.Component(ICAL.parse(text))
  return calendar.getAllSubcomponents('vevent').map((one) => {
    const { uid, sequence, startDate, summary } = new ICAL.Event(one)
    return { uid, sequence, on: startDate.toString(), allDay: startDate.isDate, summary }
  })
}

async function shown() {
  const answer = await fetch(feed.url)
  expect([answer.status, answer.headers.get('content-type')]).toEqual([
    200,
    'text/calendar; charset=utf-8; method=PUBLISH',
  ])
  return entriesIn(await answer.text())
}

const everything = async () =>
  Promise.all(
    ['/v1/crews/CR-1/feeds', '/v1/sticks/S-1', '/v1/roster'].map(async (path) => (await stack.call('GET', path)).text),
  )

test('a crew makes a feed for itself and its calendar shows the due dates, without a token', async () => {
  const made = await stack.call('POST', '/v1/crews/CR-1/feeds', undefined, 'crew')
  expect(made.status).toBe(201)
  feed = made.json as typeof feed
  expect(feed.url).toMatch(new RegExp(`^${stack.api}/feeds/[\\w-]{43}\\.ics$`))
  expect(await shown()).toMatchObject(
    ['S-1', 'S-2'].map((stick) => ({ on: '2028-03-02', allDay: true, summary: expect.stringContaining(stick) })),
  )
})

test('looking at it, by GET or HEAD, changes nothing', async () => {
  const before = await everything()
  for (const method of ['HEAD', 'GET', 'GET']) expect((await fetch(feed.url, { method })).status).toBe(200)
  expect(await everything()).toEqual(before)
})

test('a passing test moves the date: the same entry, a higher sequence, the new date', async () => {
  const [before, other] = await shown()
  await stack.day('2026-04-20')
  await bring(stack, aTest({ testedOn: day('2026-04-20') }))
  const after = (await shown()).find(({ uid }) => uid === before?.uid)
  expect([before?.on, after?.on]).toEqual(['2028-03-02', '2028-04-20'])
  expect(after?.sequence).toBeGreaterThan(before?.sequence ?? Number.POSITIVE_INFINITY)
  expect((await shown()).find(({ uid }) => uid === other?.uid)?.on).toBe('2028-03-02')
})

test('the digest carries the same entries as a file', async () => {
  const known = await shown()
  await stack.day('2028-01-02')
  const [mail] = await stack.mail(ana)
  expect(mail?.subject).toMatch(/^1 stick due/)
  const [file, ...others] = mail?.attachments ?? []
  expect([file?.filename, file?.contentType, others]).toEqual(['due-dates.ics', 'text/calendar', []])
  const [entry, ...more] = entriesIn(Buffer.from(file?.content ?? '', 'base64').toString())
  expect(more).toEqual([])
  expect(entry).toMatchObject({ on: '2028-03-02', allDay: true, summary: expect.stringContaining('S-2') })
  const same = known.find(({ on }) => on === '2028-03-02')
  expect([entry?.uid, entry?.sequence]).toEqual([same?.uid, same?.sequence])
})

test('addresses that were changed, and tokens of any kind, open nothing; the log counts them', async () => {
  const secret = feed.url.slice(`${stack.api}/feeds/`.length, -'.ics'.length)
  const turned = [...secret].reverse().join('')
  for (const name of [turned, secret.slice(1), `${secret}A`, feed.feedId, 'x', stack.tokens.owner?.slice(0, 43)]) {
    for (const role of ['', 'owner', 'other-organisation-manager'])
      expect((await stack.call('GET', `/feeds/${name}.ics`, undefined, role)).status).toBe(404)
  }
  const lines = stack.logs().filter(({ text }) => text.includes('feed asked for'))
  expect(lines).toHaveLength(18)
  for (const { text } of stack.logs()) expect(text).not.toContain(secret)
})

test('another organisation neither sees nor revokes it', async () => {
  const foreign = 'other-organisation-manager'
  expect((await stack.call('GET', '/v1/crews/CR-1/feeds', undefined, foreign)).status).toBe(404)
  const path = `/v1/crews/CR-1/feeds/${feed.feedId}/revoke`
  expect((await stack.call('POST', path, undefined, foreign)).status).toBe(404)
  expect((await fetch(feed.url)).status).toBe(200)
})

test('revoked, its address leads nowhere from then on', async () => {
  const path = `/v1/crews/CR-1/feeds/${feed.feedId}/revoke`
  expect((await stack.call('POST', path, undefined, 'manager')).status).toBe(200)
  expect((await fetch(feed.url)).status).toBe(404)
  expect((await fetch(feed.url, { method: 'HEAD' })).status).toBe(404)
  const { items } = (await stack.call('GET', '/v1/crews/CR-1/feeds')).json as { items: object[] }
  expect(items).toMatchObject([{ feedId: feed.feedId, madeBy: 'crew', revokedBy: 'manager' }])
  expect(JSON.stringify(items)).not.toContain('ics')
})
