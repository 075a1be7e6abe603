import { describe, expect, test } from 'vitest'
import * as trust from '../../../shared-domain/bench-test/trust.ts'
import type { Procedure } from '../../../shared-domain/registers.ts'
import { asRead } from '../../support/english.ts'
import { check, day, procedureOf, survey, testOf, type Wet, wetOf } from './fixtures.ts'

const { isSettled, isWithinSpan } = trust
const aliveDoubts = asRead(trust.aliveDoubts)
const ambientDoubts = asRead(trust.ambientDoubts)
const ambientMissing = asRead(trust.ambientMissing)
const calibrationDoubts = asRead(trust.calibrationDoubts)
const checkDoubts = asRead(trust.checkDoubts)
const conductivityMissing = asRead(trust.conductivityMissing)
const settledDoubts = asRead(trust.settledDoubts)
const spanDoubts = asRead(trust.spanDoubts)
const wetDoubts = asRead(trust.wetDoubts)

describe('calibration', () => {
  const period = (from: string, due: string) => ({ calibratedOn: day(from), calibrationDueOn: day(due) })
  const on = (date: string) => testOf({ testedOn: day(date) })
  const known = [
    period('2026-01-10', '2026-12-01'),
    period('2022-03-01', '2023-03-01'),
    period('2024-01-10', '2025-01-10'),
  ]

  test('holds from its day through the day it falls due', () => {
    for (const date of ['2026-01-10', '2026-12-01']) expect(calibrationDoubts(on(date), known)).toStrictEqual([])
  })

  test('that had run out is told with every period there was, the oldest first', () => {
    const periods =
      '1 March 2022 to 1 March 2023, 10 January 2024 to 10 January 2025, 10 January 2026 to 1 December 2026'
    expect(calibrationDoubts(on('2026-12-02'), known)).toStrictEqual([
      {
        code: 'instrument-out-of-calibration',
        text:
          `The instrument was out of calibration on 2 December 2026 (calibrated for ${periods}); a test counts ` +
          'inside such a period',
      },
    ])
    expect(calibrationDoubts(on('2026-01-09'), known)).toHaveLength(1)
  })

  test('under a rule that ends it sooner holds for as long as the rule lets it', () => {
    const cap = { id: 'calibration', months: 6, cited: 'company rule 5' }
    expect(calibrationDoubts(on('2026-07-10'), known, cap)).toStrictEqual([])
    expect(calibrationDoubts(on('2026-07-11'), known, cap)[0]?.text).toContain(
      '10 January 2026 to 10 July 2026, 6 months at most by company rule 5)',
    )
    // a slip of the keyboard further on, at the end of what a date can say
    const slip = [...known, period('9999-12-01', '9999-12-31')]
    expect(calibrationDoubts(on('2026-07-11'), slip, cap)).toHaveLength(1)
    expect(calibrationDoubts(on('2022-06-01'), [period('2022-03-01', '2022-08-01'), ...slip], cap)).toStrictEqual([])
  })

  test('that nobody recorded is told as that', () => {
    expect(calibrationDoubts(on('2026-03-02'), [])).toStrictEqual([
      {
        code: 'instrument-out-of-calibration',
        text:
          'The instrument was out of calibration on 2 March 2026 (no calibration is recorded); a test counts inside ' +
          'such a period',
      },
    ])
  })
})

describe('the checks of the instrument', () => {
  const checked = (...instrumentChecks: ReturnType<typeof check>[]) => testOf({ instrumentChecks })
  const piece = (over: Partial<Procedure['checks'][number]> = {}) => ({
    state: 'dry' as const,
    expectedMicroamps: 100,
    tolerancePercent: 10,
    openAtMostMicroamps: 1,
    ...over,
  })
  const asking = (...checks: Procedure['checks']) => procedureOf({ checks })

  test('were taken and read right, each state by its own', () => {
    const procedure = asking(piece(), piece({ state: 'wet', expectedMicroamps: 50 }))
    expect(checkDoubts('dry', checked(check('dry')), procedure)).toStrictEqual([])
    expect(checkDoubts('wet', checked(check('dry'), check('wet', 50)), procedure)).toStrictEqual([])
    expect(checkDoubts('dry', checked(check('wet', 50)), procedure)).toStrictEqual([
      {
        code: 'check-missing',
        text: 'Dry: no check reading of 100 µA before the first reading; the procedure asks for one',
        state: 'dry',
      },
    ])
  })

  test('are in doubt where the procedure says nothing of them', () => {
    expect(checkDoubts('wet', checked(check('wet')), asking(piece()))).toStrictEqual([
      {
        code: 'check-missing',
        text: 'Wet: the procedure states no check reading, so nothing shows that the instrument read true',
        state: 'wet',
      },
    ])
  })

  test('are asked for afterwards only where the procedure says so', () => {
    const text = 'Dry: no check reading of 100 µA after the last reading; the procedure asks for one'
    const missing = { code: 'check-missing', text, state: 'dry' }
    expect(checkDoubts('dry', checked(check('dry')), asking(piece({ afterToo: true })))).toStrictEqual([missing])
    expect(checkDoubts('dry', checked(check('dry')), asking(piece({ afterToo: false })))).toStrictEqual([])
    const both = checked(check('dry'), check('dry', 98, { when: 'after' }))
    expect(checkDoubts('dry', both, asking(piece({ afterToo: true })))).toStrictEqual([])
  })

  test('read within the tolerance of the piece, its edges included', () => {
    const off = (microamps: number) => checkDoubts('dry', checked(check('dry', microamps)), asking(piece()))
    expect([89.9, 90, 110, 110.1].map((microamps) => off(microamps).length)).toStrictEqual([1, 0, 0, 1])
    expect(off(80)).toStrictEqual([
      {
        code: 'check-out-of-tolerance',
        text: 'Dry: the check piece read 80 µA before the readings; 100 µA within 10 % is right',
        state: 'dry',
      },
    ])
  })

  test('read near nothing with the opening empty, the edge included', () => {
    const empty = (openMicroamps: number) =>
      checkDoubts('dry', checked(check('dry'), check('dry', 98, { when: 'after', openMicroamps })), asking(piece()))
    expect(empty(1)).toStrictEqual([])
    expect(empty(1.5)).toStrictEqual([
      {
        code: 'check-out-of-tolerance',
        text: 'Dry: the empty instrument read 1.5 µA after the readings; at most 1 µA is right',
        state: 'dry',
      },
    ])
  })

  test('belong to the piece they are nearest to, and each piece is told of by its own figure', () => {
    const procedure = asking(piece(), piece({ expectedMicroamps: 20 }))
    expect(checkDoubts('dry', checked(check('dry', 98), check('dry', 21)), procedure)).toStrictEqual([])
    expect(checkDoubts('dry', checked(check('dry', 30)), procedure).map(({ text }) => text)).toStrictEqual([
      'Dry: no check reading of 100 µA before the first reading; the procedure asks for one',
      'Dry: the check piece read 30 µA before the readings; 20 µA within 10 % is right',
    ])
  })

  test('half way between two pieces count for both', () => {
    const procedure = asking(piece({ tolerancePercent: 40 }), piece({ expectedMicroamps: 60, tolerancePercent: 40 }))
    expect(checkDoubts('dry', checked(check('dry', 80)), procedure)).toStrictEqual([])
  })
})

describe('an instrument has to be shown alive', () => {
  const readAfter = (state: 'dry' | 'wet', microamps = 98, openMicroamps = 0) =>
    check(state, microamps, { when: 'after', openMicroamps })
  const before = [check('dry'), check('wet')]
  const told = (over: Parameters<typeof testOf>[0], procedure = procedureOf()) =>
    (['dry', 'wet'] as const).flatMap((state) => aliveDoubts(state, testOf(over), procedure).map(({ text }) => text))
  const dry = (value: number, options: Parameters<typeof survey>[0] = {}) => ({
    dry: { readings: survey({ value, ...options }) },
  })
  const wet = (value: number, options: Parameters<typeof survey>[0] = {}) => ({
    wet: wetOf(survey({ value, wet: true, ...options })),
  })
  const asked = 'a check after the last reading, within its tolerance, has to show that the instrument was alive'
  const nought = (state: string) => `${state}: every reading is 0 µA; ${asked}`
  const alike = (state: string, figure: number) =>
    `${state}: every reading, dry and wet, is the same ${figure} µA; ${asked}`
  const one = { turns: [0 as const], length: 300, step: 300 }

  test('where a state reads nought throughout, each state by itself, be it one place', () => {
    expect(aliveDoubts('dry', testOf(dry(0)), procedureOf())).toStrictEqual([
      { code: 'instrument-not-shown-alive', text: nought('Dry'), state: 'dry' },
    ])
    expect(told(dry(0))).toStrictEqual([nought('Dry')])
    expect(told(wet(0))).toStrictEqual([nought('Wet')])
    expect(told({ ...dry(0), ...wet(0) })).toStrictEqual([nought('Dry'), nought('Wet')])
    expect(told({ dry: { readings: survey({ value: 0, ...one }) } })).toStrictEqual([nought('Dry')])
    expect(told({ ...dry(0), wet: undefined })).toStrictEqual([nought('Dry')])
  })

  test('on every section of a telescoping stick together', () => {
    const sections = (tip: number, butt: number) => [
      ...survey({ length: 1200, section: 'tip', value: tip }),
      ...survey({ length: 1200, section: 'butt', value: butt }),
    ]
    expect(told({ dry: { readings: sections(0, 0) } })).toStrictEqual([nought('Dry')])
    expect(told({ dry: { readings: sections(0, 4) } })).toStrictEqual([])
  })

  test('where both states read one figure, over eight places or more', () => {
    const places = (inDry: number, inWet: number, last = 5) => {
      const rows = survey({ value: 5, length: 1300 }).slice(0, inDry)
      const wetRows = survey({ value: 5, length: 1300, wet: true }).slice(0, inWet)
      return {
        dry: { readings: rows },
        wet: wetOf(wetRows.map((row, i) => (i === inWet - 1 ? { ...row, leakageMicroamps: last } : row))),
      }
    }
    const both = [alike('Dry', 5), alike('Wet', 5)]
    expect(told({ ...dry(5), ...wet(5) })).toStrictEqual(both)
    expect(told(places(4, 4))).toStrictEqual(both)
    expect(told(places(1, 7))).toStrictEqual(both)
    expect(told(places(4, 3))).toStrictEqual([])
    expect(told(places(4, 4, 5.1))).toStrictEqual([])
    expect(told({ ...dry(5), ...wet(5.1) })).toStrictEqual([])
  })

  test('but not where one state alone was read, at whatever figure', () => {
    expect(told({ ...dry(5), wet: undefined })).toStrictEqual([])
    expect(told({ ...dry(5), wet: wetOf([]) })).toStrictEqual([])
    expect(told({ dry: { readings: [] }, wet: wetOf([]) })).toStrictEqual([])
  })

  test('and a wet pass that was dried and repeated shows nothing of the repeat', () => {
    const first = { appearance: 'film' as const, readings: survey({ value: 17, wet: true }) }
    const repeated = wetOf(survey({ value: 0, wet: true }), { driedAndRepeated: first })
    expect(told({ wet: repeated })).toStrictEqual([nought('Wet')])
    const noughtFirst = { ...first, readings: survey({ value: 0, wet: true }) }
    expect(told({ wet: wetOf(survey({ value: 9, wet: true }), { driedAndRepeated: noughtFirst }) })).toStrictEqual([])
  })

  test('by a check of that state after the last reading, within tolerance, its open reading too', () => {
    const dead = (...more: typeof before) => told({ ...dry(0), instrumentChecks: [...before, ...more] })
    expect(dead(readAfter('dry'))).toStrictEqual([])
    for (const check of [readAfter('wet'), readAfter('dry', 89), readAfter('dry', 98, 1.1), readAfter('dry', 0)])
      expect(dead(check)).toStrictEqual([nought('Dry')])
    expect(dead(readAfter('dry', 89), readAfter('dry'))).toStrictEqual([])
  })

  test('where both states read one figure, each by its own', () => {
    const stuck = (...more: typeof before) => told({ ...dry(5), ...wet(5), instrumentChecks: [...before, ...more] })
    expect(stuck(readAfter('dry'))).toStrictEqual([alike('Wet', 5)])
    expect(stuck(readAfter('wet'))).toStrictEqual([alike('Dry', 5)])
    expect(stuck(readAfter('dry'), readAfter('wet'))).toStrictEqual([])
  })

  test('with the piece that the check was nearest to, and by none where the procedure states none', () => {
    const piece = (expectedMicroamps: number, tolerancePercent: number, openAtMostMicroamps = 1) => ({
      state: 'dry' as const,
      expectedMicroamps,
      tolerancePercent,
      openAtMostMicroamps,
    })
    const checks = { ...dry(0), instrumentChecks: [...before, readAfter('dry', 60)] }
    expect(told(checks, procedureOf({ checks: [piece(100, 45), piece(50, 5)] }))).toStrictEqual([nought('Dry')])
    expect(told(checks, procedureOf({ checks: [piece(100, 45), piece(58, 5)] }))).toStrictEqual([])
    expect(told(checks, procedureOf({ checks: [] }))).toStrictEqual([nought('Dry')])
    const stuck = { ...dry(0), instrumentChecks: [...before, readAfter('dry', 5, 5)] }
    expect(told(stuck, procedureOf({ checks: [piece(5, 10, 9)] }))).toStrictEqual([nought('Dry')])
  })
})

describe('room and moisture', () => {
  const windows = { celsius: [18, 28] as [number, number], relativeHumidityPercent: [45, 75] as [number, number] }
  const asking = procedureOf({ ambient: windows })
  const at = (celsius: number, relativeHumidityPercent: number) =>
    testOf({ ambient: { celsius, relativeHumidityPercent } })

  test('outside the procedure’s windows are told with what came and what it asks for', () => {
    expect(ambientDoubts(at(17.9, 75.1), asking)).toStrictEqual([
      {
        code: 'ambient-outside-window',
        text: 'The temperature was 17.9 °C; the procedure asks for 18 to 28 °C',
      },
      {
        code: 'ambient-outside-window',
        text: 'The relative humidity was 75.1 %; the procedure asks for 45 to 75 %',
      },
    ])
  })

  test('inside them, edges included, are in no doubt', () => {
    for (const edge of [at(18, 75), at(28, 45)]) expect(ambientDoubts(edge, asking)).toStrictEqual([])
    expect(ambientDoubts(at(28.1, 44.9), asking)).toHaveLength(2)
  })

  test('are in no doubt where the procedure has no window, nor where nothing was recorded', () => {
    expect(ambientDoubts(at(-20, 99), procedureOf())).toStrictEqual([])
    expect(ambientDoubts(at(-20, 99), procedureOf({ ambient: { celsius: [-30, 0] } }))).toStrictEqual([])
    expect(ambientDoubts(testOf(), asking)).toStrictEqual([])
  })

  test('that the procedure asks for and nobody recorded are told, each by its name', () => {
    const missing = (name: string) => ({
      code: 'ambient-missing',
      text: `The ${name} was not recorded; the procedure asks for it`,
    })
    expect(ambientMissing(testOf(), asking)).toStrictEqual([missing('temperature'), missing('relative humidity')])
    const humidity = procedureOf({ ambient: { relativeHumidityPercent: [45, 75] } })
    expect(ambientMissing(testOf(), humidity)).toStrictEqual([missing('relative humidity')])
    expect(ambientMissing(testOf(), procedureOf())).toStrictEqual([])
    expect(ambientMissing(at(20, 50), asking)).toStrictEqual([])
  })
})

describe('the mist', () => {
  const misted = (over: Partial<Wet> = {}) => testOf({ wet: wetOf(survey({ wet: true }), over) })
  const asking = procedureOf({ waterConductivityAtMostMicrosiemensPerCm: 5 })

  test.each(['distilled', 'demineralised'] as const)('of %s water in beads is right', (water) => {
    expect(wetDoubts(misted({ water }), procedureOf())).toStrictEqual([])
  })

  test.each(['tap', 'other'] as const)('of %s water is not', (water) => {
    expect(wetDoubts(misted({ water }), procedureOf())).toStrictEqual([
      {
        code: 'water-not-allowed',
        text: `Wet: misted with ${water} water; distilled or demineralised water is right`,
        state: 'wet',
      },
    ])
  })

  test.each(['film', 'drip line'] as const)('that stood as a %s is too much water', (appearance) => {
    expect(wetDoubts(misted({ appearance }), procedureOf())).toStrictEqual([
      {
        code: 'wet-appearance',
        text: `Wet: the water stood as a ${appearance}; separate beads are right`,
        state: 'wet',
      },
    ])
  })

  test('conducts no more than the procedure says, where it says anything', () => {
    const conducting = (conductivityMicrosiemensPerCm: number) => misted({ conductivityMicrosiemensPerCm })
    expect(wetDoubts(conducting(5), asking)).toStrictEqual([])
    expect(wetDoubts(misted(), asking)).toStrictEqual([])
    expect(wetDoubts(conducting(900), procedureOf())).toStrictEqual([])
    expect(wetDoubts(conducting(5.1), asking)).toStrictEqual([
      {
        code: 'conductivity-too-high',
        text: 'Wet: the water conducted 5.1 µS/cm; the procedure asks for at most 5 µS/cm',
        state: 'wet',
      },
    ])
  })

  test('that nobody measured is told where the procedure asks for it', () => {
    expect(conductivityMissing(misted(), asking)).toStrictEqual([
      {
        code: 'conductivity-missing',
        text: 'Wet: the conductivity of the water was not recorded; the procedure asks for at most 5 µS/cm',
        state: 'wet',
      },
    ])
    expect(conductivityMissing(misted({ conductivityMicrosiemensPerCm: 0 }), asking)).toStrictEqual([])
    expect(conductivityMissing(misted(), procedureOf())).toStrictEqual([])
  })

  test('is asked about only where the stick was wet', () => {
    const dryAlone = testOf({ wet: undefined })
    expect(wetDoubts(dryAlone, asking)).toStrictEqual([])
    expect(conductivityMissing(dryAlone, asking)).toStrictEqual([])
  })
})

describe('a reading of more than the instrument spans', () => {
  const [row] = survey({ turns: [90] })
  const long = (toMetres: number) => ({ ...row, toMetres }) as NonNullable<typeof row>

  test('is told apart, a foot still counting as 0.3 m', () => {
    expect([0.3, 0.3048, 0.307].map((to) => isWithinSpan(long(to), 0.3))).toStrictEqual([true, true, true])
    expect([0.308, 2.4].map((to) => isWithinSpan(long(to), 0.3))).toStrictEqual([false, false])
  })

  test('is told with its place and what it read', () => {
    expect(spanDoubts('dry', [long(0.3), long(2.4)], 0.3)).toStrictEqual([
      {
        code: 'reading-longer-than-span',
        text: 'Dry, quarter turn 90°, 0 to 2.4 m: the reading is longer than the 0.3 m that the instrument spans',
        state: 'dry',
        quarterTurn: 90,
        fromMetres: 0,
        toMetres: 2.4,
        leakageMicroamps: 4,
      },
    ])
  })
})

describe('a reading at rest', () => {
  const [row] = survey({ turns: [90] })
  const saying = (settled?: boolean) =>
    ({ ...row, ...(settled === undefined ? {} : { settled }) }) as NonNullable<typeof row>

  test('says so wet, and need not dry', () => {
    const told = [saying(true), saying(false), saying()]
    expect(told.map((one) => isSettled('wet', one))).toStrictEqual([true, false, false])
    expect(told.map((one) => isSettled('dry', one))).toStrictEqual([true, false, true])
  })

  test('is in no doubt, one that had not settled is told with its place and what it read', () => {
    expect(settledDoubts('dry', [saying(), saying(false)])).toStrictEqual([
      {
        code: 'reading-not-settled',
        text:
          'Dry, quarter turn 90°, 0 to 0.3 m: the reading is not recorded as settled; it counts once it has come to ' +
          'rest with the voltage on',
        state: 'dry',
        quarterTurn: 90,
        fromMetres: 0,
        toMetres: 0.3,
        leakageMicroamps: 4,
      },
    ])
  })
})
