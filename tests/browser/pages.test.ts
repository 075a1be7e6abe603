/** The pages of the stack in a real browser: the keyboard, whole lists, two zones, links. */
import { randomUUID } from 'node:crypto'
import type { Browser, Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { bring, furnish, put } from '../journeys/furnish.ts'
import { type LocalStack, startStack } from '../local-stack.ts'
import { aCrew, aStick, aTest, day, overTheLimit } from '../support/trade.ts'
import { openBrowser } from './browser.ts'
import { contextFor } from './signed-in.ts'

let stack: LocalStack
let browser: Browser
beforeAll(async () => {
  stack = await startStack({ memory: true })
  browser = await openBrowser()
  await stack.day('2026-03-02')
  await furnish(stack)
  await put(stack, '/v1/sticks/S-2', aStick)
  await bring(stack, aTest({ testedOn: day('2024-04-20') }), 'S-2')
  await bring(stack, aTest())
  await stack.day('2026-05-02')
  await bring(stack, overTheLimit({ testedOn: day('2026-05-02') }))
  await stack.settle()
})
afterAll(async () => {
  await browser?.close()
  await stack?.stop()
})

async function open(path: string, settings: Parameters<Browser['newContext']>[0] = {}): Promise<Page> {
  const wide = { locale: 'en-GB', viewport: { width: 1280, height: 900 } }
  const context = await contextFor(browser, stack, { ...wide, ...settings })
  const page = await context.newPage()
  await page.goto(stack.pages + path)
  return page
}

describe('the roster', () => {
  test('is filtered by keyboard alone', async () => {
    const page = await open('/roster')
    await page.getByLabel('Status').focus()
    await page.keyboard.type('on hold')
    for (const name of ['Depot', 'Crew']) {
      await page.keyboard.press('Tab')
      expect(
        await page.evaluate(
          () =>
            (globalThis as unknown as { document: { activeElement: { name: string } } }).document.activeElement.name,
        ),
      ).toBe(name.toLowerCase())
    }
    // past what unfolds more choices
    await page.keyboard.press('Tab')
    await page.keyboard.press('Tab')
    await page.keyboard.press('Enter')
    await page.waitForURL(/status=on(\+|%20)hold/)
    expect(await page.locator('tbody tr').count()).toBe(1)
    await page.context().close()
  })

  test('pages through every stick once', async () => {
    for (let i = 0; i < 30; i++) await put(stack, `/v1/sticks/P-${String(i).padStart(2, '0')}`, aStick)
    const page = await open('/roster')
    const seen: string[] = []
    for (;;) {
      seen.push(...(await page.locator('tbody th a').allInnerTexts()))
      const next = page.getByRole('link', { name: 'Next sticks' })
      if ((await next.count()) === 0) break
      await next.click()
    }
    expect(seen.length).toBe(32)
    expect(new Set(seen).size).toBe(32)
    expect(seen.slice(0, 2)).toEqual(['S-2', 'S-1'])
    await page.context().close()
  })

  test('shows the depot’s dates whatever the zone of the browser', async () => {
    const dates = async (timezoneId: string) => {
      const page = await open('/roster', { timezoneId })
      const found = await page.locator('time').allInnerTexts()
      await page.context().close()
      return found
    }
    const inApia = await dates('Pacific/Apia')
    expect(inApia.length).toBeGreaterThan(0)
    expect(await dates('America/Los_Angeles')).toEqual(inApia)
  })

  test('leads to what was told, and each stick to what was told of it', async () => {
    const page = await open('/roster')
    await page.getByRole('link', { name: 'Notices' }).click()
    await page.waitForURL(/\/notices$/)
    expect(await page.locator('tbody tr').count()).toBeGreaterThan(1)
    await page.goto(`${stack.pages}/sticks/S-1`)
    await page.getByRole('link', { name: 'What was told of it, and to whom' }).click()
    expect(await page.getByRole('heading', { level: 1 }).textContent()).toBe('Notices about stick S-1')
    expect(new Set(await page.locator('td[data-label="What"]').allInnerTexts())).toEqual(new Set(['On hold']))
    await page.context().close()
  })

  test('a name that does not exist is a page that says so', async () => {
    const page = await open('/sticks/no-such-stick')
    expect(await page.getByRole('heading', { level: 1 }).textContent()).toBe('Nothing of this name exists')
    await page.context().close()
  })
})

test('the page of notices begins with the addresses that nothing is sent to', async () => {
  const lost = 'bounce@simulator.amazonses.com'
  const recipients = aCrew.recipients.map((one) => (one.role === 'foreman' ? { ...one, email: lost } : one))
  await put(stack, '/v1/crews/CR-1', { ...aCrew, recipients })
  const drop = { factId: randomUUID(), occurredOn: '2026-05-02', kind: 'drop' }
  expect((await stack.call('POST', '/v1/sticks/S-2/defects', drop)).status).toBe(201)
  await stack.settle()
  const page = await open('/notices')
  expect(await page.getByRole('region', { name: 'Nothing is sent to 1 address' }).textContent()).toContain(
    'mail came back',
  )
  await page.context().close()
})
