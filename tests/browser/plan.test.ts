/**
 * A manager plans a bench in a real browser: says its hours, loses two weeks to a storm, sees what breaks, adds the
 * hours that are lacking, sees it mend, tries other hours, and takes out the pick list. On a phone's width too.
 */
import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import type { Browser, Page } from 'playwright-core'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { bring, furnish, put } from '../journeys/furnish.ts'
import { type LocalStack, startStack } from '../local-stack.ts'
import { aStick, aTest, day } from '../support/trade.ts'
import { openBrowser } from './browser.ts'
import { contextFor } from './signed-in.ts'

let stack: LocalStack
let browser: Browser
let page: Page
beforeAll(async () => {
  stack = await startStack({ memory: true })
  browser = await openBrowser()
  await stack.day('2026-03-02') // a Monday
  await furnish(stack)
  // two years on, these fall due on 10, 12 and 14 March 2026, and then through the spring
  for (const [i, testedOn] of ['2024-03-10', '2024-03-12', '2024-03-14', '2024-04-02', '2024-05-14'].entries()) {
    await put(stack, `/v1/sticks/B-${i}`, aStick)
    await bring(stack, aTest({ testedOn: day(testedOn) }), `B-${i}`)
  }
  page = await (await contextFor(browser, stack, { locale: 'en-GB', viewport: { width: 1280, height: 900 } })).newPage()
})
afterAll(async () => {
  await browser?.close()
  await stack?.stop()
})

const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8')
async function axeFinds(): Promise<string[]> {
  await page.evaluate(axe)
  return page.evaluate(async () => {
    const { axe: one } = globalThis as unknown as {
      axe: { run(): Promise<{ violations: { id: string; nodes: { html: string }[] }[] }> }
    }
    const { violations } = await one.run()
    return violations.flatMap(({ id, nodes }) => nodes.map((node) => `${id}: ${node.html}`))
  })
}

const shown = async () => (await page.locator('main').textContent())?.replaceAll(/\s+/g, ' ')

async function saved(): Promise<void> {
  await stack.settle()
  await page.goto(`${stack.pages}/plan?depot=DEP-1`)
}

test('from the weeks ahead to the plan; its hours are said, and nothing breaks', async () => {
  await page.goto(`${stack.pages}/outlook`)
  await page.getByRole('link', { name: 'Plan of the bench' }).click()
  expect(await shown()).toContain('There is no plan of this bench yet')
  await page.getByLabel('Hours in a usual week').fill('15')
  await page.getByLabel('at least so many per cent').fill('0')
  await page.getByLabel('Weeks to keep before a due date').fill('1')
  await page.getByRole('button', { name: 'Save and plan anew' }).click()
  await saved()
  expect(await shown()).toContain('Nothing breaks')
  const rows = page.locator('table.plan tbody tr')
  expect(await rows.first().locator('th').textContent()).toContain('2 March 2026')
  expect(await rows.first().getByRole('link', { name: /^B-/ }).allInnerTexts()).toEqual(['B-0', 'B-1', 'B-2'])
  expect(await axeFinds()).toEqual([])
})

test('two weeks are lost: it says how many hours are lacking, and those hours mend it', async () => {
  await page.getByText('Weeks with other hours').click()
  await page.getByLabel('From the week of').fill('2026-03-02')
  await page.getByLabel('To the week of').fill('2026-03-13')
  await page.getByLabel('Hours in each of these weeks').fill('0')
  await page.locator('details[open]').getByRole('button', { name: 'Save and plan anew' }).click()
  await saved()
  const breaks = page.getByRole('region', { name: 'What breaks' })
  const [, hours = ''] =
    /2 March 2026 the bench lacks ([\d.]+) hours for 3 sticks/.exec((await breaks.textContent()) ?? '') ?? []
  expect(Number(hours)).toBeGreaterThan(1)
  expect(await axeFinds()).toEqual([])
  await page.setViewportSize({ width: 390, height: 800 })
  await page.reload()
  expect(await page.evaluate('document.documentElement.scrollWidth')).toBe(390)
  await page.getByLabel('From the week of').fill('2026-03-04')
  await page.getByLabel('Hours in each of these weeks').fill(hours)
  await page.locator('details[open]').getByRole('button', { name: 'Save and plan anew' }).click()
  await saved()
  expect(await shown()).toContain('Nothing breaks')
})

test('a stick gets the week that somebody chose, and the page says why it moved', async () => {
  await page.getByText('Choose the week of a stick').click()
  await page.getByLabel('Number of the stick').fill('B-4')
  await page.getByLabel('In the week of').first().fill('2026-04-15')
  await page.locator('details[open]').getByRole('button', { name: 'Save and plan anew' }).click()
  await saved()
  const line = page.locator('#changed + table tbody tr', { hasText: 'B-4' })
  expect((await line.textContent())?.replaceAll(/\s+/g, ' ')).toMatch(/13 April 2026.*somebody chose its week/)
})

test('other hours are tried beside the plan, and nothing of it is stored', async () => {
  await page.getByRole('link', { name: 'Try other hours' }).click()
  await page.getByLabel('Bench closed from the week of').fill('2026-03-02')
  await page.getByLabel('for so many weeks').fill('4')
  await page.getByRole('button', { name: 'See what would follow' }).click()
  const row = page.getByRole('row', { name: /^Hours that the bench lacks/ })
  const [today, tried] = (await row.locator('td').allInnerTexts()).map(Number)
  expect(today).toBe(0)
  expect(tried).toBeGreaterThan(1)
  expect(await page.evaluate('document.documentElement.scrollWidth')).toBe(390)
  expect(await axeFinds()).toEqual([])
  await page.getByRole('link', { name: 'Back to the plan' }).click()
  expect(await shown()).toContain('Nothing breaks')
})

test('the pick list of a week is a file with the sticks, their crew and their dates', async () => {
  const download = page.waitForEvent('download')
  await page
    .getByRole('link', { name: /Pick list/ })
    .first()
    .click()
  const list = readFileSync(await (await download).path(), 'utf8')
  expect(
    list
      .split('\r\n')
      .slice(1, -1)
      .map((one) => one.split(',').slice(0, 4).join(',')),
  ).toEqual([
    `"2026-03-02","B-0","Crew one","2026-03-10"`,
    `"2026-03-02","B-1","Crew one","2026-03-12"`,
    `"2026-03-02","B-2","Crew one","2026-03-14"`,
  ])
})
