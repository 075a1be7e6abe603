import { randomUUID } from 'node:crypto'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { type LocalStack, startStack } from '../local-stack.ts'
import { codesIn, pictureOf } from '../support/picture.ts'
import { aTest } from '../support/trade.ts'
import { ana, bo, bring, furnish, manager, newsTo, put } from './furnish.ts'

const us = 'us-29-cfr-1910-269-j'
let stack: LocalStack
beforeAll(async () => {
  stack = await startStack({ memory: true })
  await stack.day('2026-03-02')
  await furnish(stack)
  await bring(stack, aTest())
})
afterAll(async () => {
  await stack?.stop()
})

const label = (over: object, role = 'bench') =>
  stack.call('POST', '/v1/sticks/S-1/labels', { factId: randomUUID(), occurredOn: '2026-03-02', ...over }, role)
const subjects = async (to: string) => (await newsTo(stack, to)).map(({ subject }) => subject.replace(/ \[.*/, ''))
const page = async () => (await stack.page('/sticks/S-1')).text

test('a label that shows a later date than the stick is due is kept, and wrong from the first moment', async () => {
  const { status, json } = await label({ kind: 'fixed', shows: '2028-03-03' })
  expect([status, json]).toMatchObject([201, { stick: { label: { shows: '2028-03-03', isWrong: true } } }])
  expect(await page()).toContain('Its label shows 3 March 2028, later than it is due: take it off or change it.')
  expect((await label({ kind: 'fixed', shows: '2028-03-02' }, 'crew')).status).toBe(403)
})

test('one that shows its due date is kept, and nobody is written to', async () => {
  const { status, json } = await label({ kind: 'fixed', shows: '2028-03-02' })
  expect([status, json]).toMatchObject([201, { stick: { label: { shows: '2028-03-02', isWrong: false } } }])
  await stack.day('2026-03-04')
  expect(await subjects(ana)).toEqual([])
})

/** The address that a code on a paper leads to, as a decoder reads it from its picture. */
async function scannedOn(bytes: Uint8Array): Promise<string> {
  const [address, other] = await codesIn(await pictureOf(bytes))
  expect(other).toBe(address)
  return address ?? ''
}

test('it is printed with a code that anybody scans, by the bench’s program and by the stick’s page', async () => {
  const headers = { authorization: `Bearer ${stack.tokens.bench}` }
  const byApi = await fetch(`${stack.api}/v1/sticks/S-1/label`, { headers })
  expect([byApi.status, byApi.headers.get('content-type')]).toEqual([200, 'application/pdf'])
  const byPage = await (await stack.signedIn('bench')).get('/sticks/S-1/label')
  const address = await scannedOn(new Uint8Array(await byApi.arrayBuffer()))
  expect(await scannedOn(new Uint8Array(await byPage.arrayBuffer()))).toBe(address)
  expect(address.startsWith(`${stack.pages}/s/`)).toBe(true)
  const seen = await fetch(address)
  const text = await seen.text()
  expect(seen.status).toBe(200)
  expect(text).toContain('<strong>USE</strong>')
  expect(text).toContain('2 March 2028')
  const certificate = await (await stack.signedIn('manager')).get('/sticks/S-1/certificate')
  const looked = await fetch(await scannedOn(new Uint8Array(await certificate.arrayBuffer())))
  expect(await looked.text()).toContain('On record as printed')
  expect((await fetch(`${stack.pages}/s/${'a'.repeat(22)}`)).status).toBe(404)
})

test('a stricter policy makes it wrong: its page says so at once, crew and manager hear in the morning', async () => {
  const shorten = [{ requirement: `${us}-frp`, interval: { months: 12 }, source: 'Tool manual 1.2' }]
  await put(stack, '/v1/policies/employer', { packs: [us], shorten })
  expect(await page()).toContain('Its label shows 2 March 2028, later than it is due: take it off or change it.')
  // the lists follow the rules within five minutes, and so before the next morning
  await stack.clock('2026-03-04T15:06:00Z')
  await stack.settle()
  await stack.day('2026-03-05')
  for (const to of [ana, bo, manager]) {
    const [mail] = await stack.mail(to)
    expect(mail?.subject).toMatch(/^1 stick due for the bench; wrong labels: 1 \[/)
    expect(mail?.text).toContain('Label: Shows 2 March 2028, later than the stick is due: take it off or change it')
    expect(mail?.text).toContain('2 March 2027')
  }
})

test('and again every week, also after a week slept through', async () => {
  const weekly = 'Wrong labels to take off or change: 1'
  await stack.day('2026-03-11')
  expect(await subjects(ana)).toHaveLength(1)
  await stack.day('2026-03-12')
  expect((await subjects(ana)).slice(0, 1)).toEqual([weekly])
  await stack.day('2026-03-25')
  expect(await subjects(manager)).toHaveLength(3)
  await stack.day('2026-03-31')
  expect(await subjects(manager)).toHaveLength(3)
})

test('held, its hold says that the label is to be taken off', async () => {
  const report = { factId: randomUUID(), occurredOn: '2026-03-31', kind: 'scratch' }
  await stack.call('POST', '/v1/sticks/S-1/defects', report, 'crew')
  await stack.settle()
  const [mail] = await stack.mail(ana)
  expect(mail?.subject).toMatch(/^Stick S-1 is on hold/)
  expect(mail?.text).toContain('Still shows 2 March 2028: take it off')
})

test('taken off, nobody hears of it any more', async () => {
  expect((await label({ occurredOn: '2026-03-31', kind: 'taken off' })).status).toBe(201)
  expect(await page()).not.toContain('Its label')
  const before = (await subjects(ana)).length
  await stack.day('2026-04-20')
  // the hold was not confirmed, and so somebody else may hear of that; nobody hears of a label
  const since = (await stack.mail(ana)).slice(0, (await subjects(ana)).length - before)
  for (const { subject, text } of since) expect(`${subject} ${text}`).not.toContain('label')
  expect(await stack.prove()).toMatch(/^\d+ sticks, \d+ facts: every state is the replay of its facts$/m)
})
