/** The control chart of single readings: the worked example of the handbook, and the rules that it lists. */
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { controlChart, leastReadings } from '../../shared-domain/bench-test/control-chart.ts'

/** NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.2, ten batches of a flow rate. */
describe('NIST/SEMATECH e-Handbook 6.3.2.2', () => {
  const flow = [49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1]

  test('mean 50.81, mean step 1.8778, limits 55.8041 and 45.8159, and nothing out of control', () => {
    const chart = controlChart(flow)
    expect(chart?.steps.map((step) => Number(step.toFixed(1)))).toEqual([2, 2.3, 1.4, 3.5, 3.4, 1.4, 0.2, 1.2, 1.5])
    expect(chart?.mean).toBeCloseTo(50.81, 10)
    expect(chart?.meanStep).toBeCloseTo(1.8778, 4)
    expect(chart?.high).toBeCloseTo(55.8041, 4)
    expect(chart?.low).toBeCloseTo(45.8159, 4)
    expect(chart?.warnings).toEqual([])
  })

  test('2.66 times the mean step is the same to three places, and 3.267 times it bounds the steps', () => {
    const chart = controlChart(flow)
    expect((chart?.high ?? 0) - (chart?.mean ?? 0)).toBeCloseTo(2.66 * (chart?.meanStep ?? 0), 2)
    expect(chart?.highStep).toBeCloseTo(6.1348, 3)
  })

  test('fewer than ten readings have no limits, and up to twenty theirs are preliminary', () => {
    expect(controlChart(flow.slice(1))).toBeNull()
    expect(controlChart([])).toBeNull()
    expect(controlChart(flow)?.isPreliminary).toBe(true)
    expect(controlChart([...flow, ...flow])?.isPreliminary).toBe(false)
  })
})

/** NIST/SEMATECH e-Handbook 6.3.2: the rules by which a process is called out of control, and the trend rules. */
describe('warnings', () => {
  const even = [100, 101, 99, 100, 102, 98, 100, 101, 99, 100]
  const rulesOf = (readings: readonly number[]) =>
    controlChart(readings)?.warnings.map(({ rule, from, to }) => `${rule} ${from}-${to}`)

  test('a reading beyond three spreads, and the steps to it and back', () => {
    expect(rulesOf([...even, ...even, 115, ...even])).toEqual([
      'reading-outside 20-20',
      'step-outside 20-20',
      'step-outside 21-21',
    ])
  })

  test('eight in a row on one side of the mean; seven are no warning', () => {
    const low = [98, 97, 98, 97, 98, 97, 98]
    const high = [102, 103, 102, 103, 102, 103, 102]
    expect(rulesOf([...low, ...high])).toEqual([])
    expect(rulesOf([...low, 97, 103, ...high])).toEqual([
      'below-the-mean 0-7',
      'step-outside 8-8',
      'above-the-mean 8-15',
    ])
  })

  test('six in a row that rise or fall; five are no warning, and an equal one ends the row', () => {
    expect(rulesOf([...even, 98, 99, 100, 101, 102])).toEqual([])
    expect(rulesOf([...even, 97, 98, 99, 100, 101, 102])).toEqual(['rising 10-15'])
    expect(rulesOf([...even, 97, 98, 99, 99, 100, 101])).toEqual([])
    expect(rulesOf([...even, 103, 102, 101, 100, 99, 98])).toEqual(['falling 10-15'])
  })

  test('a rise that turns into a fall shares its highest reading with it', () => {
    expect(rulesOf([100, 95, 96, 97, 98, 99, 104, 103, 102, 101, 100, 99])).toEqual(['rising 1-6', 'falling 6-11'])
  })

  test('none where every reading is the same, however fractions are kept', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 1e4, noNaN: true }),
        fc.integer({ min: leastReadings, max: 99 }),
        (one, n) => {
          expect(controlChart(new Array<number>(n).fill(one))?.warnings).toEqual([])
        },
      ),
    )
  })

  test('are the same in another unit, and mirrored where the readings are', () => {
    const readings = fc.array(fc.integer({ min: 80, max: 120 }), { minLength: leastReadings, maxLength: 40 })
    const mirrored = { 'above-the-mean': 'below-the-mean', rising: 'falling' } as const
    fc.assert(
      fc.property(readings, (all) => {
        const chart = controlChart(all)
        const scaled = controlChart(all.map((one) => one * 8))
        expect(scaled?.warnings).toEqual(chart?.warnings)
        expect(scaled?.high).toBeCloseTo(8 * (chart?.high ?? 0), 6)
        const back = controlChart(all.map((one) => 1000 - one))?.warnings
        for (const [rule, other] of Object.entries(mirrored))
          expect(back?.filter((one) => one.rule === other).length).toBe(
            chart?.warnings.filter((one) => one.rule === rule).length,
          )
      }),
    )
  })
})
