/** How long a technician waits at the bench between one reading and the next, in a real browser on a slow processor. */
import type { Page } from 'playwright-core'
import { openBrowser } from '../browser/browser.ts'
import { contextFor } from '../browser/signed-in.ts'
import { put } from '../journeys/furnish.ts'
import { aStick } from '../support/trade.ts'
import { atTheEnd } from './at-the-end.ts'
import type { Figure } from './figure.ts'
import { theStack } from './stack.ts'

/** A dry test of 2.4 m is forty readings. */
const mostTests = 3
const slowedBy = 4

export const figure: Figure = {
  unit: 'milliseconds from Enter until the next place stands and the strip is drawn, 95 of 100, processor slowed ×4',
  better: 'lower',
  goal: 50,
  floorIn: 'ms from Enter until the reading lies on the disk of the device too, 95 of 100',
  measure: async (rounds) => {
    const stack = await theStack()
    const browser = await openBrowser()
    atTheEnd(() => browser.close())
    const drawn: number[] = []
    const kept: number[] = []
    for (let i = 0; i < Math.min(rounds, mostTests); i++) {
      await put(stack, `/v1/sticks/BE-${i}`, aStick)
      const context = await contextFor(browser, stack, { person: 'bench', viewport: { width: 390, height: 844 } })
      const page = await context.newPage()
      await page.goto(`${stack.pages}/bench/BE-${i}`)
      await page.locator('html[data-bench="ready"]').waitFor({ state: 'attached' })
      for (const times of await waitsOf(page)) {
        drawn.push(times.drawn)
        kept.push(times.kept)
      }
      await context.close()
    }
    return { value: percentile95(drawn), floor: percentile95(kept) }
  },
}

interface Waits {
  readonly drawn: number
  readonly kept: number
}

async function waitsOf(page: Page): Promise<readonly Waits[]> {
  await page.locator('.bench select').nth(0).selectOption({ index: 1 })
  await page.locator('.bench select').nth(1).selectOption({ index: 1 })
  await page.locator('.stages button').nth(2).click()
  const slow = await page.context().newCDPSession(page)
  await slow.send('Emulation.setCPUThrottlingRate', { rate: slowedBy })
  return page.evaluate(typeThemAll) as Promise<readonly Waits[]> // it answers so, below
}

/** Typed in the page itself, so that nothing of the way to the browser is timed. */
const typeThemAll = `(async () => {
  const field = document.getElementById('bench-figure')
  const entry = document.getElementById('bench-entry')
  const enter = { key: 'Enter', bubbles: true, cancelable: true }
  const keptAs = (mark) => new Promise((resolve) => {
    if (entry.dataset.kept === mark) return resolve()
    const seen = new MutationObserver(() => {
      if (entry.dataset.kept !== mark) return
      seen.disconnect()
      resolve()
    })
    seen.observe(entry, { attributes: true })
  })
  const waits = []
  for (let i = 0; i < 40; i++) {
    for (const typed of ['4', '4.', '4.' + (i % 7)]) {
      field.value = typed
      field.dispatchEvent(new Event('input', { bubbles: true }))
      await new Promise((resolve) => setTimeout(resolve, 20))
    }
    const started = performance.now()
    field.dispatchEvent(new KeyboardEvent('keydown', enter))
    // what is drawn is laid out too
    document.body.getBoundingClientRect()
    const drawn = performance.now() - started
    await keptAs(i + 1 + ' ')
    waits.push({ drawn, kept: performance.now() - started })
  }
  return waits
})()`

function percentile95(times: readonly number[]): number {
  const sorted = [...times].sort((one, other) => one - other)
  return sorted[Math.ceil(sorted.length * 0.95) - 1] ?? Number.NaN
}
