/**
 * Pages that are opened beside a truck, on a phone: whatever is tapped is wide and high enough for a gloved finger, and
 * with letters twice as large nothing runs off the side.
 */
import type { Browser, Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { type Furnished, furnishEveryPage } from '../functions/every-page.ts'
import { type House, openHouse } from '../functions/house.ts'
import { pagesOf } from '../support/pages.ts'
import { openBrowser } from './browser.ts'

let furnished: Furnished
let house: House
let browser: Browser
let page: Page
beforeAll(async () => {
  furnished = await furnishEveryPage()
  house = openHouse(furnished.items)
  browser = await openBrowser()
  page = await browser.newPage({ viewport: { width: 390, height: 844 } })
})
afterAll(async () => browser?.close())

const paths = [
  '/crew',
  '/say',
  '/say?stick=%3F',
  '/sticks/S-1',
  ...['say', 'report', 'missing', 'use', 'look', 'report?done=recorded'].map((act) => `/sticks/S-1/${act}`),
  '/crews/CR-1/feeds',
]

async function open(path: string): Promise<void> {
  const text = await pagesOf(house, 'crew').request(furnished.address(path))
  await page.setContent(await text.text())
}

/** Whatever is tapped, but for a link amid the words of a sentence, or of a table that is read and not worked with. */
const tapped = 'a, button, input, select, textarea, summary, label.tile, label.part'
const amidWords = 'main p:not(.acts, .send, .secret) a, main td a, main dd a, main th a, .skip, [aria-hidden]'

/** The box that counts for a choice is that of its label. */
const small = `[...document.querySelectorAll('${tapped}')]
  .filter((one) => !one.matches('${amidWords}') && one.checkVisibility())
  .map((one) => (/radio|checkbox/.test(one.type) ? (one.closest('label') ?? one) : one))
  .map((one) => ({ is: one.outerHTML.slice(0, 80), box: one.getBoundingClientRect() }))
  .filter(({ box: { width, height } }) => width > 0 && (width < 44 || height < 44))
  .map(({ is, box }) => is + ': ' + Math.round(box.width) + ' × ' + Math.round(box.height))`

const wide = `[...document.querySelectorAll('body *')]
  .filter((one) => one.closest('.wide, .skip') === null && one.getBoundingClientRect().right > innerWidth + 1)
  .map((one) => one.outerHTML.slice(0, 80))`

describe.each(paths)('%s', (path) => {
  test('is tapped with a gloved finger', async () => {
    await open(path)
    await page.evaluate(`document.querySelectorAll('details').forEach((one) => { one.open = true })`)
    expect(await page.evaluate(small)).toEqual([])
  })

  test('is read with letters twice as large', async () => {
    await open(path)
    await page.addStyleTag({ content: 'html { font-size: 200% } body { font-size: 2rem }' })
    expect(await page.evaluate(wide)).toEqual([])
    expect(await page.evaluate('document.documentElement.scrollWidth - innerWidth')).toBeLessThanOrEqual(0)
  })
})
