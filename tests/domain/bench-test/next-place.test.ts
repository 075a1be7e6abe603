import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { Reading, Withstand } from '../../../shared-domain/bench-test/bench-test.ts'
import { unread } from '../../../shared-domain/bench-test/coverage.ts'
import { judge } from '../../../shared-domain/bench-test/judge.ts'
import {
  type AtTheBench,
  type MeasuredSoFar,
  type NextPlace,
  nextPlace,
  spanTooShort,
} from '../../../shared-domain/bench-test/next-place.ts'
import { unshown } from '../../../shared-domain/bench-test/withstand.ts'
import { surfaceStates } from '../../../shared-domain/words.ts'
import { tally } from '../../support/tally.ts'
import { judgedBy, procedureOf, stickOf, survey, testOf, wetOf } from './fixtures.ts'

const at = (over: Partial<AtTheBench> = {}): AtTheBench => ({
  stick: stickOf(),
  procedure: { leastOverlapMetres: 0.05 },
  instrument: { spanMetres: 0.3 },
  ...over,
})

/** The test once the place is read, with figures that pass. */
function read(done: MeasuredSoFar, { state, ...place }: NextPlace): MeasuredSoFar {
  const { quarterTurn } = place
  if (quarterTurn === undefined) {
    const row: Withstand = { ...place, state, kilovolts: 100, seconds: 300, outcome: 'withstood' }
    return { ...done, withstand: [...(done.withstand ?? []), row] }
  }
  const reading: Reading = { ...place, quarterTurn, leakageMicroamps: state === 'dry' ? 4 : 9, settled: true }
  const readings = [...(done[state]?.readings ?? []), reading]
  return state === 'dry' ? { ...done, dry: { readings } } : { ...done, wet: wetOf(readings) }
}

/** Everything that is asked for, one place after the other, until nothing is. */
function allPlaces(
  begun: MeasuredSoFar,
  bench: AtTheBench,
  places: NextPlace[] = [],
): { places: NextPlace[]; end: MeasuredSoFar } {
  const next = nextPlace(begun, bench)
  if (next === null) return { places, end: begun }
  if (next === spanTooShort || places.length > 2000) throw new Error('it never ends')
  return allPlaces(read(begun, next), bench, [...places, next])
}

const missing = (end: MeasuredSoFar, { stick, procedure }: AtTheBench) =>
  surfaceStates
    .filter((state) => stick.construction !== 'wood' || state === 'dry')
    .flatMap((state) => unread({ state, readings: end[state]?.readings ?? [] }, stick, procedure.leastOverlapMetres))

/** One is asked to be read dry alone, and shorter than any that is entered, so that every start can be tried. */
const wooden = stickOf({ construction: 'wood' })

const mm = (metres: number) => Math.round(metres * 1000)

/**
 * The fewest further readings of one turn, by trying every start of each: a reading vouches for all of it but the part
 * that the next one is to share.
 */
function fewest(spans: readonly (readonly [number, number])[], length: number, [span, overlap]: [number, number]) {
  const target = length - overlap
  const cost: number[] = Array.from({ length: target + 1 }, () => Number.POSITIVE_INFINITY)
  cost[0] = 0
  const reach = (place: number, readings: number) => {
    const to = Math.max(0, Math.min(place, target))
    cost[to] = Math.min(cost[to] ?? 0, readings)
  }
  for (let place = 0; place < target; place++) {
    const so = cost[place] ?? 0
    for (const [from, to] of spans) if (from <= place) reach(Math.max(place, to - overlap), so)
    for (let from = 0; from <= place; from++) reach(Math.max(place, from + span - overlap), so + 1)
    // a later place for the same readings is no worse
  }
  return cost[target] ?? 0
}

const anyTurn = fc.record({
  length: fc.integer({ min: 20, max: 90 }),
  span: fc.integer({ min: 6, max: 40 }),
  overlap: fc.integer({ min: 0, max: 5 }),
  begun: fc.oneof(
    { weight: 1, arbitrary: fc.constant<(readonly [number, number])[]>([[0, 90]]) },
    {
      weight: 9,
      arbitrary: fc.array(
        fc
          .tuple(fc.integer({ min: 0, max: 80 }), fc.integer({ min: 1, max: 30 }))
          .map(([from, long]) => [from, from + long] as const),
        { maxLength: 5 },
      ),
    },
  ),
})

describe('the next place', () => {
  test('is nought on the first turn, dry, and then as far along as the overlap allows', () => {
    const { places } = allPlaces({}, at())
    expect(places.slice(0, 2)).toEqual([
      { state: 'dry', quarterTurn: 0, fromMetres: 0, toMetres: 0.3 },
      { state: 'dry', quarterTurn: 0, fromMetres: 0.25, toMetres: 0.55 },
    ])
    // 2.4 m in steps of 0.25 m after the first: (2.4 − 0.05) / (0.3 − 0.05) = 9.4, so ten to a turn, by arithmetic
    expect(places).toHaveLength(2 * 4 * 10)
    expect(places[9]).toEqual({ state: 'dry', quarterTurn: 0, fromMetres: 2.1, toMetres: 2.4 })
    expect(places[10]).toEqual({ state: 'dry', quarterTurn: 90, fromMetres: 0, toMetres: 0.3 })
    expect(places[40]).toMatchObject({ state: 'wet', quarterTurn: 0, fromMetres: 0 })
  })

  test('asked again and again leaves nothing unread, with no reading more than are needed', () => {
    const runs = 1500
    const seen = tally(runs)
    fc.assert(
      fc.property(anyTurn, ({ length, span, overlap, begun }) => {
        const stick = { ...wooden, workingLengthMetres: length / 1000 }
        const bench = at({
          stick,
          procedure: { leastOverlapMetres: overlap / 1000 },
          instrument: { spanMetres: span / 1000 },
        })
        const spans = begun.filter(([from]) => from < length)
        const readings = spans.map(([from, to]) => ({
          quarterTurn: 90 as const,
          fromMetres: from / 1000,
          toMetres: Math.min(to, length) / 1000,
          leakageMicroamps: 4,
        }))
        const { places, end } = allPlaces({ dry: { readings } }, bench)
        expect(missing(end, bench)).toEqual([])
        const onTurn = places.filter(({ quarterTurn }) => quarterTurn === 90)
        expect(onTurn).toHaveLength(fewest(spans, length, [span, overlap]))
        for (const { fromMetres, toMetres } of places) {
          expect(mm(toMetres) - mm(fromMetres)).toBe(Math.min(span, length))
          expect(mm(toMetres)).toBeLessThanOrEqual(length)
        }
        seen.count(
          onTurn.length === 0 && 'nothing left',
          onTurn.length > 0 && spans.length > 0 && 'gone on with',
          spans.length === 0 && 'from the beginning',
          onTurn.length > 1 && spans.some(([from]) => from > mm(onTurn.at(-1)?.fromMetres ?? 0)) && 'filled in between',
        )
      }),
      { numRuns: runs },
    )
    seen.expectAtLeast(0.02, 'nothing left', 'from the beginning', 'filled in between')
    seen.expectAtLeast(0.3, 'gone on with')
  })

  test('goes through a telescoping stick section by section, and knows no wet for wood', () => {
    const sections = [
      { name: 'tip', lengthMetres: 0.5 },
      { name: 'butt', lengthMetres: 0.2 },
    ]
    const telescoping = at({ stick: stickOf({ workingLengthMetres: 0.7, sections }) })
    const { places, end } = allPlaces({}, telescoping)
    const order = places.map(({ state, section, quarterTurn }) => `${state} ${section} ${quarterTurn}`)
    expect([...new Set(order)]).toEqual(
      ['dry', 'wet'].flatMap((state) =>
        ['tip', 'butt'].flatMap((section) => [0, 90, 180, 270].map((turn) => `${state} ${section} ${turn}`)),
      ),
    )
    expect(places.filter(({ section }) => section === 'butt').map(({ toMetres }) => toMetres)).toEqual(
      Array(8).fill(0.2),
    )
    expect(missing(end, telescoping)).toEqual([])

    const { places: ofWood } = allPlaces({}, at({ stick: wooden }))
    expect(new Set(ofWood.map(({ state }) => state))).toEqual(new Set(['dry']))
  })

  test('comes back to a gap, and to a place where two readings share too little', () => {
    const whole = survey()
    const without = whole.filter((_, i) => i !== 3)
    expect(nextPlace({ dry: { readings: without } }, at())).toEqual({
      state: 'dry',
      quarterTurn: 0,
      fromMetres: 0.75,
      toMetres: 1.05,
    })
    const thin = whole.map((row, i) => (i === 3 ? { ...row, fromMetres: 0.78 } : row))
    expect(nextPlace({ dry: { readings: thin } }, at())).toMatchObject({ quarterTurn: 0, fromMetres: 0.75 })
  })

  test('read until nothing is left, a test passes', () => {
    const { end } = allPlaces({}, at())
    expect(judge(testOf({ dry: end.dry, wet: end.wet }), judgedBy()).verdict).toBe('pass')
    const { places } = allPlaces({}, at())
    const unfinished = places.slice(0, -1).reduce<MeasuredSoFar>(read, {})
    expect(judge(testOf({ dry: unfinished.dry, wet: unfinished.wet }), judgedBy()).verdict).toBe('incomplete')
  })

  test('says when no sequence of readings would do', () => {
    expect(nextPlace({}, at({ procedure: { leastOverlapMetres: 0.3 } }))).toBe(spanTooShort)
    // a stick that lies between the electrodes whole needs no overlap
    const short = at({ stick: stickOf({ workingLengthMetres: 0.25 }), procedure: { leastOverlapMetres: 0.3 } })
    expect(nextPlace({}, short)).toMatchObject({ fromMetres: 0, toMetres: 0.25 })
  })
})

describe('by the withstand method', () => {
  const stick = stickOf({ workingLengthMetres: 1 })

  test('voltages are laid end to end, all round at once', () => {
    const { places, end } = allPlaces({ withstand: [] }, at({ stick }))
    expect(places.filter(({ state }) => state === 'dry')).toEqual(
      [0, 0.3, 0.6, 0.7].map((from) => ({ state: 'dry', fromMetres: from, toMetres: mm(from + 0.3) / 1000 })),
    )
    for (const state of surfaceStates) {
      const rows = (end.withstand ?? []).filter((row) => row.state === state)
      expect(rows).toHaveLength(4)
      const reasons = unshown(state, rows, { stick, reason: 'periodic', procedure: procedureOf() })
      expect(reasons.filter(({ code }) => code === 'gap')).toEqual([])
    }
  })

  test('a state that is shown by voltages is not read too, and one that is being read goes on', () => {
    const row = { fromMetres: 0, toMetres: 1, state: 'dry', kilovolts: 300, seconds: 60, outcome: 'withstood' } as const
    expect(nextPlace({ withstand: [row], dry: { readings: [] } }, at({ stick }))).toEqual({
      state: 'wet',
      fromMetres: 0,
      toMetres: 0.3,
    })
    const mixed = nextPlace({ withstand: [row], wet: wetOf([]) }, at({ stick }))
    expect(mixed).toEqual({ state: 'wet', quarterTurn: 0, fromMetres: 0, toMetres: 0.3 })
  })
})
