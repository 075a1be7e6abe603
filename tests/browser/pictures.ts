/** `npm run pictures`: the README's pictures, taken from the running product with the demo fleet, wide and on a phone, light and dark. */
import { mkdirSync } from 'node:fs'
import { join } from 'node:path'
import type { Browser, Page } from 'playwright-core'
import { loadDemoInto } from '../../seed/into-stack.ts'
import { type LocalStack, startStack } from '../local-stack.ts'
import { openBrowser } from './browser.ts'

/** The demo ends on this day in every picture, so that taking them again changes nothing by itself. */
const startAt = '2026-11-24T17:00:00.000Z'
const folder = join(import.meta.dirname, 'pictures')

const looks = [
  { name: '1280-light', width: 1280, colorScheme: 'light' },
  { name: '1280-dark', width: 1280, colorScheme: 'dark' },
  { name: '390-light', width: 390, colorScheme: 'light' },
  { name: '390-dark', width: 390, colorScheme: 'dark' },
] as const

interface Subject {
  readonly name: string
  readonly show: (page: Page) => Promise<unknown>
  /** to its end, and not only what the window shows */
  readonly whole?: true
}

async function subjectsOf(stack: LocalStack): Promise<Subject[]> {
  const page = (name: string, path: string): Subject => ({ name, show: (one) => one.goto(stack.pages + path) })
  const mails = await stack.mail()
  const mail = (name: string, subject: RegExp): Subject => {
    const found = mails.find((one) => subject.test(one.subject))
    if (found === undefined) throw new Error(`the demo has no mail ${subject}`)
    return { name, show: (one) => one.setContent(found.html) }
  }
  return [
    page('roster', '/roster'),
    page('stick', `/sticks/${await heldStick(stack)}`),
    mail('due-soon-digest', /^\d+ sticks due for the bench/),
    mail('hold-mail', /is on hold: do not use it/),
    ...(await Promise.all(Object.entries(tests).map(([name, stickId]) => testOf(stack, name, stickId)))),
  ]
}

/** Bench tests that tell something, by the stick of the demo whose newest one it is. */
const tests = {
  'test-pass': 'S-0001',
  'test-one-turn': 'S-0033',
  'test-joint': 'S-0009',
  'test-incomplete': 'S-0170',
}

async function testOf(stack: LocalStack, name: string, stickId: string): Promise<Subject> {
  const { items } = (await stack.call('GET', `/v1/sticks/${stickId}/facts`)).json as {
    items: { kind: string; factId: string }[]
  }
  const newest = items.findLast(({ kind }) => kind === 'tested')
  if (newest === undefined) throw new Error(`${stickId} of the demo has no bench test`)
  const path = `/sticks/${stickId}/bench-tests/${newest.factId}`
  return { name, whole: true, show: (page) => page.goto(stack.pages + path) }
}

/** A stick that failed its test has the most to show. */
async function heldStick(stack: LocalStack): Promise<string> {
  const { items } = (await stack.call('GET', '/v1/roster?status=on%20hold')).json as {
    items: { stickId: string; holds: { code: string }[] }[]
  }
  const held = items.find(({ holds }) => holds.some(({ code }) => code === 'failed-test')) ?? items[0]
  if (held === undefined) throw new Error('the demo has no stick on hold')
  return held.stickId
}

async function take(
  browser: Browser,
  subject: Subject,
  { name, width, colorScheme }: (typeof looks)[number],
): Promise<void> {
  const context = await browser.newContext({
    viewport: { width, height: width === 390 ? 844 : 900 },
    colorScheme,
    locale: 'en-GB',
  })
  const page = await context.newPage()
  await subject.show(page)
  await page.screenshot({ path: join(folder, `${subject.name}-${name}.png`), fullPage: subject.whole ?? false })
  await context.close()
}

mkdirSync(folder, { recursive: true })
const stack = await startStack({ memory: true, now: startAt })
const browser = await openBrowser()
try {
  const { requests } = await loadDemoInto(stack, startAt)
  for (const subject of await subjectsOf(stack)) for (const look of looks) await take(browser, subject, look)
  console.log(`${requests} requests of demo history; pictures in tests/browser/pictures`)
} finally {
  await browser.close()
  await stack.stop()
}
