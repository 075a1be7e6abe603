/**
 * A phone with and without a link, over the template as it is deployed: what a crew enters in a dead zone comes once,
 * at its own hour, under the name of whoever entered it; and what is not kept is said.
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
const foreman = 'bo@crew-one.example'

let stack: LocalStack
let browser: Browser
beforeAll(async () => {
  stack = await startStack({ memory: true })
  browser = await openBrowser()
  await at('15:00')
  const put = async (path: string, body: object) => {
    const { status, text } = await stack.call(path.includes('bench-tests') ? 'POST' : 'PUT', path, body)
    if (status > 201) throw new Error(`${path}: ${status} ${text}`)
  }
  await put('/v1/depots/DEP-1', aDepot)
  for (const crew of ['CR-1', 'CR-2']) await put(`/v1/crews/${crew}`, aCrew)
  await put('/v1/instruments/INS-1', anInstrument)
  await put('/v1/procedures/PRC-1', aProcedure)
  for (const stick of ['S-1', 'S-2', 'S-3', 'S-4', 'S-5', 'S-6']) {
    await put(`/v1/sticks/${stick}`, { ...aStick, crewId: 'CR-1' })
    await put(`/v1/sticks/${stick}/bench-tests`, aTest({ testedOn: day('2026-02-10') }))
  }
  await put('/v1/sticks/S-9', { ...aStick, crewId: 'CR-2' })
})
afterAll(async () => {
  await browser?.close()
  await stack?.stop()
})

const instant = (hour: string) => `2026-03-02T${hour}:00.000Z`

let hourNow = '15:00'
async function at(hour: string): Promise<void> {
  hourNow = hour
  await stack.clock(instant(hour))
  await stack.settle()
}

/** A phone in the hands of a crew member, whose clock is as far ahead as stated. */
async function phone({ aheadMinutes = 0, ...more }: { aheadMinutes?: number; language?: 'es' } = {}) {
  const viewport = { width: 390, height: 844 }
  const context = await contextFor(browser, stack, { person: 'crew', viewport, locale: more.language ?? 'en-GB' })
  const shows = (hour: string) => context.clock.setFixedTime(Date.parse(instant(hour)) + aheadMinutes * 60_000)
  await shows(hourNow)
  return { context, shows }
}

/** The page with its script at work, and what it was to fetch and keep there. */
async function opened(context: BrowserContext, path = '/'): Promise<Page> {
  const page = await context.newPage()
  await page.goto(stack.pages + path)
  await page.locator('html[data-device="ready"]').waitFor({ state: 'attached' })
  return page
}

async function goWithoutLink(context: BrowserContext): Promise<void> {
  const page = await opened(context)
  await page.evaluate(() => (globalThis as unknown as Phone).navigator.serviceWorker.ready)
  await page.close()
  await context.setOffline(true)
}

/** Of a browser's own things, what is used below. */
interface Phone {
  readonly navigator: { readonly serviceWorker: { readonly ready: Promise<unknown> } }
  readonly caches: { open(name: string): Promise<unknown>; keys(): Promise<string[]> }
  readonly indexedDB: {
    open(name: string, version?: number): { onsuccess: () => void; onupgradeneeded: () => void; result: Base }
  }
}

interface Base {
  close(): void
  transaction(store: string): {
    objectStore(store: string): { getAll(): { onsuccess: () => void; result: unknown[] } }
  }
}

/** What lies in a store of the phone. */
const keptOn = (page: Page, store: 'reports' | 'lists') =>
  page.evaluate(
    (name) =>
      new Promise<unknown[]>((resolve) => {
        const request = (globalThis as unknown as Phone).indexedDB.open('quarterturn')
        request.onsuccess = () => {
          const all = request.result.transaction(name).objectStore(name).getAll()
          all.onsuccess = () => resolve(all.result)
        }
      }),
    store,
  )

async function enter(page: Page, stick: string, what: string): Promise<void> {
  await page.getByLabel(say('device which stick')).fill(stick)
  await page.getByLabel(say('what to say of it')).selectOption({ label: what })
  await page
    .locator('.send')
    .getByRole('button', { name: say('device keep it') })
    .click()
  await saysAtTheTop(page, say('device kept'))
}

const saysAtTheTop = (page: Page, name: string) => page.getByRole('heading', { level: 1, name }).waitFor()

const banner = (page: Page) => page.locator('#device-banner')

interface Fact {
  readonly kind: string
  readonly occurredOn: string
  readonly at?: string
  readonly recordedBy?: string
}

async function factsOf(stick: string, kind: string): Promise<readonly Fact[]> {
  const { json } = await stack.call('GET', `/v1/sticks/${stick}/facts`)
  return (json as { items: Fact[] }).items.filter((fact) => fact.kind === kind)
}

const statusOf = async (stick: string) =>
  ((await stack.call('GET', `/v1/sticks/${stick}`)).json as { status: string }).status

const subjectsTo = async (to: string) => (await stack.mail(to)).map(({ subject }) => subject)

const faultsIn = async (page: Page): Promise<string[]> => {
  await page.evaluate(axe)
  return page.evaluate(async () => {
    const { axe: one } = globalThis as unknown as {
      axe: { run(): Promise<{ violations: { id: string; nodes: { html: string }[] }[] }> }
    }
    return (await one.run()).violations.map(({ id, nodes }) => `${id}: ${nodes[0]?.html}`)
  })
}

describe('in a dead zone', () => {
  test('a tingle is kept, and comes an hour later: once, at its own hour, and people are told', async () => {
    const { context, shows } = await phone()
    await goWithoutLink(context)
    const page = await context.newPage()
    await page.goto(`${stack.pages}/sticks/S-1`)
    await saysAtTheTop(page, say('device without link'))
    // the list with its age, and of another crew nothing
    const list = await page.locator('#device-list').textContent()
    expect(list).toContain('0 h 0 min ago')
    expect(list).toMatch(/S-1 Use it through 10 February 2028/)
    expect(list).not.toContain('S-9')
    expect(await faultsIn(page)).toEqual([])
    await enter(page, 'S-1', word('defect', 'tingle'))
    expect(await page.locator('main').textContent()).toContain(say('device nobody knows'))
    // the list that said "use it" knows better now
    await page.goto(`${stack.pages}/sticks/S-1`)
    await page
      .locator('#device-list')
      .getByText(`S-1 ${say('device reported here')}`)
      .waitFor()
    await page.close()

    await at('16:00')
    await shows('16:00')
    await context.setOffline(false)
    const back = await opened(context)
    await banner(back)
      .getByText(/^Sent and recorded: S-1: tingle/)
      .waitFor()
    expect(await faultsIn(back)).toEqual([])
    await stack.settle()
    // 15:00 UTC in Chicago, in winter
    expect(await factsOf('S-1', 'defect reported')).toMatchObject([{ occurredOn: '2026-03-02', at: '09:00' }])
    expect(await statusOf('S-1')).toBe('on hold')
    for (const to of [foreman, 'manager@demo-utility.example'])
      expect(await subjectsTo(to)).toContainEqual(expect.stringMatching(/^Stick S-1 is on hold/))
    expect(await keptOn(back, 'reports')).toEqual([])
    await context.close()
  })

  test('three reports outlive a session: all are kept, and sent after a sign-in, each at its own hour', async () => {
    const { context, shows } = await phone()
    await at('17:00')
    await shows('17:00')
    await goWithoutLink(context)
    const page = await context.newPage()
    for (const [stick, what, hour] of [
      ['S-2', word('defect', 'burn'), '17:05'],
      ['S-3', say('it is missing'), '17:10'],
      ['S-9', word('defect', 'crack'), '17:15'],
    ] as const) {
      await shows(hour)
      await page.goto(`${stack.pages}/`)
      await enter(page, stick, what)
    }
    await at('18:00')
    await shows('18:00')
    await context.clearCookies()
    await context.setOffline(false)
    // a page that asks nobody to sign in tells of them all the same
    await page.goto(`${stack.pages}/no-such-page`)
    await banner(page).getByText(say('device session over')).waitFor()
    expect(await banner(page).textContent()).toContain('Not sent yet, kept on this phone: 3')
    expect(await keptOn(page, 'reports')).toHaveLength(3)
    await banner(page)
      .getByRole('link', { name: say('device sign in') })
      .click()
    await page.locator('button[name="person"][value="crew"]').click()
    await banner(page)
      .getByText(/^Sent and recorded: S-9/)
      .waitFor()
    expect(await keptOn(page, 'reports')).toEqual([])
    await stack.settle()
    expect(await factsOf('S-2', 'defect reported')).toMatchObject([{ at: '11:05' }])
    expect(await factsOf('S-3', 'moved')).toContainEqual(expect.objectContaining({ at: '11:10' }))
    expect(await factsOf('S-9', 'defect reported')).toMatchObject([{ at: '11:15' }])
    await context.close()
  })

  test('a use and a look are kept and sent too', async () => {
    const { context, shows } = await phone()
    await at('18:05')
    await shows('18:05')
    await goWithoutLink(context)
    const page = await context.newPage()
    for (const what of [say('used with', { condition: say('condition wet') }), say('tile look')]) {
      await page.goto(`${stack.pages}/`)
      await enter(page, 'S-6', what)
    }
    await context.setOffline(false)
    await banner(page)
      .getByText(/^Sent and recorded: S-6: Looked over/)
      .waitFor()
    expect(await factsOf('S-6', 'used')).toMatchObject([{ occurredOn: '2026-03-02', at: '12:05' }])
    expect(await factsOf('S-6', 'condition checked')).toMatchObject([{ occurredOn: '2026-03-02' }])
    await context.close()
  })

  test('the list is unknown after a day, and says so of every stick', async () => {
    const { context } = await phone()
    await goWithoutLink(context)
    await context.clock.setFixedTime('2026-03-04T15:00:00.000Z')
    const page = await context.newPage()
    await page.goto(`${stack.pages}/`)
    // the script fills the list in a moment after the page is there
    await page.locator('#device-list li').nth(3).waitFor()
    const lines = await page.locator('#device-list li').allTextContents()
    expect(lines.length).toBeGreaterThan(3)
    for (const line of lines) expect(line).toMatch(/^S-\d unknown: ask the bench$/)
    await context.close()
  })
})

describe('a phone', () => {
  test('whose clock is an hour ahead keeps the hour by the service’s clock, and is told', async () => {
    const { context, shows } = await phone({ aheadMinutes: 60 })
    await at('18:30')
    await shows('18:30')
    await goWithoutLink(context)
    const page = await context.newPage()
    await page.goto(`${stack.pages}/`)
    await enter(page, 'S-4', word('defect', 'dent'))
    // the page that stands open sends it as soon as the link is back
    await context.setOffline(false)
    await banner(page)
      .getByText(/ahead by about 60 min/)
      .waitFor()
    expect(await factsOf('S-4', 'defect reported')).toMatchObject([{ at: '12:30' }])
    await context.close()
  })

  test.each([
    [
      'is full',
      'device full',
      'IDBObjectStore.prototype.put = () => { throw new DOMException("", "QuotaExceededError") }',
    ],
    [
      'keeps nothing',
      'device keeps nothing',
      'IDBFactory.prototype.open = () => { throw new DOMException("", "SecurityError") }',
    ],
  ] as const)('that %s says that nothing is kept, and leaves what was entered in the form', async (_, said, broken) => {
    const { context } = await phone()
    await context.addInitScript(broken)
    const page = await opened(context, '/sticks/S-5/report')
    await page.getByLabel(say('note')).fill('at the hook')
    await chooseTingle(page)
    await context.setOffline(true)
    await page.locator('.send button:not([name])').click()
    await page.locator('#device-not-kept').waitFor()
    const told = await page.locator('#device-not-kept').textContent()
    for (const sentence of ['device not kept', said, 'device not kept, do'] as const)
      expect(told).toContain(say(sentence))
    expect(await page.getByLabel(say('note')).inputValue()).toBe('at the hook')
    // with a link it is sent all the same
    await context.setOffline(false)
    await page.locator('.send button:not([name])').click()
    await page.waitForURL(/done=recorded/)
    await context.close()
  })

  test('on which a later build has been keeps what is kept, and says so', async () => {
    const { context } = await phone()
    const page = await opened(context)
    await page.evaluate(
      () =>
        new Promise<void>((resolve) => {
          const request = (globalThis as unknown as Phone).indexedDB.open('quarterturn', 99)
          request.onsuccess = () => {
            request.result.close()
            resolve()
          }
        }),
    )
    await page.reload()
    await banner(page).getByText(say('device later build')).waitFor()
    await context.close()
  })

  test('on which an earlier build has been loses its pages, and no report', async () => {
    const { context } = await phone()
    const page = await opened(context)
    await page.evaluate(() => (globalThis as unknown as Phone).caches.open('quarterturn earlier'))
    await page.evaluate(() => (globalThis as unknown as Phone).navigator.serviceWorker.ready)
    expect(await page.evaluate(() => (globalThis as unknown as Phone).caches.keys())).toContain('quarterturn earlier')
    // the next worker that begins its work
    await page.evaluate(async () => {
      const { navigator } = globalThis as unknown as {
        navigator: { serviceWorker: { getRegistration(): Promise<{ unregister(): Promise<boolean> } | undefined> } }
      }
      await (await navigator.serviceWorker.getRegistration())?.unregister()
    })
    await page.close()
    const again = await opened(context)
    await again.evaluate(() => (globalThis as unknown as Phone).navigator.serviceWorker.ready)
    await again.waitForFunction(async () => (await (globalThis as unknown as Phone).caches.keys()).length === 1)
    await context.close()
  })
})

/** As the form asks for it: among options of a list, or as a tile. */
async function chooseTingle(page: Page): Promise<void> {
  const label = word('defect', 'tingle')
  const list = page.locator('select[name="/kind"]')
  if ((await list.count()) > 0) await list.selectOption({ label })
  else await page.getByLabel(label, { exact: true }).check({ force: true })
}

const unanswered = `{
  const { fetch } = globalThis
  globalThis.fetch = (path, init) => (path === '/device/now' ? Promise.reject(new TypeError()) : fetch(path, init))
}`

describe('a sign-out', () => {
  test('says how many reports wait, and asks; the list is wiped, and the reports stay', async () => {
    const { context } = await phone()
    await goWithoutLink(context)
    const page = await context.newPage()
    await page.goto(`${stack.pages}/`)
    await enter(page, 'S-5', word('defect', 'gouge'))
    await page.close()
    // the service is there, and does not answer the script
    await context.addInitScript(unanswered)
    await context.setOffline(false)
    const leaving = await opened(context, '/sign-out')
    expect(await keptOn(leaving, 'lists')).toHaveLength(1)
    await leaving.getByRole('button', { name: say('out here') }).click()
    await leaving.getByText(/^Not sent yet, kept on this phone: 1\. If you sign out now/).waitFor()
    await leaving.getByRole('button', { name: say('device leave anyway') }).click()
    await saysAtTheTop(leaving, say('signed out'))
    expect([await keptOn(leaving, 'lists'), (await keptOn(leaving, 'reports')).length]).toEqual([[], 1])
    expect(await banner(leaving).textContent()).not.toContain('S-5')
    await context.close()
  })

  test('leaves nothing behind that can be sent', async () => {
    const { context } = await phone()
    const leaving = await opened(context, '/sign-out')
    await goWithoutLink(context)
    const page = await context.newPage()
    await page.goto(`${stack.pages}/`)
    await enter(page, 'S-5', word('defect', 'crack'))
    await page.close()
    await context.setOffline(false)
    await leaving.getByRole('button', { name: say('out here') }).click()
    await saysAtTheTop(leaving, say('signed out'))
    expect([await keptOn(leaving, 'reports'), await keptOn(leaving, 'lists')]).toEqual([[], []])
    expect(await factsOf('S-5', 'defect reported')).toContainEqual(expect.objectContaining({ at: '12:30' }))
    await context.close()
  })
})

test('the pages are an app: a manifest with an icon, in the reader’s language', async () => {
  for (const [language, lang] of [
    ['en-GB', 'en'],
    ['es-MX', 'es'],
  ]) {
    const home = await fetch(`${stack.pages}/no-such-page`, { headers: { 'accept-language': language ?? '' } })
    const path = /<link rel="manifest" href="([^"]+)">/.exec(await home.text())?.[1] ?? ''
    const answer = await fetch(stack.pages + path)
    const manifest = (await answer.json()) as { lang: string; display: string; icons: { src: string }[] }
    expect([manifest.lang, manifest.display]).toEqual([lang, 'standalone'])
    expect(answer.headers.get('cache-control')).toContain('immutable')
    const icon = await fetch(stack.pages + (manifest.icons[0]?.src ?? ''))
    expect([icon.status, icon.headers.get('content-type')]).toEqual([200, 'image/svg+xml; charset=utf-8'])
  }
})
