/**
 * A manager has two crews reminded: one mail a reader, who asked in it, in each reader's language; the ladder goes on.
 */
import { randomUUID } from 'node:crypto'
import type { Browser, Page } from 'playwright-core'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { openBrowser } from '../browser/browser.ts'
import { contextFor } from '../browser/signed-in.ts'
import { type LocalStack, startStack } from '../local-stack.ts'
import { aCrew, aStick, aTest, day } from '../support/trade.ts'
import { ana, bo, bring, furnish, lookAt, put } from './furnish.ts'

const eva = 'eva@crew-two.example'

let stack: LocalStack
let browser: Browser
beforeAll(async () => {
  stack = await startStack({ memory: true })
  browser = await openBrowser()
  await stack.day('2026-03-02')
  await furnish(stack)
  const reads = { language: 'es', units: 'US customary' }
  const recipients = [{ name: 'Eva Rey', email: eva, role: 'foreman', ...reads }]
  await put(stack, '/v1/crews/CR-2', { ...aCrew, name: 'Crew two', recipients })
  for (const id of ['S-2', 'S-3']) await put(stack, `/v1/sticks/${id}`, aStick)
  await put(stack, '/v1/sticks/S-4', { ...aStick, crewId: 'CR-2' })
  await bring(stack, aTest({ testedOn: day('2024-02-20') }))
  await bring(stack, aTest({ testedOn: day('2024-03-20') }), 'S-2')
  await bring(stack, aTest(), 'S-3')
  await bring(stack, aTest({ testedOn: day('2024-02-20') }), 'S-4')
  await stack.day('2026-03-03')
})
afterAll(async () => {
  await browser?.close()
  await stack?.stop()
})

const body = { factId: randomUUID(), stickIds: ['S-1', 'S-2', 'S-3', 'S-4'], note: 'The bench is free on Friday.' }
const remind = (role = 'manager') => stack.call('POST', '/v1/reminders', body, role)
const reminders = async (to: string) =>
  (await stack.mail(to)).filter(({ subject }) => /reminds you|le recuerda/.test(subject))

test('crews hear at once and once, in their own words; who is not due is left out; the ladder stays', async () => {
  const before = await Promise.all(['S-1', 'S-2', 'S-4'].map((id) => lookAt(stack, id)))
  expect((await remind('bench')).status).toBe(403)
  const { status, json } = await remind()
  const { notices, leftOut } = json as {
    notices: { to: { email: string } }[]
    leftOut: { stickId: string; reason: { code: string } }[]
  }
  expect(status).toBe(201)
  expect(notices.map(({ to }) => to.email).sort()).toEqual([ana, bo, eva].sort())
  expect(leftOut.map(({ stickId, reason }) => [stickId, reason.code])).toEqual([['S-3', 'nothing-to-remind-of']])
  expect((await remind()).status).toBe(200)
  await stack.settle()
  for (const to of [ana, bo]) {
    const [mail, ...others] = await reminders(to)
    expect(others).toEqual([])
    expect(mail?.subject).toContain('Marek Ahlgren reminds you: 1 stick overdue: do not use; 1 due for the bench')
    for (const said of ['/sticks/S-1', '/sticks/S-2', 'on 3 March 2026, 09:00', 'The bench is free on Friday.'])
      for (const part of [mail?.text, mail?.html]) expect(part).toContain(said)
    expect(mail?.text).not.toMatch(/\bS-4\b/)
  }
  const [toEva, ...others] = await reminders(eva)
  expect(others).toEqual([])
  expect(toEva?.subject).toContain('Marek Ahlgren le recuerda: 1 pértiga vencida')
  expect(toEva?.text).toContain('el 3 de marzo de 2026, 09:00')
  expect(await Promise.all(['S-1', 'S-2', 'S-4'].map((id) => lookAt(stack, id)))).toEqual(before)
  const { json: log } = await stack.call('GET', '/v1/notices?stick=S-2', undefined, 'manager')
  const told = (log as { items: { kind: string; reminder?: { by: string } }[] }).items
  expect(told.filter(({ kind }) => kind === 'reminder').map(({ reminder }) => reminder?.by)).toEqual([
    'Marek Ahlgren',
    'Marek Ahlgren',
  ])
})

test('every link of the mail opens a page, and the next digest comes on its own day', async () => {
  const [mail] = await reminders(ana)
  const links = [...(mail?.html ?? '').matchAll(/href="([^"]+)"/g)].map(
    ([, link]) => link?.replaceAll('&amp;', '&') ?? '',
  )
  expect(links.length).toBeGreaterThan(2)
  for (const link of links) expect([link, (await fetch(link)).status]).toEqual([link, 200])
  const digests = async () => (await stack.mail(ana)).filter(({ subject }) => /^\d+ sticks? (over)?due/.test(subject))
  const before = (await digests()).length
  await stack.day('2026-03-05')
  expect((await digests()).length).toBe(before)
  await stack.day('2026-03-06')
  expect((await digests()).length).toBe(before + 1)
})

test('a hold that nobody confirmed is confirmed by the reminder of it', async () => {
  const tingle = { factId: randomUUID(), occurredOn: '2026-03-06', kind: 'tingle' }
  expect((await stack.call('POST', '/v1/sticks/S-3/defects', tingle, 'bench')).status).toBe(201)
  await stack.settle()
  const asked = { factId: randomUUID(), stickIds: ['S-3'] }
  expect((await stack.call('POST', '/v1/reminders', asked, 'manager')).status).toBe(201)
  await stack.settle()
  const [mail] = await reminders(bo)
  expect(mail?.subject).toContain('Marek Ahlgren reminds you: 1 stick must not be used')
  const link = /href="([^"]*\/answers\/[^"]+)"/.exec(mail?.html ?? '')?.[1]?.replaceAll('&amp;', '&') ?? ''
  expect((await fetch(link, { method: 'POST' })).status).toBe(200)
  const unanswered = async (to: string) =>
    (await stack.mail(to)).filter(({ subject }) => subject.includes('must not be used, and')).length
  await stack.clock('2026-03-07T15:00:00Z')
  await stack.settle()
  for (const to of ['manager@demo-utility.example', bo]) expect(await unanswered(to)).toBe(0)
  expect(await stack.prove()).toContain('is the replay')
})

/** As much of an element as says what it is called. */
interface Named {
  readonly ariaLabel: string | null
  readonly labels?: ArrayLike<{ readonly textContent: string }>
  readonly textContent: string
}

const focused = (page: Page) =>
  page.locator(':focus').evaluate((one) => {
    const { ariaLabel, labels, textContent } = one as unknown as Named
    return (ariaLabel ?? labels?.[0]?.textContent ?? textContent).trim()
  })

/** Presses Tab until what is called so has the focus, and ends where nothing is. */
async function tabTo(page: Page, name: string): Promise<void> {
  const passed: string[] = []
  while (passed.length < 60) {
    await page.keyboard.press('Tab')
    const here = await focused(page)
    if (here === name) return
    passed.push(here)
  }
  throw new Error(`nothing is called ${name}: ${passed.join(', ')}`)
}

test('on the roster two are chosen by keyboard alone, without a script, and their crews have mail', async () => {
  await stack.clock('2026-03-09T15:00:00Z')
  await stack.settle()
  const settings = { locale: 'en-GB', viewport: { width: 1280, height: 900 }, javaScriptEnabled: false }
  const page = await (await contextFor(browser, stack, settings)).newPage()
  await page.goto(`${stack.pages}/roster?status=overdue`)
  const before = await Promise.all([ana, bo, eva].map(async (to) => (await reminders(to)).length))
  for (const box of ['Stick S-1', 'Stick S-4']) {
    await tabTo(page, box)
    await page.keyboard.press('Space')
  }
  await tabTo(page, 'Remind their crews')
  await page.keyboard.press('Enter')
  await page.waitForURL(/\/remind\?/)
  expect(await page.locator('h1').textContent()).toBe('Remind the readers of 2 sticks')
  await tabTo(page, 'A word of your own (may stay empty)')
  await page.keyboard.type('Both today, please.')
  await tabTo(page, 'Remind them now')
  await page.keyboard.press('Enter')
  await page.waitForURL(/done=recorded/)
  expect(await page.locator('h1').textContent()).toBe('3 people are written to')
  expect(await page.locator('main').textContent()).toContain('Eva Rey (foreman)')
  await stack.settle()
  const after = await Promise.all([ana, bo, eva].map(async (to) => (await reminders(to)).length))
  expect(after).toEqual(before.map((count) => count + 1))
  const [mail] = await reminders(ana)
  expect(mail?.text).toContain('Both today, please.')
  expect(mail?.text).toContain('/sticks/S-1')
  expect(mail?.text).not.toMatch(/\bS-4\b/)
  await tabTo(page, 'To the roster')
  await page.keyboard.press('Enter')
  await page.waitForURL(/\/roster\?status=overdue$/)
  await page.context().close()
})
