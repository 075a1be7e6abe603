import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import * as coverage from '../../../shared-domain/bench-test/coverage.ts'
import type { Millimetres } from '../../../shared-domain/quantities.ts'
import { asRead } from '../../support/english.ts'
import { tally } from '../../support/tally.ts'
import { stickOf, survey } from './fixtures.ts'

const { gapsBetween, outermostSpans, thinOverlaps } = coverage
const unread = asRead(coverage.unread)
const sectionsTooShort = asRead(coverage.sectionsTooShort)

const mm = (length: number) => length as Millimetres
const rows = (...spans: [number, number][]) =>
  spans.map(([from, to]) => ({ fromMetres: from / 1000, toMetres: to / 1000 }))

const anySpans = fc.array(
  fc
    .tuple(fc.integer({ min: 0, max: 240 }), fc.integer({ min: 1, max: 90 }))
    .map(([from, long]) => [from, from + long] as [number, number]),
  { maxLength: 14 },
)

function kindsOf(gaps: readonly [number, number][], length: number) {
  const between = gaps.some(([from, to]) => from > 0 && to < length)
  return [
    gaps.length === 0 && 'none',
    gaps.length > 1 && 'several',
    gaps[0]?.[0] === 0 && 'at the start',
    gaps.at(-1)?.[1] === length && 'at the end',
    between && 'between',
  ]
}

describe('gaps', () => {
  test('are the runs of millimetres no reading touches', () => {
    const seen = tally(2000)
    const whole = fc.constantFrom<[number, number][]>(
      [],
      [
        [0, 90],
        [80, 240],
      ],
      [[10, 240]],
    )
    fc.assert(
      fc.property(whole, anySpans, (some, random) => {
        const length = 240
        const spans = [...some, ...random]
        const bitmap = Array.from({ length }, (_, at) => spans.some(([from, to]) => from <= at && at < to))
        const runs: [number, number][] = []
        bitmap.forEach((covered, at) => {
          if (covered) return
          const last = runs.at(-1)
          if (last !== undefined && last[1] === at) last[1] = at + 1
          else runs.push([at, at + 1])
        })
        const found = gapsBetween(outermostSpans(rows(...spans), mm(length)), mm(length))
        expect(found.map((gap) => [gap.from, gap.to])).toEqual(runs)
        seen.count(...kindsOf(runs, length))
      }),
      { seed: 269, numRuns: 2000 },
    )
    seen.expectAtLeast(0.1, 'none', 'at the start', 'at the end', 'between', 'several')
  })

  test('of nothing at all is the whole length', () => {
    expect(gapsBetween([], mm(2400))).toEqual([{ from: 0, to: 2400 }])
  })

  test('are found at both ends and in whole millimetres: 0.1 + 0.2 m meets 0.3 m', () => {
    const spans = outermostSpans(
      [
        { fromMetres: 0.05, toMetres: 0.1 + 0.2 },
        { fromMetres: 0.3, toMetres: 0.9 },
      ],
      mm(1000),
    )
    expect(gapsBetween(spans, mm(1000))).toEqual([
      { from: 0, to: 50 },
      { from: 900, to: 1000 },
    ])
  })
})

describe('the outermost spans', () => {
  test('leave out what is empty, backwards, or beyond the end of the stick', () => {
    const spans = outermostSpans(rows([0, 300], [400, 400], [500, 450], [1100, 1200], [900, 1100]), mm(1000))
    expect(spans).toEqual([
      { from: 0, to: 300 },
      { from: 900, to: 1000 },
    ])
  })

  test('are the longest of those that begin at one place, whichever was read first', () => {
    for (const both of [rows([0, 100], [0, 300]), rows([0, 300], [0, 100])]) {
      expect(outermostSpans(both, mm(1000))).toEqual([{ from: 0, to: 300 }])
    }
  })
})

describe('overlap', () => {
  test('is enough exactly when every stretch as long as the least overlap lies inside one reading', () => {
    const seen = tally(2000)
    fc.assert(
      fc.property(anySpans, fc.integer({ min: 1, max: 30 }), (random, least) => {
        const length = 240
        // a floor of readings without gaps, so that what differs is the overlap
        const floor: [number, number][] = [
          [0, 80],
          [75, 165],
          [140, 240],
        ]
        const spans = [
          ...floor,
          ...random.map(([from, to]) => [from, Math.min(to, length)] as [number, number]),
        ].filter(([from, to]) => from < to)
        const starts = Array.from({ length: 2 * (length - least) + 1 }, (_, half) => half / 2)
        const all = starts.every((start) => spans.some(([from, to]) => from <= start && start + least <= to))
        seen.count(all ? 'enough' : 'too thin')
        expect(thinOverlaps(outermostSpans(rows(...spans), mm(length)), mm(least)).length === 0).toBe(all)
      }),
      { seed: 4, numRuns: 2000 },
    )
    seen.expectAtLeast(0.1, 'enough', 'too thin')
  })

  test('is not lessened by a reading inside another', () => {
    const spans = outermostSpans(rows([0, 300], [290, 310], [250, 550]), mm(550))
    expect(spans).toEqual([
      { from: 0, to: 300 },
      { from: 250, to: 550 },
    ])
    expect(thinOverlaps(spans, mm(50))).toEqual([])
  })

  test('is told at its place; readings that only touch overlap by nothing', () => {
    const spans = outermostSpans(rows([0, 300], [300, 600], [551, 900], [950, 1000]), mm(1000))
    expect(thinOverlaps(spans, mm(50))).toEqual([
      { from: 300, to: 300 },
      { from: 551, to: 600 },
    ])
    expect(thinOverlaps(outermostSpans(rows([0, 300], [300, 600]), mm(600)), mm(0))).toEqual([])
  })
})

describe('unread', () => {
  const stick = stickOf()

  test('names the gap of the one quarter turn it is on', () => {
    const readings = survey().filter((row) => row.quarterTurn !== 180 || ![1, 1.25].includes(row.fromMetres))
    expect(unread({ state: 'dry', readings }, stick, 0.05)).toMatchObject([
      { code: 'gap', state: 'dry', quarterTurn: 180, fromMetres: 1.05, toMetres: 1.5 },
    ])
  })

  test('tells of a missing turn once, and not of its gaps too', () => {
    const found = unread({ state: 'wet', readings: survey({ turns: [0, 180] }) }, stick, 0.05)
    expect(found.map(({ code, quarterTurn }) => [code, quarterTurn])).toEqual([
      ['turn-missing', 90],
      ['turn-missing', 270],
    ])
  })

  test('tells people what is missing and what would be right', () => {
    const only = { turns: [0] as const, length: 600 }
    const short = stickOf({ workingLengthMetres: 0.7 })
    const readings = [...survey({ ...only, step: 280 }), ...survey({ ...only, turns: [90], length: 700 })]
    expect(unread({ state: 'dry', readings }, short, 0.05)).toStrictEqual([
      {
        code: 'gap',
        text: 'Dry, quarter turn 0°, 0.6 to 0.7 m: no reading there; the readings must cover the whole 0.7 m',
        state: 'dry',
        quarterTurn: 0,
        fromMetres: 0.6,
        toMetres: 0.7,
      },
      {
        code: 'overlap-too-small',
        text:
          'Dry, quarter turn 0°, 0.28 to 0.3 m: readings overlap by 20 mm; ' +
          'each must overlap the next by at least 50 mm',
        state: 'dry',
        quarterTurn: 0,
        fromMetres: 0.28,
        toMetres: 0.3,
      },
      ...([180, 270] as const).map((quarterTurn) => ({
        code: 'turn-missing',
        text: `Dry, quarter turn ${quarterTurn}°: no reading there; all four quarter turns must be read`,
        state: 'dry' as const,
        quarterTurn,
      })),
    ])
  })

  test('goes section by section on a telescoping stick', () => {
    const sections = [
      { name: 'tip', lengthMetres: 1.2 },
      { name: 'butt', lengthMetres: 1.5 },
    ]
    const long = stickOf({ sections })
    const tip = survey({ length: 1200, section: 'tip' })
    expect(
      unread({ state: 'dry', readings: [...tip, ...survey({ length: 1500, section: 'butt' })] }, long, 0.05),
    ).toEqual([])
    const short = unread({ state: 'dry', readings: [...tip, ...survey({ length: 1400, section: 'butt' })] }, long, 0.05)
    expect(short.map(({ code, section, fromMetres, toMetres }) => [code, section, fromMetres, toMetres])).toEqual(
      Array.from({ length: 4 }, () => ['gap', 'butt', 1.4, 1.5]),
    )
    expect(unread({ state: 'dry', readings: survey() }, long, 0.05).every(({ code }) => code === 'turn-missing')).toBe(
      true,
    )
  })
})

test('sections have to make up the working length between them, to the millimetre', () => {
  const sections = (tip: number) => [
    { name: 'tip', lengthMetres: tip },
    { name: 'butt', lengthMetres: 1.3 },
  ]
  expect(sectionsTooShort(stickOf())).toEqual([])
  expect(sectionsTooShort(stickOf({ sections: sections(1.1) }))).toEqual([])
  expect(sectionsTooShort(stickOf({ sections: sections(1.2) }))).toEqual([])
  expect(sectionsTooShort(stickOf({ sections: sections(1.099) }))).toEqual([
    {
      code: 'sections-too-short',
      text: 'The sections on the register add up to 2.399 m; they have to make up the working length, 2.4 m',
    },
  ])
})
