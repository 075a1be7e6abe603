import { afterAll, beforeAll, expect, test } from 'vitest'
import { type LocalStack, startStack } from '../local-stack.ts'
import { aCrew, aDepot, aStick, aTest } from '../support/trade.ts'
import { ana, bo, bring, furnish, manager, newsTo, put } from './furnish.ts'

const sticks = ['S-1', 'N-1', 'N-2', 'N-3']
let stack: LocalStack
beforeAll(async () => {
  stack = await startStack({ memory: true })
  await stack.day('2026-03-02')
  await furnish(stack)
  for (const stickId of sticks) {
    if (stickId !== 'S-1') await put(stack, `/v1/sticks/${stickId}`, aStick)
    await bring(stack, aTest(), stickId)
  }
})
afterAll(async () => {
  await stack?.stop()
})

const digests = async (to: string) => (await newsTo(stack, to)).length

test('62 days before the due date nobody is written to', async () => {
  await stack.day('2027-12-31')
  expect(await digests(ana)).toBe(0)
})

test('60 days before, each of the crew gets one digest of all their sticks, never one mail a stick', async () => {
  await stack.day('2028-01-02')
  for (const to of [ana, bo]) {
    const mails = await stack.mail(to)
    expect(mails.map((mail) => mail.subject)).toEqual([expect.stringMatching(/^4 sticks due for the bench \[/)])
    for (const stickId of sticks) {
      expect(mails[0]?.text).toContain(`Stick ${stickId}`)
      expect(mails[0]?.html).toContain(stickId)
    }
    expect(mails[0]?.text).toContain('2 March 2028, in 60 days')
    expect(mails[0]?.text).toContain('North yard')
  }
})

test('an hour later nothing is repeated', async () => {
  await stack.clock('2028-01-02T16:00:00Z')
  await stack.settle()
  expect(await digests(ana)).toBe(1)
})

test('nine days on nothing is repeated', async () => {
  await stack.day('2028-01-11')
  expect(await digests(ana)).toBe(1)
})

test('nine days asleep over the 30-day step: told once on waking, nothing missed', async () => {
  await stack.day('2028-02-10')
  expect(await digests(ana)).toBe(2)
  await stack.day('2028-02-11')
  expect(await digests(ana)).toBe(2)
})

test('set back and forth again, nothing is told twice', async () => {
  await stack.day('2028-01-02')
  await stack.day('2028-02-11')
  expect(await digests(ana)).toBe(2)
})

test('on the due date itself it may be used; the day after it is overdue on the roster, one day', async () => {
  await stack.day('2028-03-02')
  const overdue = async () =>
    (await stack.call('GET', '/v1/roster?status=overdue', undefined, 'manager')).json as {
      items: { stickId: string; daysOverdue: number }[]
    }
  expect((await overdue()).items).toEqual([])
  // while the crew can be written to, its managers are not
  expect(await digests(manager)).toBe(0)
  await stack.day('2028-03-03')
  expect((await overdue()).items.map((row) => [row.stickId, row.daysOverdue])).toEqual(
    sticks.toSorted().map((id) => [id, 1]),
  )
})

test('the notice log of a stick holds every digest that named it', async () => {
  const { items } = (await stack.call('GET', '/v1/notices?stick=N-2', undefined, 'manager')).json as {
    items: { kind: string; state: string; to: { email: string } }[]
  }
  const toAna = items.filter((notice) => notice.to.email === ana)
  expect(toAna.length).toBe(await digests(ana))
  expect(new Set(items.map((notice) => [notice.kind, notice.state].join(' ')))).toEqual(new Set(['digest sent']))
})

test('opening the links of a mail changes nothing', async () => {
  const [mail] = await stack.mail(ana)
  const links = [...(mail?.html ?? '').matchAll(/href="(http[^"]+)"/g)].map((found) => found[1] ?? '')
  expect(links.length).toBeGreaterThan(0)
  const known = async () => (await stack.call('GET', '/v1/sticks/S-1')).text
  const before = await known()
  for (const link of links)
    for (const method of ['HEAD', 'GET', 'GET']) expect((await fetch(link, { method })).status).toBeLessThan(500)
  expect(await known()).toBe(before)
})

test('that morning crew, foreman and manager are told not to use it any more', async () => {
  for (const to of [ana, bo, manager]) {
    const [mail] = await stack.mail(to)
    expect(mail?.subject).toMatch(/^4 sticks overdue: do not use \[/)
    for (const stickId of sticks) expect(mail?.text).toContain(`Stick ${stickId}`)
  }
  expect(await digests(manager)).toBe(1)
})

test('a crew that moves to another depot takes its sticks along, and that depot’s managers hear of them', async () => {
  const sol = 'sol@demo-utility.example'
  const inDepot = async (depot: string) =>
    ((await stack.call('GET', `/v1/roster?depot=${depot}`)).json as { items: { stickId: string }[] }).items
  await put(stack, '/v1/depots/DEP-2', { ...aDepot, name: 'South yard' })
  await put(stack, '/v1/people/sol', { name: 'Sol Aker', email: sol, role: 'manager', depots: ['DEP-2'] })
  await put(stack, '/v1/crews/CR-1', { ...aCrew, depotId: 'DEP-2' })
  await stack.clock('2028-03-03T15:06:00Z')
  await stack.settle()
  expect(await inDepot('DEP-1')).toEqual([])
  expect((await inDepot('DEP-2')).map(({ stickId }) => stickId)).toEqual(sticks.toSorted())
  // at the next step of the ladder, a week after the due date
  await stack.day('2028-03-09')
  const [mail] = await stack.mail(sol)
  for (const stickId of sticks) expect(mail?.text).toContain(stickId)
  expect(mail?.text).toContain('South yard')
})
