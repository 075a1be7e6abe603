/**
 * A technician at the bench, over the template as it is deployed: a whole test with the keyboard alone, one that
 * outlives its page, its link and its session, and two people on one stick.
 */
import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import type { Browser, BrowserContext, Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { pageWordingFor } from '../../functions/pages/wording.ts'
import { type LocalStack, startStack } from '../local-stack.ts'
import { aCrew, aDepot, anInstrument, aProcedure, aStick, aTest, day } from '../support/trade.ts'
import { openBrowser } from './browser.ts'
import { contextFor } from './signed-in.ts'

const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8')
const { say, word } = await pageWordingFor({ language: 'en' })
const now = '2026-03-02T15:00:00.000Z'
const phone = { width: 390, height: 844 }
const sticks = ['S-1', 'S-2', 'S-3', 'S-4', 'S-5', 'S-6', 'S-7', 'S-8']

let stack: LocalStack
let browser: Browser
beforeAll(async () => {
  stack = await startStack({ memory: true })
  await stack.clock(now)
  browser = await openBrowser()
  const put = async (path: string, body: object) => done('PUT', path, body)
  await put('/v1/depots/DEP-1', aDepot)
  await put('/v1/crews/CR-1', aCrew)
  await put('/v1/instruments/INS-1', anInstrument)
  await put('/v1/procedures/PRC-1', aProcedure)
  for (const stick of sticks) {
    await put(`/v1/sticks/${stick}`, aStick)
    await done('POST', `/v1/sticks/${stick}/bench-tests`, aTest({ testedOn: day('2025-03-10') }))
    const move = { factId: crypto.randomUUID(), occurredOn: '2026-03-02', at: '08:00', to: { bench: 'DEP-1' } }
    await done('POST', `/v1/sticks/${stick}/moves`, move)
  }
  await stack.settle()
})
afterAll(async () => {
  await browser?.close()
  await stack?.stop()
})

async function done(method: string, path: string, body: object): Promise<void> {
  const { status, text } = await stack.call(method, path, body)
  if (status > 201) throw new Error(`${path}: ${status} ${text}`)
}

async function bench(more: { viewport?: typeof phone; locale?: string; person?: string } = {}) {
  const context = await contextFor(browser, stack, { person: 'bench', locale: 'en-GB', ...more })
  await context.clock.setFixedTime(Date.parse(now))
  return context
}

const isReady = (page: Page) => page.locator('html[data-bench="ready"]').waitFor({ state: 'attached' })

async function opened(context: BrowserContext, path: string): Promise<Page> {
  const page = await context.newPage()
  await page.goto(stack.pages + path)
  await isReady(page)
  return page
}

const stageOf = (page: Page) => page.locator('#bench-entry').getAttribute('data-stage')
const where = (page: Page) => page.locator('#bench-place').textContent()

interface Fact {
  readonly kind: string
  readonly factId: string
  readonly occurredOn: string
  readonly at?: string
  readonly recordedBy: string
  readonly test: { dry?: { readings: Reading[] }; wet?: { readings: Reading[] }; testedBy: unknown }
}
interface Reading {
  readonly leakageMicroamps: number
  readonly settled?: boolean
}

/** Tests that were recorded at the bench; each stick came with one. */
async function testsOf(stick: string): Promise<readonly Fact[]> {
  const { json } = await stack.call('GET', `/v1/sticks/${stick}/facts`)
  return (json as { items: Fact[] }).items.filter((fact) => fact.kind === 'tested').slice(1)
}

const figuresOf = (fact: Fact | undefined, state: 'dry' | 'wet') =>
  fact?.test[state]?.readings.map(({ leakageMicroamps }) => leakageMicroamps)

/** Goes on with Tab until the focus is where it is wanted. */
async function tabTo(page: Page, name: string | RegExp): Promise<void> {
  for (let i = 0; i < 40; i++) {
    const said = await page.evaluate(() => {
      const { document } = globalThis as unknown as {
        document: { activeElement: { labels?: { textContent: string }[]; textContent: string } }
      }
      const { labels, textContent } = document.activeElement
      return (labels?.[0]?.textContent ?? textContent).trim()
    })
    if (typeof name === 'string' ? said === name : name.test(said)) return
    await page.keyboard.press('Tab')
  }
  throw new Error(`no way to ${name} by Tab`)
}

async function examineByKeyboard(page: Page): Promise<void> {
  await tabTo(page, say('bench gloss sound'))
  await page.keyboard.press('Space')
  await tabTo(page, say('bench cleaned'))
  await page.keyboard.press('Space')
  await tabTo(page, say('bench waxed'))
  await page.keyboard.press('Space')
  await goOnByKeyboard(page)
}

async function goOnByKeyboard(page: Page): Promise<void> {
  await tabTo(page, say('bench go on'))
  await page.keyboard.press('Enter')
}

async function checkByKeyboard(page: Page): Promise<void> {
  await tabTo(page, say('bench check open'))
  await page.keyboard.type('0')
  await page.keyboard.press('Enter')
  await page.keyboard.type('98')
  await goOnByKeyboard(page)
}

async function mistByKeyboard(page: Page): Promise<void> {
  await tabTo(page, word('water', 'distilled'))
  await page.keyboard.press('Space')
  await tabTo(page, word('appearance', 'beads'))
  await page.keyboard.press('Space')
  await checkByKeyboard(page)
}

async function typeReadings(page: Page, figures: readonly string[]): Promise<void> {
  for (const figure of figures) {
    await page.keyboard.type(figure)
    await page.keyboard.press('Enter')
  }
}

/** Ten spans on each of four turns, no two of them the same in a row. */
const dry = Array.from({ length: 40 }, (_, i) => `4${i % 2 === 0 ? ',' : '.'}${i % 5}`)
const wet = Array.from({ length: 40 }, (_, i) => `9.${i % 7}`)
const asNumbers = (figures: readonly string[]) => figures.map((one) => Number(one.replace(',', '.')))

const isKept = (page: Page, mark: string) =>
  page.locator(`#bench-entry[data-kept="${mark}"]`).waitFor({ state: 'attached' })

const faultsIn = async (page: Page): Promise<string[]> => {
  await page.evaluate(axe)
  return page.evaluate(async () => {
    const { axe: one } = globalThis as unknown as {
      axe: { run(): Promise<{ violations: { id: string; nodes: { html: string }[] }[] }> }
    }
    return (await one.run()).violations.map(({ id, nodes }) => `${id}: ${nodes[0]?.html}`)
  })
}

const verdictOn = (page: Page) => page.locator('.verdict').first().textContent()

describe('a whole test of 2.4 m', () => {
  test('goes from the queue to its verdict with the keyboard alone, a reading in its digits plus one', async () => {
    const context = await bench()
    const page = await opened(context, '/bench')
    // what a scanner types, in whatever case
    await page.keyboard.type('s-1')
    await page.keyboard.press('Enter')
    await isReady(page)
    expect(new URL(page.url()).pathname).toBe('/bench/S-1')
    await examineByKeyboard(page)
    expect(await stageOf(page)).toBe('before dry')
    await checkByKeyboard(page)
    expect(await where(page)).toContain('0 m to 0.3 m')

    await page.evaluate(countKeys)
    await typeReadings(page, dry)
    expect(await page.evaluate(keysCounted)).toBe(dry.join('').length + dry.length)
    await page.keyboard.press('Enter')
    expect(await stageOf(page)).toBe('before wet')
    await mistByKeyboard(page)
    await typeReadings(page, wet)
    await page.keyboard.press('Enter')
    expect(await stageOf(page)).toBe('send')
    await page.getByText(say('bench nothing lacks')).waitFor()
    await tabTo(page, say('bench send'))
    await page.keyboard.press('Enter')
    await page.waitForURL(/\/sticks\/S-1\/bench-tests\//)
    expect(await verdictOn(page)).toBe('pass')

    const tests = await testsOf('S-1')
    expect(tests).toHaveLength(1)
    expect(figuresOf(tests[0], 'dry')).toEqual(asNumbers(dry))
    expect(figuresOf(tests[0], 'wet')).toEqual(asNumbers(wet))
    expect(tests[0]?.test.wet?.readings.every(({ settled }) => settled)).toBe(true)
    // 15:00 UTC in Chicago, in winter; nobody typed it
    expect(tests[0]).toMatchObject({ occurredOn: '2026-03-02', at: '09:00', test: { testedBy: { personId: 'bench' } } })
    // nothing is left on the device
    const queue = await opened(context, '/bench')
    expect(await queue.locator('#bench-entry').textContent()).toBe('')
    await context.close()
  })

  test('outlives its page half-way, its link and its session, and is one fact', async () => {
    const context = await bench({ viewport: phone })
    const first = await opened(context, '/bench/S-2')
    await first.evaluate(serviceWorkerReady)
    await examineByKeyboard(first)
    await checkByKeyboard(first)
    await typeReadings(first, dry.slice(0, 17))
    await first.keyboard.type('4,')
    await isKept(first, '17 4,')
    await first.close()

    await context.setOffline(true)
    const page = await opened(context, '/bench/S-2')
    await page.getByText(say('bench goes on')).waitFor()
    expect(await page.locator('#bench-figure').inputValue()).toBe('4,')
    await page.locator('#bench-figure').press('End')
    await page.keyboard.type((dry[17] ?? '').slice(2))
    await page.keyboard.press('Enter')
    await typeReadings(page, dry.slice(18))
    await page.keyboard.press('Enter')
    await mistByKeyboard(page)
    await typeReadings(page, wet)
    await page.keyboard.press('Enter')
    await page.getByRole('button', { name: say('bench send') }).click()
    await page.getByText(say('bench no link')).waitFor()
    expect(await testsOf('S-2')).toEqual([])
    // the list of what waits here, without a link
    await page.close()
    const kept = await opened(context, '/bench')
    await kept.getByRole('link', { name: /^S-2, / }).click()
    await isReady(kept)

    await context.clearCookies()
    await context.setOffline(false)
    await kept.getByRole('button', { name: say('bench send') }).click()
    await kept.getByText(say('bench signed out')).waitFor()
    await kept.getByRole('link', { name: say('bench sign in') }).click()
    await kept.locator('button[name="person"][value="bench"]').click()
    await isReady(kept)
    // the answer to the first sending is lost on the way, and it is sent again
    let lost = 0
    await kept.route('**/bench/S-2', async (route) => {
      if (route.request().method() !== 'POST' || lost++ > 0) return route.continue()
      await route.fetch()
      return route.abort()
    })
    await kept.getByRole('button', { name: say('bench send') }).click()
    await kept.getByText(say('bench no link')).waitFor()
    await kept.getByRole('button', { name: say('bench send') }).click()
    await kept.waitForURL(/\/sticks\/S-2\/bench-tests\//)
    const tests = await testsOf('S-2')
    expect(tests).toHaveLength(1)
    expect([figuresOf(tests[0], 'dry'), figuresOf(tests[0], 'wet')]).toEqual([asNumbers(dry), asNumbers(wet)])
    await context.close()
  })

  test('typed by a script at three readings a second loses nothing', async () => {
    const context = await bench()
    const page = await opened(context, '/bench/S-3')
    await examineByKeyboard(page)
    await checkByKeyboard(page)
    const atPace = async (figures: readonly string[]) => {
      const started = performance.now()
      for (const [i, figure] of figures.entries()) {
        await page.keyboard.type(figure)
        await page.keyboard.press('Enter')
        await new Promise((resolve) => setTimeout(resolve, Math.max(0, started + (i + 1) * 333 - performance.now())))
      }
    }
    await atPace(dry)
    await page.keyboard.press('Enter')
    await mistByKeyboard(page)
    await atPace(wet)
    await isKept(page, '80 ')
    await page.close()
    const again = await opened(context, '/bench/S-3')
    await again.getByRole('button', { name: say('bench stage send'), exact: true }).click()
    await again.getByRole('button', { name: say('bench send') }).click()
    await again.waitForURL(/\/sticks\/S-3\/bench-tests\//)
    const tests = await testsOf('S-3')
    expect([figuresOf(tests[0], 'dry'), figuresOf(tests[0], 'wet')]).toEqual([asNumbers(dry), asNumbers(wet)])
    await context.close()
  })
})

/** Keys that reach the field, each pressed once. */
const countKeys = `globalThis.keys = 0; addEventListener('keydown', () => { globalThis.keys++ }, true)`
const keysCounted = 'globalThis.keys'
const serviceWorkerReady = 'navigator.serviceWorker.ready.then(() => true)'

describe('at once', () => {
  test('a slip is asked about, a figure over its limit is told, and going back loses nothing', async () => {
    const context = await bench({ viewport: phone })
    const page = await opened(context, '/bench/S-4')
    await examineByKeyboard(page)
    await checkByKeyboard(page)
    await typeReadings(page, ['4.1', '4.2', '4.0', '4.1', '41', '4.2'])
    const questions = page.locator('.questions')
    await questions.getByText(/: 41 beside about 4\.\d\? 4\.1\?/).waitFor()
    // over the limit before Enter
    await page.keyboard.type('10.5')
    await page
      .locator('.seen')
      .getByText(/^Over the limit: 10\.5 µA, where 10 µA/)
      .waitFor()
    for (let i = 0; i < 4; i++) await page.keyboard.press('Backspace')
    await page.keyboard.press('Backspace')
    await page.getByText(say('bench read anew', { was: '4.2' })).waitFor()
    await page.keyboard.press('Backspace')
    await page.getByText(say('bench read anew', { was: '41' })).waitFor()
    await page.keyboard.type('4.1')
    await page.keyboard.press('Enter')
    await page.keyboard.press('Enter')
    expect(await questions.textContent()).toBe('')
    expect(await page.locator('.progress').textContent()).toBe('6 read, 34 to go')
    await page.keyboard.type('x')
    await page.keyboard.press('Enter')
    await page
      .locator('.seen')
      .getByText(say('bench no figure', { typed: 'x' }))
      .waitFor()
    await context.close()
  })

  test('where every reading is nought, the check after is asked for before it is sent', async () => {
    const context = await bench()
    const page = await opened(context, '/bench/S-5')
    await examineByKeyboard(page)
    await checkByKeyboard(page)
    await typeReadings(
      page,
      Array.from({ length: 40 }, () => '0'),
    )
    await page.getByText(say('bench all nought')).waitFor()
    await page.getByRole('button', { name: say('bench stage after'), exact: true }).click()
    await page.getByLabel(say('bench check open')).fill('0')
    await page.getByLabel(say('bench check piece')).fill('99')
    await page.getByText(say('bench check right')).waitFor()
    await page.getByRole('button', { name: say('bench stage send'), exact: true }).click()
    const lacks = await page.locator('.lacks').textContent()
    expect(lacks).toContain('wet')
    expect(lacks).not.toContain('the check after is missing')
    await context.close()
  })

  test('two people on one stick are told, and the second test is recorded when its author says so', async () => {
    const context = await bench()
    const page = await opened(context, '/bench/S-6')
    await examineByKeyboard(page)
    await checkByKeyboard(page)
    await typeReadings(page, ['11', '4'])
    const theirs = aTest({ at: '08:50', testedBy: 'Ivo Marsh' })
    const { status } = await stack.call('POST', '/v1/sticks/S-6/bench-tests', theirs, 'bench-2')
    expect(status).toBe(201)
    await page.getByRole('button', { name: say('bench stage send'), exact: true }).click()
    await page.getByRole('button', { name: say('bench send') }).click()
    await page.getByText(/^Another test of this stick was recorded since you began: 2 March 2026/).waitFor()
    expect(await testsOf('S-6')).toHaveLength(1)
    await page.getByRole('button', { name: say('bench send mine too') }).click()
    await page.waitForURL(/\/sticks\/S-6\/bench-tests\//)
    expect(await verdictOn(page)).toBe('fail')
    expect(await testsOf('S-6')).toHaveLength(2)
    await context.close()
  })

  test('a withstand test is voltage and seconds', async () => {
    const context = await bench()
    const page = await opened(context, '/bench/S-7')
    await page.getByText(say('bench method withstand')).click()
    await examineByKeyboard(page)
    for (const row of [0, 1]) {
      await page.getByLabel(say('bench kilovolts')).nth(row).fill('600')
      await page.getByLabel(say('bench seconds')).nth(row).fill('60')
      await page.getByLabel(say('bench outcome')).nth(row).selectOption('withstood')
    }
    await page.getByRole('button', { name: say('bench go on'), exact: true }).click()
    await page.getByRole('button', { name: say('bench send') }).click()
    await page.waitForURL(/\/sticks\/S-7\/bench-tests\//)
    expect(await testsOf('S-7')).toMatchObject([{ test: { withstand: [{ kilovolts: 600, seconds: 60 }, {}] } }])
    await context.close()
  })
})

describe.each([
  ['on 390 px', { viewport: phone }, ''],
  [
    'with text of 200 %',
    { viewport: { width: 780, height: 1200 } },
    'html { font-size: 200% } body { font-size: 2em }',
  ],
  ['on 390 px in Spanish', { viewport: phone, locale: 'es-MX' }, ''],
] as const)('%s', (_, look, css) => {
  test('each step fits, is heard right, and has targets for gloves', async () => {
    const context = await bench(look)
    const page = await opened(context, '/bench')
    const looksRight = async () => {
      if (css !== '') await page.evaluate(`document.querySelector('style').append(${JSON.stringify(css)})`)
      expect(await page.evaluate(widths)).toEqual([])
      expect(await faultsIn(page)).toEqual([])
    }
    await looksRight()
    await page.goto(`${stack.pages}/bench/S-8`)
    await isReady(page)
    const tabs = page.locator('.stages button')
    for (let i = 0; i < (await tabs.count()); i++) {
      await tabs.nth(i).click()
      await looksRight()
      const small = await page.locator('.bench button, .bench select, .stages button').evaluateAll(lowerThan, 44)
      expect(small).toEqual([])
    }
    await context.close()
  })
})

/** Elements that stick out of the page on its right. */
const widths = `(() => {
  const wide = document.documentElement.clientWidth
  return document.documentElement.scrollWidth <= wide ? []
    : [...document.querySelectorAll('main *')].filter((one) => one.getBoundingClientRect().right > wide + 1)
      .map((one) => one.outerHTML.slice(0, 120))
})()`
const lowerThan = (
  all: readonly { getBoundingClientRect(): { height: number }; textContent: string | null }[],
  least: number,
) => all.filter((one) => one.getBoundingClientRect().height < least).map((one) => one.textContent)
