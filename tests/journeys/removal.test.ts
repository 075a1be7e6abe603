import { randomUUID } from 'node:crypto'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { type LocalStack, startStack } from '../local-stack.ts'
import { aTest, day } from '../support/trade.ts'
import { ana, bo, bring, furnish, lookAt, manager } from './furnish.ts'

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

const removal = { factId: randomUUID(), occurredOn: '2026-03-03', reason: 'Its end fitting is recalled' }
const remove = (body: object, role: string) => stack.call('POST', '/v1/sticks/S-1/removals', body, role)

test('the bench does not decide that a stick goes for good', async () => {
  await stack.day('2026-03-03')
  expect((await remove(removal, 'bench')).status).toBe(403)
  expect(await lookAt(stack, 'S-1')).toMatchObject({ status: 'in service' })
})

test('a manager does, and crew and managers are told at once, with the reason', async () => {
  expect((await remove({ ...removal, reason: '' }, 'manager')).status).toBe(422)
  const { status, json } = await remove(removal, 'manager')
  expect([status, json]).toMatchObject([201, { stick: { status: 'removed from service' } }])
  await stack.settle()
  for (const to of [ana, bo, manager]) {
    const [mail] = await stack.mail(to)
    expect(mail?.subject).toMatch(/^Stick S-1 is removed from service for good: do not use it \[/)
    for (const part of [mail?.text, mail?.html])
      expect(part).toContain('Removed by decision: Its end fitting is recalled.')
  }
})

test('sent again it is the same removal; another is refused, and so is a test', async () => {
  expect((await remove(removal, 'manager')).status).toBe(200)
  const again = await remove({ ...removal, factId: randomUUID() }, 'owner')
  expect([again.status, again.json]).toMatchObject([409, { reasons: [{ code: 'removed-from-service' }] }])
  const test = aTest({ testedOn: day('2026-03-03') })
  expect((await stack.call('POST', '/v1/sticks/S-1/bench-tests', test, 'bench')).status).toBe(409)
  await stack.settle()
  expect(await stack.mail(ana)).toHaveLength(1)
})

test('its page says so first, and its state is the replay of its facts', async () => {
  const page = (await stack.page('/sticks/S-1')).text
  const because = '<p class="because">Removed by decision: Its end fitting is recalled.'
  expect(page).toMatch(/class="order[^<]*<svg[\s\S]*Do not use it/)
  expect(page.indexOf(because)).toBeGreaterThan(page.indexOf('Do not use it'))
  expect(await stack.prove()).toMatch(/^\d+ sticks, \d+ facts: every state is the replay of its facts$/m)
})
