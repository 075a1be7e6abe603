/** A hold goes out with a link; opening it changes nothing, its button confirms, and silence climbs to the managers. */
import { randomUUID } from 'node:crypto'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { type LocalStack, startStack } from '../local-stack.ts'
import { aTest } from '../support/trade.ts'
import { ana, bo, bring, furnish, manager } from './furnish.ts'

let stack: LocalStack
beforeAll(async () => {
  stack = await startStack({ memory: true })
  await stack.day('2026-03-02')
  await furnish(stack)
  await bring(stack, aTest())
  const tingle = { factId: randomUUID(), occurredOn: '2026-03-02', kind: 'tingle' }
  await stack.call('POST', '/v1/sticks/S-1/defects', tingle, 'bench')
  await stack.settle()
})
afterAll(async () => {
  await stack?.stop()
})

const linksIn = (html: string) =>
  [...html.matchAll(/href="([^"]+)"/g)].map(([, link = '']) => link.replaceAll('&amp;', '&'))
const holdLink = async (to: string) => {
  const [mail] = await stack.mail(to)
  const link = linksIn(mail?.html ?? '').find((one) => one.includes('/answers/'))
  if (link === undefined) throw new Error(`no link in the mail to ${to}: ${mail?.text}`)
  return link
}
const everything = async () => [
  (await stack.call('GET', '/v1/sticks/S-1')).text,
  (await stack.call('GET', '/v1/notices')).text,
]
const rosterPage = async () => (await fetch(`${stack.pages}/roster?status=on+hold`)).text()

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
  expect(await (await fetch(`${stack.pages}/sticks/S-1`)).text()).toContain('Ana Ferro (crew)')
})

test('the button confirms once; the same link again is refused', async () => {
  const link = await holdLink(ana)
  const pressed = await fetch(link, { method: 'POST' })
  expect([pressed.status, await pressed.text()]).toEqual([200, expect.stringContaining('Ana Ferro has read notice')])
  expect((await fetch(link, { method: 'POST' })).status).toBe(409)
  expect((await fetch(`${link.slice(0, -3)}AAA`)).status).toBe(404)
  expect(await rosterPage()).not.toContain('Ana Ferro')
})

test('after four hours, at night, the managers are told of the foreman’s silence, and of nobody else’s', async () => {
  await stack.clock('2026-03-02T18:59:00Z')
  await stack.settle()
  const silence = async (to: string) =>
    (await stack.mail(to)).filter(({ subject }) => subject.includes('not all have confirmed'))
  expect(await silence(manager)).toEqual([])
  await stack.clock('2026-03-02T19:06:00Z')
  await stack.settle()
  const mails = await silence(manager)
  expect(mails).toHaveLength(1)
  expect(mails[0]?.text).toContain('Not confirmed by: Bo Lind.')
  expect(await silence(bo)).toEqual([])
  expect(await silence(ana)).toEqual([])
})
