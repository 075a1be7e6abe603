/**
 * A manager moves in from a spreadsheet in a real browser: sends it, says which column is which, looks at what is
 * wrong, mends it, has it taken in, and each reader has one mail of what must not be used. On a phone's width too.
 */
import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import type { Browser, Page } from 'playwright-core'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { furnish, lookAt, put } from '../journeys/furnish.ts'
import { type LocalStack, startStack } from '../local-stack.ts'
import { aStick } from '../support/trade.ts'
import { openBrowser } from './browser.ts'
import { contextFor } from './signed-in.ts'

const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8')

let stack: LocalStack
let browser: Browser
let page: Page
beforeAll(async () => {
  stack = await startStack({ memory: true })
  browser = await openBrowser()
  await stack.day('2026-03-02')
  await furnish(stack)
  for (const id of ['P-1', 'P-2', 'P-3']) await put(stack, `/v1/sticks/${id}`, aStick)
  await stack.settle()
  page = await (await contextFor(browser, stack, { locale: 'en-GB', viewport: { width: 1280, height: 900 } })).newPage()
})
afterAll(async () => {
  await browser?.close()
  await stack?.stop()
})

/** Headings that nobody knows, and a day that reads two ways. */
const rows = (third: string) =>
  ['Pole;When;Outcome', 'P-1;03/04/2025;passed', `${third};03/04/2025;failed`, 'P-3;13/02/2024;failed'].join('\r\n')

async function send(text: string): Promise<void> {
  await page.goto(`${stack.pages}/imports`)
  await page.getByLabel('What the rows are').selectOption('bench-tests')
  await page.getByRole('button', { name: 'Go on to the file' }).click()
  await page
    .getByLabel('The file')
    .setInputFiles({ name: 'tests.csv', mimeType: 'text/csv', buffer: Buffer.from(text) })
  await page.getByRole('button', { name: 'Send and check' }).click()
  await page.waitForURL(/\/imports\//)
  await stack.settle()
  await page.reload()
}

const shown = async () => (await page.locator('main').textContent())?.replaceAll(/\s+/g, ' ')

/** Wide and on a phone: axe finds nothing, and nothing runs off the side. */
async function isClean(): Promise<void> {
  for (const width of [1280, 390]) {
    await page.setViewportSize({ width, height: 900 })
    await page.evaluate(axe)
    const found = await page.evaluate(async () => {
      const { axe: one, document } = globalThis as unknown as {
        axe: { run(): Promise<{ violations: { id: string; nodes: { html: string }[] }[] }> }
        document: { documentElement: { scrollWidth: number } }
      }
      const { violations } = await one.run()
      const wrong = violations.map(({ id, nodes }) => `${id}: ${nodes[0]?.html}`)
      return { wrong, scrolls: document.documentElement.scrollWidth }
    })
    expect(found).toEqual({ wrong: [], scrolls: width })
  }
}

test('it is sent, and asks which column is which; the answers are taken', async () => {
  await send(rows('P-9'))
  expect(await shown()).toContain('Before the rows can be checked')
  await isClean()
  for (const [heading, field] of [
    ['Pole', 'stickId'],
    ['When', 'testedOn'],
    ['Outcome', 'passed'],
  ] as const)
    await page.getByLabel(`${heading}: What it holds`).selectOption(field)
  await page.getByRole('button', { name: 'Check again' }).click()
  await stack.settle()
  await page.reload()
})

test('what is wrong stands by row, and nothing has changed', async () => {
  expect(await shown()).toContain('P-9')
  await isClean()
  expect((await lookAt(stack, 'P-3')).status).toBe('awaiting first test')
})

test('mended and sent again, it is taken in, and its page says so', async () => {
  await send(rows('P-2'))
  await isClean()
  await page.getByRole('button', { name: 'Take in all 3 rows' }).click()
  await stack.settle()
  await page.reload()
  expect(await shown()).toContain('3 new')
  expect((await lookAt(stack, 'P-3')).holds).toMatchObject([{ code: 'failed-before' }])
  await isClean()
})

test('each reader has one mail of all that must not be used', async () => {
  const told = (await stack.mail('ana@crew-one.example')).filter(({ subject }) => /records from before/.test(subject))
  expect(told.map(({ subject }) => subject.replace(/ \[.*/, ''))).toEqual([
    '2 sticks are on hold by records from before: do not use them',
  ])
  for (const id of ['P-2', 'P-3']) expect(told[0]?.text).toContain(id)
  expect(told[0]?.text).not.toContain('P-1')
})

test('in Spanish nothing runs off the side either', async () => {
  const settings = { locale: 'es', viewport: { width: 1280, height: 900 } }
  const spanish = await (await contextFor(browser, stack, settings)).newPage()
  for (const path of ['/imports', '/sticks/P-3', '/count-before?stick=P-1']) {
    await spanish.goto(`${stack.pages}${path}`)
    expect(await spanish.evaluate('document.documentElement.scrollWidth')).toBe(1280)
  }
  await spanish.context().close()
})

test('the stick says that it was tested before, and nothing of its readings', async () => {
  await page.goto(`${stack.pages}/sticks/P-1`)
  expect(await shown()).toContain('It was tested on 3 April 2025, before this service was used, and passed.')
  await isClean()
})
