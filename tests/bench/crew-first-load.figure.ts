/** How long a crew waits for its sticks on one bar of signal, in a real browser that has never been there. */
import type { Browser } from 'playwright-core'
import { openBrowser } from '../browser/browser.ts'
import { contextFor } from '../browser/signed-in.ts'
import { atTheEnd } from './at-the-end.ts'
import { stackWithCrew } from './crew-of-sticks.ts'
import type { Figure } from './figure.ts'
import { median } from './interleaved.ts'

/** A bar of signal: 400 kbit/s and 400 ms. */
const oneBar = { offline: false, latency: 400, downloadThroughput: 50_000, uploadThroughput: 50_000 }
/** Each load takes seconds. */
const mostLoads = 5

export const figure: Figure = {
  unit: 'seconds from opening the page of a crew on 400 kbit/s and 400 ms until its script is ready, median',
  better: 'lower',
  goal: 5,
  floorIn: 's without limits of the link',
  measure: async (rounds) => {
    const browser = await openBrowser()
    atTheEnd(() => browser.close())
    const loads = Math.min(rounds, mostLoads)
    const slow: number[] = []
    const quick: number[] = []
    for (let i = 0; i < loads; i++) {
      quick.push(await secondsToLoad(browser, null))
      slow.push(await secondsToLoad(browser, oneBar))
    }
    return { value: median(slow), floor: median(quick) }
  },
}

async function secondsToLoad(browser: Browser, link: typeof oneBar | null): Promise<number> {
  const stack = await stackWithCrew()
  const context = await contextFor(browser, stack, { person: 'crew', viewport: { width: 390, height: 844 } })
  const page = await context.newPage()
  const network = await context.newCDPSession(page)
  await network.send('Network.enable')
  if (link !== null) await network.send('Network.emulateNetworkConditions', link)
  const started = performance.now()
  await page.goto(`${stack.pages}/crew`)
  await page.locator('.sticks a').first().waitFor()
  await page.locator('html[data-device="ready"]').waitFor({ state: 'attached' })
  const seconds = (performance.now() - started) / 1000
  await context.close()
  return seconds
}
