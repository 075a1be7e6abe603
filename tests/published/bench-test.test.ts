/**
 * Examples and tables of published documents. The limits in microamperes are SAMPLE figures: no document gives them.
 */
import { describe, expect, test } from 'vitest'
import type { Demonstrated } from '../../shared-domain/bench-test/demonstration.ts'
import { judge } from '../../shared-domain/bench-test/judge.ts'
import { limitFor, standing } from '../../shared-domain/bench-test/limits.ts'
import { requiredKilovolts, withstandRules } from '../../shared-domain/bench-test/withstand.ts'
import type { Procedure } from '../../shared-domain/registers.ts'
import type { Construction } from '../../shared-domain/words.ts'
import {
  codes,
  day,
  judgedBy,
  procedureOf,
  shown,
  stickOf,
  survey,
  testOf,
  wetOf,
} from '../domain/bench-test/fixtures.ts'
import { textOf } from '../support/english.ts'

/** A stick of 8 ft read in eight places on each of four quarter turns; SAMPLE limits dry 10 µA, wet 20 µA. */
const eightFeet = stickOf({ workingLengthMetres: 2.4384 })
const places = { length: 2438, span: 355, step: 298 }
const by = (over: Parameters<typeof judgedBy>[0] = {}) =>
  judgedBy({ stick: eightFeet, instrumentSpanMetres: 0.355, ...over })
const dry = (value = 6) => ({ readings: survey({ ...places, value }) })
const wet = (value = 12) => wetOf(survey({ ...places, value, wet: true }))
const told = (over: Parameters<typeof testOf>[0], against = by()) => {
  const { verdict, reasons } = judge(testOf({ dry: dry(), wet: wet(), ...over }), against)
  return [verdict, codes(reasons)]
}

describe('worked evaluations of one survey', () => {
  test('eight places on four quarter turns, as UFC 3-560-01 5-4.12.5 turns the stick', () => {
    expect(dry().readings).toHaveLength(32)
  })

  test('29 CFR 1910.269(j)(2)(iii)(D): dry at most 6 and wet at most 12 over the entire length passes', () => {
    const { verdict, worst } = judge(testOf({ dry: dry(), wet: wet() }), by())
    expect([verdict, worst?.leakageMicroamps]).toEqual(['pass', 12])
  })

  test('UFC 3-560-01 5-4.12.4, 5-4.12.5: one wet reading of 21 among the rest governs', () => {
    const readings = wet().readings.map((row) =>
      row.quarterTurn === 90 && row.fromMetres === 1.192 ? { ...row, leakageMicroamps: 21 } : row,
    )
    const { verdict, cause, worst, reasons } = judge(testOf({ dry: dry(), wet: wetOf(readings) }), by())
    expect([verdict, cause]).toEqual(['fail', 'electrical'])
    expect(worst).toMatchObject({ state: 'wet', quarterTurn: 90, fromMetres: 1.192, leakageMicroamps: 21 })
    expect(reasons).toMatchObject([
      { code: 'reading-over-limit', quarterTurn: 90, fromMetres: 1.192, leakageMicroamps: 21 },
    ])
  })

  test('ILAC-G8:09/2019 4.2 leaves equality open, so the operator stored decides: exactly 20 of 20', () => {
    const less = by({ procedure: procedureOf({ comparison: 'less than' }) })
    expect(told({ wet: wet(20) })).toEqual(['pass', []])
    expect(told({ wet: wet(20) }, less)).toEqual(['fail', ['reading-over-limit']])
  })

  test('UFC 3-560-01 5-4.12.5: three positions of four are incomplete', () => {
    expect(told({ dry: { readings: dry().readings.filter((row) => row.quarterTurn !== 270) } })).toEqual([
      'incomplete',
      ['turn-missing'],
    ])
  })

  test('29 CFR 1910.269(j)(2)(iii)(D): the fourth place of eight left out is not the entire working length', () => {
    expect(told({ dry: { readings: dry().readings.filter((row) => row.fromMetres !== 0.894) } })).toEqual([
      'incomplete',
      ['gap'],
    ])
  })

  test('29 CFR 1910.269(j)(2)(iii)(D), UFC 3-560-01 5-4.9: FRP after repair, dry only, is incomplete', () => {
    expect(told({ reason: 'repair', wet: undefined })).toEqual(['incomplete', ['wet-missing']])
  })

  test('UFC 3-560-01 5-5.1.1: calibration due 23 November 2026, tested the day after', () => {
    const calibrations = [{ calibratedOn: day('2025-11-23'), calibrationDueOn: day('2026-11-23') }]
    expect(told({ testedOn: day('2026-11-23') }, by({ calibrations }))).toEqual(['pass', []])
    expect(told({ testedOn: day('2026-11-24') }, by({ calibrations }))).toEqual([
      'invalid',
      ['instrument-out-of-calibration'],
    ])
  })

  test('UFC 3-560-01 5-4.12.3: too much water rejects falsely; dried and repeated, the second pass counts', () => {
    const first = { appearance: 'drip line' as const, readings: wet(60).readings }
    expect(told({ wet: { ...wet(60), appearance: 'drip line' } })).toEqual([
      'invalid',
      ['reading-over-limit', 'wet-appearance'],
    ])
    expect(told({ wet: { ...wet(), driedAndRepeated: first } })).toEqual(['pass', []])
  })

  test('UFC 3-560-01 5-4.5: loss of gloss and open cracks are signs to reject', () => {
    expect(told({ examination: { defects: [], gloss: 'lost' } })).toEqual(['fail', ['gloss-lost']])
    expect(told({ examination: { defects: [{ kind: 'crack', open: true }], gloss: 'sound' } })).toEqual([
      'fail',
      ['open-defect'],
    ])
  })
})

/** UFC 3-560-01 5-4.5, read in a copy of the 2006 edition: the signs by which a tool is rejected. */
describe('signs to reject, while they stand open', () => {
  const signs = [
    'tracking',
    'burn',
    'blister',
    'crack',
    'scratch',
    'gouge',
    'dent',
    'delamination',
    'lost gloss',
  ] as const
  test.each(signs)('%s', (kind) => {
    const found = (open: boolean) => told({ examination: { defects: [{ kind, open }], gloss: 'sound' } })
    expect(found(true)).toEqual(['fail', ['open-defect']])
    expect(found(false)).toEqual(['pass', []])
  })
})

/** UFC 3-560-01 5-4.9 to 5-4.12, read in a copy of the 2006 edition; 5-4.12.1 was not seen. */
describe('the dry and the wet test', () => {
  const wood = by({ stick: stickOf({ construction: 'wood', workingLengthMetres: 2.4384 }) })

  test('5-4.9: after repair or refinishing, dry for all and wet for FRP', () => {
    expect(told({ reason: 'repair', wet: undefined }, wood)).toEqual(['pass', []])
    expect(told({ reason: 'repair', wet: undefined })).toEqual(['incomplete', ['wet-missing']])
    expect(told({ reason: 'repair', dry: undefined })).toEqual(['incomplete', ['dry-missing']])
  })

  test('5-4.10 and 5-4.11: over the whole working length, dry and wet alike', () => {
    const short = survey({ ...places, length: 2437 })
    expect(told({ dry: { readings: short } })).toEqual(['incomplete', ['gap']])
    expect(told({ wet: wetOf(survey({ ...places, length: 2437, value: 9, wet: true })) })).toEqual([
      'incomplete',
      ['gap'],
    ])
  })

  test('5-4.12.3: a line of drops underneath proves nothing, whatever is read', () => {
    expect(told({ wet: { ...wet(), appearance: 'drip line' } })).toEqual(['invalid', ['wet-appearance']])
  })

  test('5-4.12.4: readings overlap, end to end; they may not merely touch', () => {
    const touching = survey({ length: 2400, span: 300, step: 300 })
    const stick = stickOf()
    expect(told({ dry: { readings: touching }, wet: wetOf(survey({ value: 9, wet: true })) }, by({ stick }))).toEqual([
      'incomplete',
      ['overlap-too-small'],
    ])
  })

  test.each([0, 90, 180, 270])('5-4.12.5: none of the four positions may be left out: %d°', (turn) => {
    const without = wetOf(wet().readings.filter((row) => row.quarterTurn !== turn))
    expect(told({ wet: without })).toEqual(['incomplete', ['turn-missing']])
  })
})

/** 29 CFR 1910.269(j)(2)(iii)(C), read in a copy of the rule; 1926.957(b)(3)(iii) says the same. */
describe('an examination in place of a test', () => {
  const demonstrationId = 'DEM-1'
  const demonstrated = shown('examination alone', { grounds: 'one of a lot cut open and found dry' })
  const examined = { dry: undefined, wet: undefined, instrumentChecks: [], demonstrationId }
  const allowing = (construction: Construction) =>
    by({ stick: stickOf({ construction, workingLengthMetres: 2.4384 }), examinationOnlyAllowed: true, demonstrated })
  const refused = (tested: string[]) => ['incomplete', [...tested, 'examination-not-enough'].sort()]

  test.each(['FRP rod', 'foam-filled FRP tube'] as const)(
    '(C)(2): %s, with the employer’s demonstration',
    (construction) => {
      expect(told(examined, allowing(construction))).toEqual(['pass', []])
      expect(judge(testOf(examined), allowing(construction)).byExaminationAlone).toBe(true)
      expect(told({ ...examined, demonstrationId: undefined }, allowing(construction))).toEqual([
        'incomplete',
        ['dry-missing', 'wet-missing'],
      ])
    },
  )

  test('(C)(2): no other construction', () => {
    expect(told(examined, allowing('hollow FRP tube'))).toEqual(refused(['dry-missing', 'wet-missing']))
    expect(told(examined, allowing('wood'))).toEqual(refused(['dry-missing']))
  })

  test('(C)(1): never after a repair, recorded before or made at the bench', () => {
    expect(told({ ...examined, reason: 'repair' }, allowing('FRP rod'))[0]).toBe('incomplete')
    const mended = { defects: [{ kind: 'scratch' as const, open: false }], gloss: 'sound' as const }
    expect(told({ ...examined, examination: mended }, allowing('FRP rod'))[0]).toBe('incomplete')
  })

  test('(B): what it finds fails the stick all the same', () => {
    const open = { defects: [{ kind: 'crack' as const, open: true }], gloss: 'sound' as const }
    expect(told({ ...examined, examination: open }, allowing('FRP rod'))).toEqual(['fail', ['open-defect']])
    expect(told({ ...examined, cleaned: false }, allowing('FRP rod'))).toEqual([
      'incomplete',
      ['cleaning-not-recorded'],
    ])
  })

  test('the employer’s policy has to allow it', () => {
    const rod = by({ stick: stickOf({ construction: 'FRP rod' }), demonstrated })
    expect(told(examined, rod)).toEqual(refused(['dry-missing', 'wet-missing']))
  })

  test('beside readings it changes nothing', () => {
    expect(told({ demonstrationId, wet: undefined }, allowing('FRP rod'))).toEqual(['incomplete', ['wet-missing']])
  })
})

function kilovoltsAsked(
  stick: Parameters<typeof withstandRules>[0],
  reason: 'periodic' | 'first issue',
  metres: number,
  stated?: Procedure['withstand'],
): number | string {
  const rules = withstandRules(stick, reason, { withstand: stated })
  if (typeof rules === 'string') return rules
  return Math.max(...rules.map((rule) => requiredKilovolts(rule, metres, stick.lineKilovolts)))
}

/**
 * kV over a length in feet. In service: 29 CFR 1910.269(j)(2)(iii)(E)(1) and (2), UFC 3-560-01 5-4.10.1: 75 kV per foot
 * of FRP, 50 kV per foot of wood, 1 min. New: 29 CFR 1910.269(j)(1)(i) and (ii), UFC 3-560-01 5-4.1: 100 kV per foot
 * for 5 min,
 * 75 kV per foot for 3 min. Figures read in copies of the rule; the lengths are those worked out.
 */
describe('the voltage a span withstands', () => {
  test.each([
    [1, 0.3048, 75, 100, 50, 75],
    [2, 0.6096, 150, 200, 100, 150],
    [4, 1.2192, 300, 400, 200, 300],
    [6, 1.8288, 450, 600, 300, 450],
    [8, 2.4384, 600, 800, 400, 600],
    [10, 3.048, 750, 1000, 500, 750],
    [12, 3.6576, 900, 1200, 600, 900],
    [16, 4.8768, 1200, 1600, 800, 1200],
    [20, 6.096, 1500, 2000, 1000, 1500],
  ])('%d ft', (_, metres, frp, newFrp, wood, newWood) => {
    const over = (construction: 'hollow FRP tube' | 'wood', reason: 'periodic' | 'first issue') =>
      kilovoltsAsked({ construction }, reason, metres)
    expect(over('hollow FRP tube', 'periodic')).toBeCloseTo(frp, 9)
    expect(over('hollow FRP tube', 'first issue')).toBeCloseTo(newFrp, 9)
    expect(over('wood', 'periodic')).toBeCloseTo(wood, 9)
    expect(over('wood', 'first issue')).toBeCloseTo(newWood, 9)
  })

  const verdict = (
    construction: 'wood' | 'FRP rod',
    length: number,
    kilovolts: number,
    seconds = 60,
    reason: 'periodic' | 'first issue' = 'periodic',
  ) => {
    const row = { fromMetres: 0, toMetres: length, kilovolts, seconds, outcome: 'withstood' as const }
    const states = construction === 'wood' ? (['dry'] as const) : (['dry', 'wet'] as const)
    const withstand = states.map((state) => ({ ...row, state }))
    const stick = stickOf({ construction, workingLengthMetres: length })
    const { verdict, reasons } = judge(
      testOf({ reason, dry: undefined, wet: undefined, withstand }),
      judgedBy({ stick }),
    )
    return [verdict, ...codes(reasons)]
  }

  test.each([0.3048, 2.4384, 6.096])('over %d m as stated in feet, and a thousandth less is too low', (length) => {
    const feet = length / 0.3048
    expect(verdict('FRP rod', length, 75 * feet)).toEqual(['pass'])
    expect(verdict('FRP rod', length, 75 * feet * 0.999)).toEqual(['incomplete', 'withstand-too-low'])
    expect(verdict('wood', length, 50 * feet)).toEqual(['pass'])
    expect(verdict('wood', length, 50 * feet * 0.999)).toEqual(['incomplete', 'withstand-too-low'])
  })

  test('in the rule’s metric figures: 246,100 V/m, 164,000 V/m and 1,640 V/cm', () => {
    expect(verdict('FRP rod', 2.5, 246.1 * 2.5)).toEqual(['pass'])
    expect(verdict('wood', 2.5, 164 * 2.5)).toEqual(['pass'])
    expect(verdict('wood', 2.5, 1.64 * 250)).toEqual(['pass'])
    expect(verdict('wood', 2.5, 163.9 * 2.5)).toEqual(['incomplete', 'withstand-too-low'])
  })

  test('before first issue as its design has to: 328,100 V/m and 246,100 V/m, for 5 and for 3 minutes', () => {
    expect(verdict('FRP rod', 2.5, 328.1 * 2.5, 300, 'first issue')).toEqual(['pass'])
    expect(verdict('FRP rod', 2.5, 246.1 * 2.5, 300, 'first issue')).toEqual(['incomplete', 'withstand-too-low'])
    expect(verdict('FRP rod', 2.5, 328.1 * 2.5, 299, 'first issue')).toEqual(['incomplete', 'withstand-too-short'])
    expect(verdict('wood', 2.5, 246.1 * 2.5, 180, 'first issue')).toEqual(['pass'])
    expect(verdict('wood', 2.5, 246.1 * 2.5, 179, 'first issue')).toEqual(['incomplete', 'withstand-too-short'])
  })

  test('for one minute', () => {
    expect(verdict('FRP rod', 2.4384, 600, 59)).toEqual(['incomplete', 'withstand-too-short'])
    expect(verdict('FRP rod', 2.4384, 600, 60)).toEqual(['pass'])
  })
})

describe('a withstand test that the procedure states', () => {
  const ofTubes = { construction: 'hollow FRP tube', when: 'in service' } as const
  const tubeOn = (lineKilovolts?: number) => ({
    construction: ofTubes.construction,
    ...(lineKilovolts === undefined ? {} : { lineKilovolts }),
  })

  /**
   * Ministry of Energy Order 261 (Russia), Annex 7, read in a copy of it: 2 kV up to 1 kV; three times line voltage and
   * at least 40 kV up to 35 kV; 5 min. From 110 kV three times phase voltage: read in a secondary copy.
   */
  const annex7: NonNullable<Procedure['withstand']> = [
    { lineKilovolts: [0, 1] as [number, number], voltage: { kilovolts: 2 } },
    {
      lineKilovolts: [1.001, 35] as [number, number],
      voltage: { times: 3, of: 'line voltage' as const, atLeastKilovolts: 40 },
    },
    { lineKilovolts: [110, 1150] as [number, number], voltage: { times: 3, of: 'phase voltage' as const } },
  ].map((one) => ({ ...ofTubes, ...one, seconds: 300, source: 'Order 261, Annex 7', demonstrationId: 'DEM-1' }))

  // the products of the rule, worked out
  test.each([
    [0.4, 2],
    [1, 2],
    [10, 40],
    [15, 45],
    [35, 105],
    [110, 190.5],
  ])('Order 261, Annex 7: of a stick used on %d kV, %d kV', (line, expected) => {
    expect(kilovoltsAsked(tubeOn(line), 'periodic', 1.5, annex7)).toBeCloseTo(expected, 1)
  })

  test('Notification 144 of 1972 (Japan), Art. 9, in a weak secondary copy: twice the voltage, 5 min', () => {
    const article9 = [
      {
        ...ofTubes,
        voltage: { times: 2, of: 'line voltage' as const },
        seconds: 300,
        source: 'Notification 144, Art. 9',
      },
    ]
    expect(kilovoltsAsked(tubeOn(22), 'periodic', 1.5, article9)).toBe(44)
    expect(withstandRules(tubeOn(22), 'periodic', { withstand: article9 })).toMatchObject([{ seconds: 300 }])
  })

  // Chinese rules for live working, from memory: inspection test of sections of 300 mm, and by the voltage of the line
  test.each([
    [10, 45],
    [35, 95],
    [110, 220],
    [220, 440],
  ])('Chinese live-working rules, from memory: of a stick used on %d kV, %d kV for a minute', (line, expected) => {
    const byLine = [
      [10, 45],
      [35, 95],
      [110, 220],
      [220, 440],
    ].map(([at = 0, kilovolts = 0]) => {
      const lineKilovolts: [number, number] = [at, at]
      return { ...ofTubes, lineKilovolts, voltage: { kilovolts }, seconds: 60, source: 'from memory' }
    })
    expect(kilovoltsAsked(tubeOn(line), 'periodic', 1, byLine)).toBe(expected)
    const sections = [{ ...ofTubes, voltage: { kilovoltsPerMetre: 250 }, seconds: 60, source: 'from memory' }]
    expect(kilovoltsAsked(tubeOn(line), 'periodic', 0.3, sections)).toBeCloseTo(75, 9)
  })

  // 29 CFR 1910.269(j)(1)(iii), (j)(2)(iii)(E)(3): other tests that the employer can demonstrate are equivalent
  test('an equivalent test the employer demonstrated stands for the rule’s, of the same kind of test alone', () => {
    const own = [{ ...ofTubes, voltage: { kilovoltsPerMetre: 200 }, seconds: 180, source: 'Test report 12' }]
    expect(kilovoltsAsked(tubeOn(), 'periodic', 2, own)).toBe(400)
    expect(kilovoltsAsked(tubeOn(), 'first issue', 0.3048, own)).toBeCloseTo(100, 9)
    expect(kilovoltsAsked({ construction: 'wood' }, 'periodic', 0.3048, own)).toBeCloseTo(50, 9)
    const perFoot = [{ ...ofTubes, voltage: { kilovoltsPerFoot: 60 }, seconds: 180, source: 'Test report 12' }]
    expect(kilovoltsAsked(tubeOn(), 'periodic', 0.6096, perFoot)).toBeCloseTo(120, 9)
  })

  // (E)(3): of less than the rule's own the employer's demonstration is named
  const told = (
    lineKilovolts: number | undefined,
    kilovolts: number,
    seconds = 300,
    { withstand = annex7, named = shown('withstand') }: { withstand?: typeof annex7; named?: Demonstrated | null } = {},
  ) => {
    const row = { fromMetres: 0, toMetres: 2.4, kilovolts, seconds, outcome: 'withstood' as const }
    const stick = stickOf({ ...tubeOn(lineKilovolts) })
    const { verdict, reasons } = judge(
      testOf({
        dry: undefined,
        wet: undefined,
        withstand: [
          { ...row, state: 'dry' },
          { ...row, state: 'wet' },
        ],
      }),
      judgedBy({ stick, procedure: procedureOf({ withstand }), demonstrated: named ?? undefined }),
    )
    return [verdict, ...reasons.filter(({ state }) => state === 'dry').map((one) => `${one.code}: ${textOf(one)}`)]
  }

  test('is what the verdict is by, with its source', () => {
    expect(told(15, 45)).toEqual(['pass'])
    expect(told(15, 44)).toEqual([
      'incomplete',
      'withstand-too-low: Dry, 0 to 2.4 m: tested at 44 kV; 45 kV (Order 261, Annex 7) is asked for',
    ])
    expect(told(15, 45, 299)).toEqual([
      'incomplete',
      'withstand-too-short: Dry, 0 to 2.4 m: tested for 299 s; 300 s is asked for',
    ])
  })

  test.each([
    ['none', null],
    ['one of something else', shown('examination alone')],
    ['another than the procedure names', { ...shown('withstand'), id: 'DEM-2' }],
    ['one that had ended', shown('withstand', { until: day('2026-03-01') })],
  ])('below the rule’s own proves nothing by itself: %s is named', (_, named) => {
    expect(told(15, 45, 300, { named })).toEqual([
      'incomplete',
      'demonstration-missing: Dry, 0 to 2.4 m: the procedure asks for less than the rule’s own 590.55 kV for 60 s, ' +
        'and the test names no demonstration of the employer’s for that',
    ])
  })

  test('not below the rule’s own it needs none', () => {
    const withstand = [{ ...ofTubes, voltage: { kilovoltsPerFoot: 80 }, seconds: 60, source: 'Test report 12' }]
    expect(told(15, 630, 60, { withstand, named: null })).toEqual(['pass'])
    const tooShort = [{ ...withstand[0], seconds: 59, demonstrationId: 'DEM-1' }] as typeof annex7
    expect(told(15, 630, 59, { withstand: tooShort, named: null })[0]).toBe('incomplete')
    expect(told(15, 630, 59, { withstand: tooShort })).toEqual(['pass'])
  })

  test('at the edge of two bands, or in two rules, all of them hold, whichever stands first', () => {
    const rule = (kilovolts: number, seconds: number, lineKilovolts: [number, number]) => [
      {
        ...ofTubes,
        lineKilovolts,
        voltage: { kilovolts },
        seconds,
        source: `rule of ${kilovolts} kV`,
        demonstrationId: 'DEM-1',
      },
    ]
    const bands = [...rule(100, 300, [0, 72.5]), ...rule(200, 60, [72.5, 145])]
    for (const both of [bands, bands.toReversed()]) {
      expect(told(72.5, 200, 300, { withstand: both })).toEqual(['pass'])
      expect(told(72.5, 199, 299, { withstand: both })).toEqual([
        'incomplete',
        'withstand-too-low: Dry, 0 to 2.4 m: tested at 199 kV; 200 kV (rule of 200 kV) is asked for',
        'withstand-too-short: Dry, 0 to 2.4 m: tested for 299 s; 300 s is asked for',
      ])
      expect(told(70, 100, 300, { withstand: both })).toEqual(['pass'])
    }
  })

  test('in doubt about the line voltage nothing is shown, whatever was applied', () => {
    expect(told(undefined, 1000)).toEqual(['incomplete', expect.stringMatching(/^line-voltage-missing: /)])
    expect(told(60, 1000)).toEqual(['incomplete', expect.stringMatching(/^no-withstand-covers: /)])
  })
})

/**
 * 29 CFR 1910.137(b)(2)(ii), read in a copy: at most 1 µA per kV of other equipment for primary insulation. A rule for
 * its making and not for sticks in service: written down as limits by voltage, to show that an employer's own can be.
 */
test.each([15, 35, 69, 138])('a limit that goes with the voltage: %d µA at as many kV', (kilovolts) => {
  const limits = [15, 35, 69, 138].map((microamps) => ({
    construction: 'foam-filled FRP tube' as const,
    state: 'dry' as const,
    microamps,
    kilovolts: microamps,
    source: '29 CFR 1910.137(b)(2)(ii)',
  }))
  const applied = judgedBy({ procedure: procedureOf({ limits }), instrumentKilovolts: kilovolts })
  expect(limitFor('dry', applied)?.microamps).toBe(kilovolts)
})

/**
 * IEC 60855-1:2016, climate of the room of the electrical tests, from a secondary copy; entered as the procedure's own
 * window.
 */
test.each([
  [18, 45, 'pass'],
  [28, 75, 'pass'],
  [17.9, 60, 'invalid'],
  [28.1, 60, 'invalid'],
  [23, 44.9, 'invalid'],
  [23, 75.1, 'invalid'],
])('at %d °C and %d %% relative humidity: %s', (celsius, relativeHumidityPercent, verdict) => {
  const window = {
    ambient: { celsius: [18, 28] as [number, number], relativeHumidityPercent: [45, 75] as [number, number] },
  }
  const ambient = { celsius, relativeHumidityPercent }
  expect(told({ ambient }, by({ procedure: procedureOf(window) }))[0]).toBe(verdict)
})

/**
 * UFC 3-560-01 5-4.5 (damaged, bent, warped, worn) and 5-4.9, MO-200 15-19d: nothing rough and tests passed needs no
 * repair.
 */
test('what an examination finds open rejects, whatever it is; what is closed and passes stays', () => {
  const found = (open: boolean) =>
    told({ examination: { gloss: 'sound', defects: [{ kind: 'other', open, note: 'bent' }] } })[0]
  expect([found(true), found(false)]).toEqual(['fail', 'pass'])
})

/**
 * ILAC-G8:09/2019 4.2, binary statements: simple acceptance (w = 0) and guard band w = U; upper limit 20 (SAMPLE), U =
 * 1, equality passes. The guide prints the rule and no figures: the rows are that rule worked out.
 */
describe('simple and guarded acceptance', () => {
  const rows: [number, string, string][] = [
    [18.9, 'pass', 'pass'],
    [19.0, 'pass', 'pass'],
    [19.1, 'pass', 'fail'],
    [20.0, 'pass', 'fail'],
    [20.1, 'fail', 'fail'],
    [20.5, 'fail', 'fail'],
    [21.0, 'fail', 'fail'],
    [21.1, 'fail', 'fail'],
  ]
  const guarded = by({ procedure: procedureOf({ decision: 'guarded' }), expandedUncertaintyPercent: 5 })

  test.each(rows)('%d µA', (reading, simply, guardedly) => {
    expect(told({ wet: wet(reading) })[0]).toBe(simply)
    expect(told({ wet: wet(reading) }, guarded)[0]).toBe(guardedly)
  })

  test('tell the guard band from what is over the limit', () => {
    const limit = limitFor('wet', guarded)
    if (limit === undefined) throw new Error('the sample procedure has a wet limit')
    expect([19, 19.1, 20, 20.1].map((reading) => standing(reading, limit, guarded))).toEqual([
      'conforms',
      'in guard band',
      'in guard band',
      'over limit',
    ])
  })
})
