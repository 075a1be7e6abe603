/**
 * Pictures of figures: axes at even steps that hold all that is drawn, and the way back through the pages of a list.
 */
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { bars, niceTicks, points } from '../../functions/pages/chart.ts'
import { trailFrom, turning } from '../../functions/pages/trail.ts'
import { inEnglish } from '../support/pages.ts'

describe('an axis', () => {
  test.each([
    [0, 9, [0, 2, 4, 6, 8, 10]],
    [0, 1, [0, 0.2, 0.4, 0.6, 0.8, 1]],
    [0, 62, [0, 20, 40, 60, 80]],
    [93, 107, [90, 95, 100, 105, 110]],
    [1.05, 1.15, [1.04, 1.06, 1.08, 1.1, 1.12, 1.14, 1.16]],
  ])('from %d to %d has marks at %j', (low, high, ticks) => {
    expect(niceTicks(low, high)).toEqual(ticks)
  })

  test('holds both ends, at steps of 1, 2 or 5 and their tens, a few of them', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 1e5, noNaN: true }),
        fc.double({ min: 1e-3, max: 1e5, noNaN: true }),
        (low, span) => {
          const ticks = niceTicks(low, low + span)
          const [first = Number.NaN, second = Number.NaN] = ticks
          expect(first).toBeLessThanOrEqual(low + 1e-6)
          expect(ticks.at(-1)).toBeGreaterThanOrEqual(low + span - 1e-6)
          expect(ticks.length).toBeGreaterThanOrEqual(2)
          expect(ticks.length).toBeLessThanOrEqual(8)
          const step = (second - first).toExponential(6)
          expect(['1', '2', '5', '10', '9.99', '4.99', '1.99'].some((one) => step.startsWith(one))).toBe(true)
        },
      ),
    )
  })
})

const said = { id: 'p', title: 'T', desc: 'D', unit: 'sticks' }
const heightsIn = (svg: string) =>
  [...svg.matchAll(/class="bar" d="M[\d.]+ 216V([\d.]+)h/g)].map(([, y]) => 216 - Number(y))

test('bars are as high as their numbers, from nought, and marks of whole sticks stand beside them', () => {
  fc.assert(
    fc.property(fc.array(fc.integer({ min: 0, max: 1000 }), { minLength: 1, maxLength: 53 }), (values) => {
      const svg = String(
        bars(
          said,
          values.map((value) => ({ value })),
        ),
      )
      const shown = values.filter((value) => value > 0)
      const heights = heightsIn(svg)
      expect(heights).toHaveLength(shown.length)
      const most = Math.max(...shown)
      for (const [i, height] of heights.entries()) {
        const share = (heights[shown.indexOf(most)] ?? 0) * ((shown[i] ?? 0) / most)
        expect(Math.abs(height - share)).toBeLessThan(0.11)
      }
      const marks = [...svg.matchAll(/text-anchor="end">([^<]*)</g)].map(([, mark]) => Number(mark))
      expect(marks[0]).toBe(0)
      expect(marks.every(Number.isInteger)).toBe(true)
      expect(marks.at(-1)).toBeGreaterThanOrEqual(Math.max(0, ...values))
    }),
  )
})

test('a reading stands above the middle of its band where it is higher, and outside the band where it is wrong', () => {
  const svg = String(
    points(
      { ...said, first: 'a', last: 'b' },
      [
        { value: 100, isRight: true, isAfter: false },
        { value: 112, isRight: false, isAfter: true },
      ],
      { from: 90, middle: 100, to: 110 },
    ),
  )
  const [, from = '', to = ''] = /class="edge" d="M64 ([\d.]+)H708M64 ([\d.]+)H/.exec(svg) ?? []
  const [, middle] = /class="asked" d="M64 ([\d.]+)H/.exec(svg) ?? []
  expect(/<circle class="reading full" cx="[\d.]+" cy="([\d.]+)"/.exec(svg)?.[1]).toBe(middle)
  const [, top] = /class="reading wrong hollow" d="M[\d.]+ ([\d.]+)l/.exec(svg) ?? []
  expect(Number(top) + 7).toBeLessThan(Number(to))
  expect(Number(to)).toBeLessThan(Number(from))
})

describe('a list in pages', () => {
  const isPlace = (text: string) => /^\d+$/.test(text)
  const names = { previous: 'back', next: 'on', first: 'first' }
  const linksOf = (address: string, next: string | null) => {
    const query = new URL(address, 'http://pages.example').searchParams
    const trail = trailFrom((name) => query.get(name) ?? undefined, isPlace)
    const text = String(turning({ trail, next, path: '/list', query: { crew: 'CR-1' }, names }, inEnglish))
    const link = (rel: string) => new RegExp(`href="([^"]*)" rel="${rel}"`).exec(text)?.[1]?.replaceAll('&amp;', '&')
    return { on: link('next'), back: link('prev'), first: link('first') }
  }

  test('leads back the way it was read; further than an address is long, to the beginning', () => {
    const seen = ['/list?crew=CR-1']
    for (let place = 1; place <= 30; place++) seen.push(linksOf(seen.at(-1) ?? '', String(place)).on ?? '')
    expect(Math.max(...seen.map((address) => address.length))).toBeLessThan(400)
    let at = seen.length - 1
    for (let address = seen[at] ?? ''; ; at--) {
      const { back, first } = linksOf(address, null)
      if (back === undefined) {
        expect([at, first]).toEqual([10, '/list?crew=CR-1'])
        break
      }
      const placeIn = (one: string) => new URL(one, 'http://pages.example').searchParams.get('after')
      expect(placeIn(back)).toBe(placeIn(seen[at - 1] ?? ''))
      address = back
    }
    expect(linksOf('/list', null)).toEqual({ on: undefined, back: undefined, first: undefined })
  })

  test.each(['after=nonsense', 'after=<b>', 'back=1,2', 'after=1&back=<b>', 'after=1&back='])(
    'begins at its beginning, or leads there, by %s',
    (query) => {
      const { back, first } = linksOf(`/list?${query}`, null)
      expect(back).toBeUndefined()
      expect(first).toBe(query.startsWith('after=1') ? '/list?crew=CR-1' : undefined)
    },
  )
})
