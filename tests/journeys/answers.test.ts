/** A hold goes out with a link; opening it changes nothing, its button confirms, and silence climbs to the managers. */
import { randomUUID } from 'node:crypto'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { type LocalStack, startStack } from '../local-stack.ts'
import { aStick, aTest } from '../support/trade.ts'
import { ana, bo, bring, furnish, manager } from './furnish.ts'

let stack: LocalStack
beforeAll(async () => {
  stack = await startStack({ memory: true })
  await stack.day('2026-03-02')
  await furnish(stack)
  await bring(stack, aTest())
  const tingle = { factId: randomUUID(), occurredOn: '2026-03-02', kind: 'tingle' }
  await stack.call('POST', '/v1/sticks/S-1/defects', tingle, 'bench')
  await stack.call('PUT', '/v1/sticks/S-2', aStick)
  const drop = { factId: randomUUID(), occurredOn: '2026-03-02', kind: 'drop' }
  await stack.call('POST', '/v1/sticks/S-2/defects', drop, 'bench')
  await stack.settle()
})
afterAll(async () => {
  await stack?.stop()
})

const linksIn = (html: string) =>
  [...html.matchAll(/href="([^"]+)"/g)].map(([, link = '']) => link.replaceAll('&amp;', '&'))
const holdLink = async (to: string) => {
  const mail = (await stack.mail(to)).find(({ subject }) => subject.includes('S-1'))
  const link = linksIn(mail?.html ?? '').find((one) => one.includes('/answers/'))
  if (link === undefined) throw new Error(`no link in the mail to ${to}: ${mail?.text}`)
  return link
}
const everything = async () => [
  (await stack.call('GET', '/v1/sticks/S-1')).text,
  (await stack.call('GET', '/v1/notices')).text,
]
const rosterPage = async () => (await stack.page('/roster?status=on+hold')).text
const stickPage = async () => (await stack.page('/sticks/S-1')).text

test('every link of every mail, asked for with HEAD and GET twice, leaves all as it was', async () => {
  const before = await everything()
  const links = new Set((await stack.mail()).flatMap(({ html }) => linksIn(html)))
  expect([...links].filter((link) => link.includes('/answers/')).length).toBeGreaterThanOrEqual(4)
  for (const link of links) {
    for (const method of ['HEAD', 'GET', 'HEAD', 'GET'])
      expect([link, (await fetch(link, { method })).status]).toEqual([link, 200])
  }
  expect(await everything()).toEqual(before)
})

test('the roster and the page of the stick say who has not confirmed', async () => {
  expect(await rosterPage()).toContain('Not confirmed by')
  expect(await stickPage()).toContain('Ana Ferro (crew)')
})

test('the button confirms once; the same link again is refused', async () => {
  const link = await holdLink(ana)
  const pressed = await fetch(link, { method: 'POST' })
  expect([pressed.status, await pressed.text()]).toEqual([200, expect.stringContaining('Thank you, Ana Ferro')])
  expect((await fetch(link, { method: 'POST' })).status).toBe(409)
  expect((await fetch(`${link.slice(0, -3)}AAA`)).status).toBe(404)
  expect(await stickPage()).not.toContain('Ana Ferro (crew)')
})

test('after four hours nobody is asked after where one of the crew confirmed; of another stick all are', async () => {
  const silence = async (to: string) =>
    (await stack.mail(to)).filter(({ subject }) => /not all have confirmed/.test(subject))
  await stack.clock('2026-03-02T18:59:00Z')
  await stack.settle()
  expect(await silence(manager)).toEqual([])
  await stack.clock('2026-03-02T19:06:00Z')
  await stack.settle()
  for (const [to, silentOne] of [
    [manager, 'Bo Lind'],
    [bo, 'Ana Ferro'],
  ] as const) {
    const mails = await silence(to)
    expect(mails.map(({ subject }) => subject.replace(/ \[.*/, ''))).toEqual([
      'Stick S-2 must not be used, and not all have confirmed it',
    ])
    expect(mails[0]?.text).toContain(`Not confirmed by: ${silentOne}.`)
    expect(mails[0]?.text).not.toMatch(/\bS-1\b/)
  }
  expect(await silence(ana)).toEqual([])
})

test('a manager is told of a hold without being asked, and asked once the crew is silent', async () => {
  const [silence, ...before] = await stack.mail(manager)
  expect(silence?.html).toContain('/answers/')
  const holds = before.filter(({ subject }) => subject.includes('is on hold'))
  expect(holds.length).toBeGreaterThanOrEqual(2)
  for (const { html } of holds) expect(html).not.toContain('/answers/')
})
