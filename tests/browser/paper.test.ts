/**
 * The pages on paper, in black and white, and in the colours that a reader's own system forces: every mark is told
 * apart.
 */
import { randomUUID } from 'node:crypto'
import { createRequire } from 'node:module'
import type { Browser, Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import type { Reading } from '../../shared-domain/bench-test/bench-test.ts'
import { marks } from '../../shared-domain/bench-test/strip.ts'
import { furnish, openHouse } from '../functions/house.ts'
import { pagesOf } from '../support/pages.ts'
import { sampled } from '../support/tier.ts'
import { anInstrument, aProcedure, aStick, aTest, overTheLimit, survey } from '../support/trade.ts'
import { openBrowser } from './browser.ts'

const axe = createRequire(import.meta.url).resolve('axe-core/axe.min.js')
const house = openHouse()
const pages = pagesOf(house)
const everyMark = aTest({
  instrumentId: 'INS-2',
  procedureId: 'PRC-2',
  dry: { readings: survey(2.4, 4, marked) },
  wet: {
    water: 'distilled',
    appearance: 'beads',
    readings: survey(2.4, 9, (one) => ({ settled: one.fromMetres > 1 })),
  },
})

/** Dry, on the turn of 90°: over the limit, in the guard band, a place left out, and an overlap that is too small. */
function marked({ quarterTurn, fromMetres, toMetres }: Reading): Partial<Reading> | null {
  if (quarterTurn !== 90) return { leakageMicroamps: Math.round(10 + fromMetres * 30) / 10 }
  if (fromMetres === 0.25) return { leakageMicroamps: 21 }
  if (fromMetres === 0.75) return { leakageMicroamps: 9.8 }
  if (fromMetres === 1.25 || fromMetres === 1.5) return null
  return fromMetres === 2 ? { toMetres: Math.round(toMetres * 100 - 18) / 100 } : {}
}

let browser: Browser
/** Where the pixels of a picture are read. */
let easel: Page
beforeAll(async () => {
  await furnish(house)
  await house.done('PUT', '/v1/instruments/INS-2', { ...anInstrument, expandedUncertaintyPercent: 5 })
  const limits = aProcedure.limits.filter(({ state }) => state === 'dry')
  await house.done('PUT', '/v1/procedures/PRC-2', { ...aProcedure, decision: 'guarded', limits })
  await house.done('POST', '/v1/sticks/S-1/bench-tests', everyMark)
  await house.done('PUT', '/v1/sticks/S-2', aStick)
  await house.done('POST', '/v1/sticks/S-2/bench-tests', overTheLimit())
  await house.done('PUT', '/v1/sticks/S-3', aStick)
  await house.done('PUT', '/v1/sticks/S-4', aStick)
  await house.done('POST', '/v1/sticks/S-4/bench-tests', aTest())
  const tingle = { factId: randomUUID(), occurredOn: '2026-03-02', kind: 'tingle' }
  await house.done('POST', '/v1/sticks/S-4/defects', tingle)
  browser = await openBrowser()
  easel = await browser.newPage()
})
afterAll(async () => browser?.close())

const strips = `/sticks/S-1/bench-tests/${everyMark.factId}`

type Settings = Parameters<Page['emulateMedia']>[0] & { width?: number }

async function open(path: string, { width = 1280, ...media }: Settings): Promise<Page> {
  const page = await browser.newPage({ viewport: { width, height: 900 } })
  await page.emulateMedia(media)
  await page.setContent(await (await pages.request(path)).text())
  return page
}

const side = 14
/** The lightness of each pixel in the middle of a cell, where its sign is: 0 is black, 255 white. */
async function middleOf(page: Page, selector: string): Promise<number[]> {
  const cell = page.locator(selector).first()
  await cell.scrollIntoViewIfNeeded()
  const box = await cell.boundingBox()
  if (box === null) throw new Error(`${selector} is not shown`)
  const clip = { x: box.x + box.width / 2 - side / 2, y: box.y + box.height / 2 - side / 2, width: side, height: side }
  const png = (await page.screenshot({ clip })).toString('base64')
  return easel.evaluate(async (data) => {
    const { document, Image } = globalThis as unknown as Canvas
    const image = new Image()
    image.src = `data:image/png;base64,${data}`
    await image.decode()
    const canvas = document.createElement('canvas')
    canvas.width = image.width
    canvas.height = image.height
    const context = canvas.getContext('2d')
    context.drawImage(image, 0, 0)
    const { data: bytes } = context.getImageData(0, 0, image.width, image.height)
    return Array.from({ length: bytes.length / 4 }, (_, i) => {
      const [red = 0, green = 0, blue = 0] = bytes.slice(i * 4, i * 4 + 3)
      return 0.2126 * red + 0.7152 * green + 0.0722 * blue
    })
  }, png)
}

/** Of a browser's own things, what is used above. */
interface Canvas {
  Image: new () => { src: string; width: number; height: number; decode(): Promise<void> }
  document: {
    createElement(name: 'canvas'): {
      width: number
      height: number
      getContext(kind: '2d'): {
        drawImage(image: unknown, x: number, y: number): void
        getImageData(x: number, y: number, width: number, height: number): { data: Uint8Array }
      }
    }
  }
}

const range = (greys: readonly number[]) => Math.max(...greys) - Math.min(...greys)
const mean = (greys: readonly number[]) => greys.reduce((sum, one) => sum + one, 0) / greys.length

/** Which pixels are ink, whether it is dark on light or light on dark. */
function inkOf(greys: readonly number[]): boolean[] {
  const between = (Math.max(...greys) + Math.min(...greys)) / 2
  const ground = greys[0] ?? 0
  return greys.map((one) => one > between !== ground > between)
}

const classOf = (mark: string) => mark.replaceAll(' ', '-')
const signs = marks.filter((mark) => mark !== 'conforms')

/** As browsers print where nobody asked them for backgrounds. */
const noBackgrounds = '* { background: none !important }'

const looks: [string, Settings, string][] = [
  ['on paper', { media: 'print' }, ''],
  ['on paper, by a reader of the dark', { media: 'print', colorScheme: 'dark' }, ''],
  ['on paper without backgrounds', { media: 'print' }, noBackgrounds],
  ['in forced colours', { forcedColors: 'active' }, ''],
  ['in forced colours, light on dark', { forcedColors: 'active', colorScheme: 'dark' }, ''],
  ['on a screen', {}, ''],
]

describe.each(sampled(looks, 3))('a survey %s', (_, media, style) => {
  test.each([1280, 390])('shows each mark by a sign of its own that needs no colour, %i px wide', async (width) => {
    const page = await open(strips, { ...media, width })
    if (style !== '') await page.addStyleTag({ content: style })
    const middles = new Map<string, number[]>()
    for (const mark of marks) middles.set(mark, await middleOf(page, `.band i.${classOf(mark)}`))
    const plain = middles.get('conforms') ?? []
    expect(range(plain)).toBeLessThan(30)
    for (const mark of signs) {
      const middle = middles.get(mark) ?? []
      expect(range(middle), mark).toBeGreaterThan(100)
      for (const other of signs.filter((one) => one !== mark)) {
        const inks = [inkOf(middle), inkOf(middles.get(other) ?? [])]
        const apart = (inks[0] ?? []).filter((ink, i) => ink !== inks[1]?.[i]).length
        expect(apart, `${mark} and ${other}`).toBeGreaterThan((side * side) / 12)
      }
    }
    await page.context().close()
  })
})

test.each(looks.filter(([, , style]) => style === ''))(
  'what conforms %s is the stronger the nearer it is to its limit',
  async (_, media) => {
    const page = await open(strips, media)
    const ground = mean(await middleOf(page, 'figcaption'))
    const shades: number[] = []
    for (const nth of [1, 5, 10])
      shades.push(Math.abs(mean(await middleOf(page, `.turn:nth-child(1) foreignObject:nth-child(${nth}) i`)) - ground))
    expect(shades[1]).toBeGreaterThan((shades[0] ?? 0) + 15)
    expect(shades[2]).toBeGreaterThan((shades[1] ?? 0) + 15)
    await page.context().close()
  },
)

test('on paper every table of readings is open, which on a screen waits to be asked for', async () => {
  const page = await open(strips, {})
  const tables = page.locator('.strip table')
  expect(await tables.count()).toBe(2)
  expect(await tables.first().isVisible()).toBe(false)
  await page.emulateMedia({ media: 'print' })
  for (const table of await tables.all()) expect(await table.isVisible()).toBe(true)
  expect(await page.getByText('21 µA over limit').first().isVisible()).toBe(true)
  await page.context().close()
})

/** Paper of 210 mm less a margin is about 718 px wide. */
const sheets = [1280, 718, 390]

test.each([strips, '/roster', '/sticks/S-2', '/sticks/S-4', '/notices'])(
  'nothing runs off the side of %s on paper or in forced colours',
  async (path) => {
    const page = await open(path, {})
    for (const media of [{ media: 'print' }, { media: 'screen', forcedColors: 'active' }] as const) {
      await page.emulateMedia(media)
      for (const width of sheets) {
        await page.setViewportSize({ width, height: 900 })
        const beyond = await page.evaluate(() => {
          const { scrollWidth, clientWidth } = (
            globalThis as unknown as { document: { documentElement: { scrollWidth: number; clientWidth: number } } }
          ).document.documentElement
          return scrollWidth - clientWidth
        })
        expect({ ...media, width, beyond }).toEqual({ ...media, width, beyond: 0 })
      }
    }
    await page.context().close()
  },
)

test.each([{ media: 'print' }, { forcedColors: 'active' }] as const)(
  'a stick that must not be used is said so in words within a line around them: %j',
  async (settings) => {
    for (const path of [strips, '/sticks/S-3', '/sticks/S-4']) {
      const page = await open(path, settings)
      const order = page.locator('.order')
      expect(await order.textContent()).toBe('Do not use it')
      const { width, style, colour, ground } = await order.evaluate((element) => {
        const { getComputedStyle } = globalThis as unknown as {
          getComputedStyle(one: unknown): { [name: string]: string }
        }
        const { borderTopWidth, borderTopStyle, color, backgroundColor } = getComputedStyle(element)
        return { width: borderTopWidth, style: borderTopStyle, colour: color, ground: backgroundColor }
      })
      expect({ width, style }).toEqual({ width: '3px', style: 'solid' })
      expect(colour).not.toBe(ground)
      await page.context().close()
    }
  },
)

const schemes = [{ colorScheme: 'light' }, { colorScheme: 'dark' }, { media: 'print' }] as const

test.each(
  sampled(
    schemes.flatMap((one) => [1280, 390].map((width) => ({ ...one, width }))),
    3,
  ),
)('axe finds nothing on the page of a test and on that of a stick never tested: %j', async (settings) => {
  for (const path of [strips, '/sticks/S-3']) {
    const page = await open(path, settings)
    await page.addScriptTag({ path: axe })
    const faults = await page.evaluate(async () => {
      const { axe } = globalThis as unknown as {
        axe: { run(): Promise<{ violations: { id: string; nodes: { html: string }[] }[] }> }
      }
      return (await axe.run()).violations.map(({ id, nodes }) => `${id}: ${nodes[0]?.html}`)
    })
    expect(faults).toEqual([])
    await page.context().close()
  }
})
