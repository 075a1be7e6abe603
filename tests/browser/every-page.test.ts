/**
 * Every page in a real browser, wide and narrow, light and dark, on paper and in forced colours: axe finds nothing, and
 * nothing runs off the side.
 */
import { randomUUID } from 'node:crypto'
import { createRequire } from 'node:module'
import type { Browser, Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { authenticatorPage, noGood, notLetIn, signOutPage } from '../../functions/pages/sign-in-pages.ts'
import { webPage } from '../../functions/web/web-page.ts'
import { everyPage, type Furnished, furnishEveryPage } from '../functions/every-page.ts'
import { type House, openHouse, type Who } from '../functions/house.ts'
import { inEnglish, pagesOf } from '../support/pages.ts'
import { sampled } from '../support/tier.ts'
import { aStick, overTheLimit } from '../support/trade.ts'
import { openBrowser } from './browser.ts'

const axe = createRequire(import.meta.url).resolve('axe-core/axe.min.js')
const failed = overTheLimit()

let furnished: Furnished
let house: House
let browser: Browser
let page: Page
beforeAll(async () => {
  furnished = await furnishEveryPage()
  house = openHouse(furnished.items)
  const fact = (more: object) => ({ factId: randomUUID(), occurredOn: '2026-03-02', ...more })
  for (const stick of ['HELD', 'GONE', 'LENT']) await house.done('PUT', `/v1/sticks/${stick}`, aStick)
  await house.done('POST', '/v1/sticks/HELD/bench-tests', failed)
  await house.done('POST', '/v1/sticks/HELD/defects', fact({ kind: 'tingle', note: 'At the hook, in rain' }))
  await house.done('POST', '/v1/sticks/GONE/removals', fact({ reason: 'Its end fitting is obsolete' }))
  await house.done('POST', '/v1/sticks/S-6/moves', fact({ to: { lentTo: 'Neighbours', returnBy: '2026-03-10' } }))
  house.at('2026-03-02T15:00:00.000Z')
  browser = await openBrowser()
  page = await browser.newPage()
})
afterAll(async () => browser?.close())

const papers = ['/certificate', '/tag', '/label', '/worksheet'].map((name) => `/sticks/:id${name}`)
const files = [
  ...['/roster.csv', '/outlook/year.csv', '/plan/week.csv', '/sticks/:id/proof', '/recalls/:id/report.csv'],
  ...[...papers, '/depots/:id/bench-list', '/exports/:kind', '/imports/templates/:kind'],
]
/** Of these addresses none is a page of its own: they lead on, answer a file or a word, or are nobody's. */
const noPages = new Set([
  ...files,
  ...['/', '/healthz', '/registers/sticks', '/sign-in', '/signed-in'],
  // what is behind printed codes is scanned in functions/public-looks.test.ts
  ...['/s/:code', '/c/:code'],
  ...['/device/now', '/device/list', '/device/worker.js', '/device/:build/:file'],
  ...['/enter/policies', '/enter/organisations', '/bench'],
])

type Fetched = (language: string) => Promise<Response>
const opened =
  (path: string, who: Who = 'owner'): Fetched =>
  (language) =>
    pagesOf(house, who).request(furnished.address(path), {
      headers: { 'accept-language': language },
    }) as Promise<Response>

/** A form as it comes back where nothing was filled in; the page it leads to where nothing has to be. */
const sentEmpty =
  (path: string): Fetched =>
  async (language) => {
    const answer = await pagesOf(house, 'owner').request(furnished.address(path), {
      method: 'POST',
      headers: { 'content-type': 'application/x-www-form-urlencoded', 'accept-language': language },
      body: new URLSearchParams({ factId: randomUUID(), '/id': 'no name', from: '1' }).toString(),
    })
    const next = answer.headers.get('location')
    return next === null ? answer : opened(next)(language)
  }

const inTable = everyPage.filter(
  ({ route, outcomes }) => route.startsWith('GET') && outcomes.startsWith('yes') && !files.includes(route.slice(4)),
)
/** To approve nothing has to be filled in. */
const acts = everyPage.filter(
  ({ route, outcomes }) => route.startsWith('POST') && !outcomes.startsWith('no') && !route.endsWith('/approve'),
)

const who = { name: 'Ada Brink', organisation: 'Demo utility', role: 'manager' } as const
const setUp = { secret: 'JBSWY3DPEHPK3PXPJBSWY3DPEHPK3PXP', account: 'ada@demo-utility.example' }

/** By the address of each, and what is to be seen there besides. */
const shown: readonly [name: string, fetched: Fetched][] = [
  ...[...new Set(inTable.map(({ at }) => at))].map((at) => [at, opened(at)] as [string, Fetched]),
  ...acts.map(({ at }) => [`${at}, sent empty`, sentEmpty(at)] as [string, Fetched]),
  ...[
    ...['/roster?status=scrapped', '/roster?group=crew', '/roster?lent=true', '/roster?status=on+hold'],
    ...[
      '/sticks/none',
      '/nowhere',
      '/notices?stick=none',
      '/sticks/HELD',
      '/sticks/GONE',
      '/sticks/S-3',
      '/sticks/S-6',
    ],
    ...[
      `/sticks/HELD/bench-tests/${failed.factId}`,
      '/sticks/S-1/report?done=recorded',
      '/sticks/S-1/remove?done=waits',
    ],
    ...['/registers/depots/DEP-1/edition?done=recorded', '/registers/sticks/S-1/edition?done=waits'],
  ].map((at) => [at, opened(at)] as [string, Fetched]),
  ['/roster as a crew sees it', opened('/roster', 'crew')],
  ['/crew as a crew sees it', opened('/crew', 'crew')],
  ['what may be said of a stick of another crew', opened('/sticks/S-1/say', 'other crew')],
  ['danger on a stick of another crew', opened('/sticks/S-1/report', 'other crew')],
  ['/sticks/S-3/use as a crew sees it', opened('/sticks/S-3/use', 'crew')],
  ['a stick that nobody has, reported', opened('/sticks/X-9/report?done=waits', 'crew')],
  ['/proposals, which is not theirs', opened('/proposals', 'crew')],
  ['/sign-out', () => webPage(signOutPage(who, inEnglish), { who })],
  ['/signed-out', opened('/signed-out')],
  ['/sign-in/authenticator', () => webPage(authenticatorPage({ ...setUp, isWrong: true }, inEnglish))],
  ['a sign-in that came to nothing', () => webPage(noGood('/', inEnglish))],
  [
    'a sign-in of somebody unknown',
    () => webPage(notLetIn({ is: 'not let in', why: 'nobody has the address', email: setUp.account }, inEnglish)),
  ],
]

interface Look extends NonNullable<Parameters<Page['emulateMedia']>[0]> {
  readonly width?: number
  readonly language?: string
}

const looks: readonly (readonly [string, Look])[] = [
  ['wide', {}],
  ['on a phone, dark', { width: 390, colorScheme: 'dark' }],
  ['on paper', { media: 'print' }],
  ['on a phone, in Spanish', { width: 390, language: 'es' }],
  ['wide, dark', { colorScheme: 'dark' }],
  ['in forced colours', { forcedColors: 'active' }],
  ['on a phone in forced colours', { width: 390, forcedColors: 'active' }],
]

/** Each page once, each in another look than its neighbour, and then all of them in the look after. */
const all = looks.flatMap((_, round) =>
  shown.map((one, place) => [one, looks[(round + place) % looks.length] ?? ['wide', {}]] as const),
)

test('every page there is is looked at', () => {
  const there = pagesOf(openHouse(), 'owner')
    .routes.filter(({ method, path }) => method === 'GET' && !path.includes('*') && !noPages.has(path))
    .map(({ path }) => path)
  const seen = new Set([...inTable.map(({ route }) => route.slice('GET '.length)), ...shown.map(([name]) => name)])
  expect(there.filter((path) => !seen.has(path))).toEqual([])
})

test.each([...new Set(inTable.map(({ at }) => at))])('%s is a page, and no file', async (at) => {
  expect((await opened(at)('en')).headers.get('content-type')).toMatch(/^text\/html/)
})

describe('axe finds nothing, and nothing runs off the side', () => {
  test.each(sampled(all, 40).map(([[name, fetched], [look, how]]) => ({ name, fetched, look, how })))(
    '$name, $look',
    async ({ fetched, how: { width = 1280, language = 'en', ...media } }) => {
      const text = await (await fetched(language)).text()
      await page.setViewportSize({ width, height: 900 })
      await page.emulateMedia({ media: null, colorScheme: null, forcedColors: null, ...media })
      await page.setContent(text)
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
    },
  )
})
