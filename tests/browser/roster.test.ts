/**
 * The roster in a real browser: how much of it a screen and a sheet of paper hold, and that a hold is told from what
 * ran out.
 */
import { randomUUID } from 'node:crypto'
import { createRequire } from 'node:module'
import type { Browser, Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { furnish, openHouse } from '../functions/house.ts'
import { pagesOf } from '../support/pages.ts'
import { sampled } from '../support/tier.ts'
import { aStick, aTest, day } from '../support/trade.ts'
import { openBrowser } from './browser.ts'

const axe = createRequire(import.meta.url).resolve('axe-core/axe.min.js')
const house = openHouse()
const pages = pagesOf(house)

let browser: Browser
beforeAll(async () => {
  await furnish(house)
  const enter = async (stickId: string, testedOn: string) => {
    await house.done('PUT', `/v1/sticks/${stickId}`, { ...aStick, crewId: 'CR-1', lot: 'L-1' })
    await house.done('POST', `/v1/sticks/${stickId}/bench-tests`, aTest({ testedOn: day(testedOn) }))
  }
  for (let i = 0; i < 62; i++) await enter(`O-${1000 + i}`, `2024-01-${10 + (i % 20)}`)
  for (const stickId of ['H-1', 'H-2']) {
    await enter(stickId, '2026-02-20')
    const defect = { factId: randomUUID(), occurredOn: '2026-03-02', kind: 'tingle' }
    await house.done('POST', `/v1/sticks/${stickId}/defects`, defect)
  }
  await enter('L-1', '2026-02-20')
  const loan = { factId: randomUUID(), occurredOn: '2026-03-02', to: { lentTo: 'Neighbours', returnBy: '2026-03-20' } }
  await house.done('POST', '/v1/sticks/L-1/moves', loan)
  browser = await openBrowser()
})
afterAll(async () => browser?.close())

type Settings = NonNullable<Parameters<Page['emulateMedia']>[0]> & {
  readonly width?: number
  readonly language?: string
}

async function open(path: string, { width = 1280, language = 'en', ...media }: Settings = {}): Promise<Page> {
  const page = await browser.newPage({ viewport: { width, height: 800 } })
  await page.emulateMedia(media)
  const answer = await pages.request(path, { headers: { 'accept-language': language } })
  await page.setContent(await answer.text())
  return page
}

/** Where each row begins and ends. */
const rowsOn = (page: Page) =>
  page.locator('table.rows tbody tr:not(.group)').evaluateAll((rows) =>
    rows.map((row) => {
      const { top, bottom } = (
        row as unknown as { getBoundingClientRect(): { top: number; bottom: number } }
      ).getBoundingClientRect()
      return { top, bottom }
    }),
  )

describe.each(['en', 'es'])('in %s', (language) => {
  test('25 rows end within a screen and a half', async () => {
    const page = await open('/roster?status=overdue', { language })
    const rows = await rowsOn(page)
    expect(rows).toHaveLength(25)
    expect(rows.at(-1)?.bottom).toBeLessThanOrEqual(1200)
    await page.close()
  })

  test('a row is a low card on a phone, and the first of them is on its first screen', async () => {
    for (const path of ['/roster?status=overdue', '/roster?status=on+hold', '/roster?lent=true']) {
      const page = await open(path, { language, width: 390 })
      const rows = await rowsOn(page)
      for (const { top, bottom } of rows) expect(bottom - top).toBeLessThanOrEqual(130)
      expect(rows[0]?.bottom).toBeLessThan(844)
      await page.close()
    }
  })
})

const looks: [string, Settings][] = [
  ['on a screen', {}],
  ['on a phone, dark', { width: 390, colorScheme: 'dark' }],
  ['on a screen, dark', { colorScheme: 'dark' }],
  ['on a phone', { width: 390 }],
  ['on paper', { media: 'print' }],
  ['in forced colours', { forcedColors: 'active' }],
]
const paths = [
  '/roster?q=O-10&lot=L-1',
  '/roster?status=on+hold&group=crew',
  '/roster?store=DEP-1',
  '/roster?lent=true',
  '/roster?status=overdue&crew=CR-1&tick=all',
  '/remind?stick=O-1000&stick=O-1001&stick=H-1&stick=L-1',
]

describe.each(sampled(looks, 3))('%s', (_, settings) => {
  test.each(paths)('axe finds nothing on %s, and nothing runs off the side', async (path) => {
    const page = await open(path, settings)
    await page.addScriptTag({ path: axe })
    const found = await page.evaluate(async () => {
      const { axe, document } = globalThis as unknown as {
        axe: { run(): Promise<{ violations: { id: string; nodes: { html: string }[] }[] }> }
        document: { documentElement: { scrollWidth: number; clientWidth: number } }
      }
      const { violations } = await axe.run()
      const { scrollWidth, clientWidth } = document.documentElement
      return {
        faults: violations.map(({ id, nodes }) => `${id}: ${nodes[0]?.html}`),
        beyond: scrollWidth - clientWidth,
      }
    })
    expect(found).toEqual({ faults: [], beyond: 0 })
    await page.close()
  })
})

test('all choices are reached by keyboard, where there is room without anything to unfold first', async () => {
  const page = await open('/roster?status=overdue')
  await page.getByLabel('Status').focus()
  const reached: string[] = []
  for (let i = 0; i < 4; i++) {
    await page.keyboard.press('Tab')
    reached.push(await page.evaluate(() => (globalThis as unknown as Focus).document.activeElement.textContent ?? ''))
  }
  expect(reached.map((one) => one.trim().split('\n')[0])).toEqual([
    expect.stringContaining('every depot'),
    expect.stringContaining('every crew'),
    'Lot, store, bench, loans',
    'Show',
  ])
  await page.close()
  const phone = await open('/roster?status=overdue', { width: 390 })
  expect(await phone.getByLabel('Status').isVisible()).toBe(false)
  await phone.getByText('Choose what is shown').click()
  expect(await phone.getByLabel('Status').isVisible()).toBe(true)
  await phone.close()
})

/** Of a browser's own things, what is used above. */
interface Focus {
  readonly document: { readonly activeElement: { readonly textContent: string | null } }
}

describe('on paper', () => {
  test('it lies across, with as of when and what was chosen, and without what is only for a screen', async () => {
    const page = await open('/roster?status=overdue&crew=CR-1', { media: 'print' })
    for (const gone of ['header nav', 'form.find', 'details.choices', '.forms', '.off', 'nav.pages'])
      for (const one of await page.locator(gone).all()) expect(await one.isVisible(), gone).toBe(false)
    const head = page.locator('thead tr.paper')
    expect(await head.isVisible()).toBe(true)
    expect(await head.textContent()).toBe('As of 2 March 2026, 09:00 CST · overdue · Crew one')
    expect(await page.locator('.as-of').isVisible()).toBe(true)
    const pdf = (await page.pdf({ preferCSSPageSize: true })).toString('latin1')
    const sheets = [...pdf.matchAll(/\/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]/g)]
    expect(sheets.length).toBeGreaterThan(0)
    for (const [, width, height] of sheets) expect(Number(width)).toBeGreaterThan(Number(height))
    await page.close()
  })

  test('no row is broken over two sheets, and each sheet begins with the same head', async () => {
    const page = await open('/roster?group=crew', { media: 'print' })
    const styles = await page.locator('table.rows tr').evaluateAll((rows) =>
      rows.map((row) => {
        const { getComputedStyle } = globalThis as unknown as {
          getComputedStyle(one: unknown): { breakInside: string }
        }
        return getComputedStyle(row).breakInside
      }),
    )
    expect(new Set(styles)).toEqual(new Set(['avoid']))
    await page.close()
  })
})

test.each([
  ['on a screen', {}],
  ['in the dark', { colorScheme: 'dark' }],
  ['in forced colours', { forcedColors: 'active' }],
] as const)('%s a hold is solid and what ran out is outlined', async (_, settings) => {
  const page = await open('/roster?q=-1&group=crew', settings)
  const inkOf = async (status: string) => {
    const mark = page.locator(`.how .status.${status}`).first()
    return mark.evaluate((one) => {
      const { getComputedStyle } = globalThis as unknown as {
        getComputedStyle(one: unknown): { color: string; backgroundColor: string; borderTopWidth: string }
      }
      const light = (colour: string) =>
        (colour.match(/\d+/g) ?? []).slice(0, 3).reduce((sum, part) => sum + Number(part), 0) / 765
      const { color, backgroundColor, borderTopWidth } = getComputedStyle(one)
      const page = getComputedStyle((one as unknown as { ownerDocument: { body: unknown } }).ownerDocument.body)
      return {
        // how far its ground is from that of the page
        weight: Math.abs(light(backgroundColor) - light(page.backgroundColor)),
        contrast: Math.abs(light(color) - light(backgroundColor)),
        border: borderTopWidth,
      }
    })
  }
  const [held, late] = [await inkOf('stop'), await inkOf('late')]
  expect(held.weight).toBeGreaterThan(late.weight + 0.3)
  expect(held.contrast).toBeGreaterThan(0.4)
  expect(late.border).toBe('2px')
  await page.close()
})
