import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { SpanOnTurn } from '../../../shared-domain/bench-test/read-places.ts'
import type { Cell, Mark, Strip } from '../../../shared-domain/bench-test/strip.ts'
import { earlierTestAdvised, type TestedStrips, trendsOf } from '../../../shared-domain/bench-test/trend.ts'
import { addDays, daysBetween } from '../../../shared-domain/calendar.ts'
import { quarterTurns } from '../../../shared-domain/words.ts'
import { day } from './fixtures.ts'

const start = day('2016-03-02')
const cellOf = (leakageMicroamps: number | null, over: Partial<Cell> = {}): Cell => ({
  fromMetres: 1,
  toMetres: 1.3,
  leakageMicroamps,
  mark: 'conforms',
  ...over,
})
const stripOf = (cells: readonly Cell[], over: Partial<Strip> = {}): Strip => ({
  state: 'dry',
  lengthMetres: 2.4,
  limitMicroamps: 10,
  turns: quarterTurns.map((quarterTurn) => ({ quarterTurn, cells: quarterTurn === 90 ? cells : [] })),
  ...over,
})
/** One place, one reading a test, `every` days apart; the limit is a SAMPLE of 10 µA. */
const history = (readings: readonly number[], every = 400, over: Partial<Strip> = {}): TestedStrips[] =>
  readings.map((reading, index) => ({
    testedOn: addDays(start, index * every),
    strips: [stripOf([cellOf(reading)], over)],
  }))
const only = (tests: readonly TestedStrips[]) => {
  const trends = trendsOf(tests)
  expect(trends).toHaveLength(1)
  return trends[0]
}

describe('a trend', () => {
  test('of 1 µA in 400 days meets 10 µA on the day the line says', () => {
    expect(trendsOf(history([4, 5, 6, 7, 8]))).toEqual([
      {
        state: 'dry',
        quarterTurn: 90,
        fromMetres: 1,
        toMetres: 1.3,
        points: 5,
        microampsPerYear: 365.25 / 400,
        limitMicroamps: 10,
        significant: true,
        limitMetOn: addDays(start, 2400),
      },
    ])
  })

  test.each([
    ['four readings never are, of 24 orders 2 are in order', [4, 5, 6, 7], false],
    ['five in order are', [4, 5, 6, 7, 8], true],
    ['five with one out of order are not', [4, 6, 5, 7, 8], false],
    ['six with one out of order are', [4, 6, 5, 7, 8, 9], true],
    ['equal readings are not', [5, 5, 5, 5, 5, 5], false],
    ['falling ones are', [8, 7, 6, 5, 4], true],
  ])('significant: %s', (_, readings, significant) => {
    expect(only(history(readings))).toMatchObject({ significant, points: readings.length })
  })

  test.each([
    ['that is not significant', history([4, 5, 6, 7])],
    ['that falls', history([8, 7, 6, 5, 4])],
    ['without a limit', history([4, 5, 6, 7, 8], 400, { limitMicroamps: null })],
    ['too slow for the calendar', history([4, 4.0001, 4.0002, 4.0003, 4.0004])],
    ['that takes more than thirty years', history([4, 5, 6, 7, 8], 5479)],
    ['as slow as numbers go', history([4, 4 + 1e-15, 4 + 2e-15, 4 + 3e-15, 4 + 4e-15])],
  ])('%s meets no limit', (_, tests) => {
    expect(only(tests)?.limitMetOn).toBeNull()
  })

  test('that lay level most of its years meets no limit, though it is over it and rose for sure', () => {
    expect(only(history([12, 12, 12, 12, 12, 12, 12, 13, 13, 13]))).toMatchObject({
      significant: true,
      microampsPerYear: 0,
      limitMetOn: null,
    })
  })

  test('that takes just less than thirty years still meets it', () => {
    expect(only(history([4, 5, 6, 7, 8], 5478))?.limitMetOn).toBe(addDays(start, 6 * 5478))
  })

  test('that met the limit before the newest test meets it on that day, also where it read another place', () => {
    expect(only(history([6, 8, 10, 12, 14]))?.limitMetOn).toBe(addDays(start, 1600))
    const elsewhere = { testedOn: addDays(start, 2000), strips: [stripOf([])] }
    expect(only([...history([6, 8, 10, 12, 14]), elsewhere])?.limitMetOn).toBe(elsewhere.testedOn)
  })

  test('that meets the limit in the course of a day meets it on that day, not the next', () => {
    // 1.1 µA in 400 days from 4 µA: 6 µA more take 2181.8 days
    expect(only(history([4, 5.1, 6.2, 7.3, 8.4]))?.limitMetOn).toBe(addDays(start, 2181))
  })

  test('is not pulled aside by one wild reading', () => {
    const line = { significant: true, microampsPerYear: 365.25 / 400, limitMetOn: addDays(start, 2800) }
    expect(only(history([3, 4, 5, 6, 7, 8, 9]))).toMatchObject(line)
    expect(only(history([3, 4, 5, 6, 7, 8, 90]))).toMatchObject(line)
  })
})

describe('what counts', () => {
  test.each<[string, Mark, number | null, number]>([
    ['a reading over the limit does', 'over limit', 12, 6],
    ['one in the guard band does', 'in guard band', 9.5, 6],
    ['one without a limit does', 'no limit', 9, 6],
    ['one not settled does not', 'not settled', 9, 5],
    ['a place not read does not', 'not read', null, 5],
    ['an overlap too small does not', 'overlap too small', null, 5],
  ])('%s', (_, mark, reading, points) => {
    const sixth = { testedOn: addDays(start, 2000), strips: [stripOf([cellOf(reading, { mark })])] }
    expect(only([...history([4, 5, 6, 7, 8]), sixth])?.points).toBe(points)
  })

  test('two tests on one day are both counted, and tests on one day alone are no trend', () => {
    expect(only([...history([4, 5, 6, 7, 8]), ...history([4.5])])?.points).toBe(6)
    expect(trendsOf([...history([4]), ...history([5]), ...history([6])])).toEqual([])
    expect(trendsOf([])).toEqual([])
  })

  test('the limit is that of the newest test, the strictest of several on its day', () => {
    const tests = history([4, 5, 6, 7, 8])
    const sixth = (limitMicroamps: number | null) => ({
      testedOn: addDays(start, 2000),
      strips: [stripOf([cellOf(9)], { limitMicroamps })],
    })
    expect(only([...tests, sixth(12)])).toMatchObject({ limitMicroamps: 12, limitMetOn: addDays(start, 3200) })
    expect(only([sixth(12), ...tests, sixth(11), sixth(null)])?.limitMicroamps).toBe(11)
    expect(only([...tests, sixth(null)])).toMatchObject({ limitMicroamps: null, limitMetOn: null })
    expect(only([sixth(12), ...tests])?.limitMicroamps).toBe(12)
  })

  test('a section that the newest test no longer names keeps the limit of the last one that did', () => {
    const newest = {
      testedOn: addDays(start, 2000),
      strips: [stripOf([cellOf(9)], { section: 'butt', limitMicroamps: 12 })],
    }
    expect(only([...history([4, 5, 6, 7, 8], 400, { section: 'tip' }), newest])).toMatchObject({
      section: 'tip',
      limitMicroamps: 10,
    })
  })
})

describe('places', () => {
  test('are the same in whole millimetres, on the same turn, section and state', () => {
    const at = (over: Partial<Cell>, strip: Partial<Strip> = {}) => ({
      testedOn: addDays(start, 2000),
      strips: [stripOf([cellOf(9, over)], strip)],
    })
    const placesWith = (sixth: TestedStrips) => trendsOf([...history([4, 5, 6, 7, 8]), sixth]).map((one) => one.points)
    expect(placesWith(at({ fromMetres: 1.0004, toMetres: 1.2996 }))).toEqual([6])
    expect(placesWith(at({ toMetres: 1.301 }))).toEqual([5])
    expect(placesWith(at({}, { section: 'tip' }))).toEqual([5])
    expect(placesWith(at({}, { state: 'wet' }))).toEqual([5])
    const turned = quarterTurns.map((quarterTurn) => ({ quarterTurn, cells: quarterTurn === 180 ? [cellOf(9)] : [] }))
    expect(placesWith(at({}, { turns: turned }))).toEqual([5])
  })

  test('each have their own trend and limit, dry before wet, section by section, along the stick', () => {
    const tests = [4, 5, 6, 7, 8].map((reading, index) => ({
      testedOn: addDays(start, index * 400),
      strips: [
        stripOf([cellOf(2 * reading)], { state: 'wet', limitMicroamps: 20, section: 'tip' }),
        stripOf([cellOf(reading), cellOf(1, { fromMetres: 0, toMetres: 0.3 })], { section: 'tip' }),
        stripOf([cellOf(2)], { section: 'butt' }),
      ],
    }))
    const told = trendsOf(tests).map(({ state, section, fromMetres, limitMicroamps, limitMetOn }) => {
      return [state, section, fromMetres, limitMicroamps, limitMetOn === null ? null : daysBetween(start, limitMetOn)]
    })
    expect(told).toEqual([
      ['dry', 'butt', 1, 10, null],
      ['dry', 'tip', 0, 10, null],
      ['dry', 'tip', 1, 10, 2400],
      ['wet', 'tip', 1, 20, 2400],
    ])
  })
})

describe('the order of places', () => {
  const from = (fromMetres: number, toMetres: number): SpanOnTurn => ({
    state: 'dry',
    section: 'Butt',
    quarterTurn: 0,
    fromMetres,
    toMetres,
  })
  /** In the order they are to come in, by code unit where sections have names. */
  const ordered: SpanOnTurn[] = [
    { state: 'dry', quarterTurn: 270, fromMetres: 1, toMetres: 1.3 },
    from(0, 0.3),
    from(0, 0.4),
    from(0.25, 0.35),
    { ...from(0, 0.3), quarterTurn: 90 },
    { ...from(0, 0.3), section: 'Tip' },
    { state: 'wet', quarterTurn: 0, fromMetres: 0, toMetres: 0.3 },
    { ...from(0, 0.3), state: 'wet' },
  ]
  const read = ({ quarterTurn, fromMetres, toMetres, ...strip }: SpanOnTurn, microamps: number) =>
    stripOf([], { ...strip, turns: [{ quarterTurn, cells: [cellOf(microamps, { fromMetres, toMetres })] }] })
  const placeOf = ({ state, section, quarterTurn, fromMetres, toMetres }: SpanOnTurn): SpanOnTurn => ({
    state,
    ...(section === undefined ? {} : { section }),
    quarterTurn,
    fromMetres,
    toMetres,
  })
  const tests = (places: readonly SpanOnTurn[]): TestedStrips[] =>
    [4, 5, 6, 7, 8].map((microamps, index) => ({
      testedOn: addDays(start, index * 400),
      strips: places.map((place) => read(place, microamps)),
    }))

  test('is dry before wet, the whole stick before its sections, then turn by turn along it, however read', () => {
    for (const places of [ordered, ordered.toReversed()]) {
      expect(trendsOf(tests(places)).map(placeOf)).toStrictEqual(ordered)
    }
  })

  test('of those that meet their limit on one day is the same', () => {
    for (const places of [ordered, ordered.toReversed()]) {
      const trends = trendsOf(tests(places)).toReversed()
      expect(earlierTestAdvised(trends, addDays(start, 2401)).map(placeOf)).toStrictEqual(ordered)
    }
  })
})

describe('an earlier test', () => {
  const tests = [
    ...history([4, 5, 6, 7, 8]),
    ...history([5, 6, 7, 8, 9], 400, { section: 'tip' }),
    ...history([8, 7, 6, 5, 4], 400, { section: 'butt' }),
    ...history([4.5, 5.5, 6.5, 7.5, 8.5], 400, { section: 'middle' }),
  ]
  const advised = (due: number, trends = trendsOf(tests)) =>
    earlierTestAdvised(trends, addDays(start, due)).map((one) => one.section ?? 'whole')

  test('is advised where a limit is met before the test falls due, the most pressing first', () => {
    expect(advised(2401)).toEqual(['tip', 'middle', 'whole'])
    expect(advised(2401, trendsOf(tests).toReversed())).toEqual(['tip', 'middle', 'whole'])
    expect(advised(2400)).toEqual(['tip', 'middle'])
    expect(advised(2200)).toEqual(['tip'])
    expect(advised(2000)).toEqual([])
  })
})

describe('random histories', () => {
  const anyHistory = fc
    .array(
      fc.record({
        days: fc.nat({ max: 4000 }),
        readings: fc.array(fc.integer({ min: 0, max: 12_000 }), { minLength: 3, maxLength: 3 }),
        rise: fc.constantFrom(0, 1, 2),
      }),
      { maxLength: 9 },
    )
    .map((made) =>
      made.map(({ days, readings, rise }): TestedStrips => {
        const cells = readings.map((reading, index) =>
          cellOf((reading * (rise === 0 ? 1 : 0.1) + rise * days) / 1000, {
            fromMetres: index * 0.25,
            toMetres: index * 0.25 + 0.3,
          }),
        )
        return {
          testedOn: addDays(start, days),
          strips: [stripOf(cells), stripOf(cells, { state: 'wet', limitMicroamps: 8 })],
        }
      }),
    )
  const seeded = { seed: 1968, numRuns: 500 }

  test('the order of tests, strips and readings changes nothing', () => {
    const backwards = (tests: readonly TestedStrips[]) =>
      [...tests].reverse().map(({ testedOn, strips }) => ({
        testedOn,
        strips: [...strips].reverse().map((strip) => ({
          ...strip,
          turns: [...strip.turns].reverse().map((turn) => ({ ...turn, cells: [...turn.cells].reverse() })),
        })),
      }))
    fc.assert(
      fc.property(anyHistory, (tests) => {
        expect(trendsOf(backwards(tests))).toEqual(trendsOf(tests))
      }),
      seeded,
    )
  })

  test('a limit is met by what rises for sure, from the newest test on and within thirty years', () => {
    let met = 0
    fc.assert(
      fc.property(anyHistory, (tests) => {
        for (const trend of trendsOf(tests)) {
          if (trend.limitMetOn === null) continue
          met++
          expect(trend).toMatchObject({ significant: true })
          expect(trend.points).toBeGreaterThanOrEqual(5)
          expect(trend.microampsPerYear).toBeGreaterThan(0)
          for (const { testedOn } of tests) expect(trend.limitMetOn >= testedOn).toBe(true)
          expect(daysBetween(start, trend.limitMetOn)).toBeLessThanOrEqual(4000 + 10_957)
        }
      }),
      seeded,
    )
    expect(met).toBeGreaterThan(100)
  })

  test('no advice is for the day a test falls due or later', () => {
    fc.assert(
      fc.property(anyHistory, fc.nat({ max: 15_000 }), (tests, days) => {
        const dueOn = addDays(start, days)
        for (const { limitMetOn } of earlierTestAdvised(trendsOf(tests), dueOn)) {
          expect(limitMetOn !== null && limitMetOn < dueOn).toBe(true)
        }
      }),
      seeded,
    )
  })
})
