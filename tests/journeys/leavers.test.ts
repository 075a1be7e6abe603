/** A leaver is shut out within a second: of the API, of mails, of the link in a mail already there. */
import { randomUUID } from 'node:crypto'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { type LocalStack, startStack } from '../local-stack.ts'
import { aStick, aTest } from '../support/trade.ts'
import { bring, furnish, manager, put } from './furnish.ts'

let stack: LocalStack
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

const tingle = (stickId: string) =>
  stack.call(
    'POST',
    `/v1/sticks/${stickId}/defects`,
    { factId: randomUUID(), occurredOn: '2026-03-02', kind: 'tingle' },
    'bench',
  )

test('a manager who leaves reads, writes, hears and confirms nothing a second later', async () => {
  await tingle('S-1')
  await stack.settle()
  // nobody of the crew confirms it, so he is asked
  await stack.clock('2026-03-02T19:06:00Z')
  await stack.settle()
  const [mail] = await stack.mail(manager)
  const link = /href="([^"]*\/answers\/[^"]+)"/.exec(mail?.html ?? '')?.[1]?.replaceAll('&amp;', '&') ?? ''
  expect((await fetch(link)).status).toBe(200)
  expect((await stack.call('GET', '/v1/sticks/S-1', undefined, 'manager')).status).toBe(200)

  const leaver = { name: 'Marek Ahlgren', email: manager, role: 'manager', depots: ['*'], until: '2026-03-01' }
  await put(stack, '/v1/people/manager', leaver)
  const began = performance.now()
  const shut = async () =>
    (await stack.call('GET', '/v1/sticks/S-1', undefined, 'manager')).status === 401 &&
    (await fetch(link, { method: 'POST' })).status === 403
  while (!(await shut())) if (performance.now() - began > 1000) throw new Error('still let in after a second')

  const wrote = await stack.call('PUT', '/v1/people/manager', { ...leaver, until: undefined }, 'manager')
  expect([wrote.status, wrote.text]).toEqual([401, expect.stringContaining('no longer on the register of people')])
  const before = (await stack.mail(manager)).length
  await tingle('S-2')
  await stack.settle()
  expect((await stack.mail('manager-2@demo-utility.example'))[0]?.text).toContain('S-2')
  expect((await stack.mail(manager)).length).toBe(before)
})
