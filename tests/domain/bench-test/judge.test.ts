import { describe, expect, test } from 'vitest'
import { judge } from '../../../shared-domain/bench-test/judge.ts'
import type { Procedure } from '../../../shared-domain/registers.ts'
import { read, textOf } from '../../support/english.ts'
import { check, codes, day, judgedBy, procedureOf, shown, stickOf, survey, testOf, wetOf } from './fixtures.ts'

const open = (kind: 'crack' | 'lost gloss') => ({
  defects: [{ kind, atMetres: 1, open: true }],
  gloss: 'sound' as const,
})
const wetReadings = (value = 9) => survey({ value, wet: true })
const told = (over: Parameters<typeof testOf>[0], by = judgedBy()) => {
  const { verdict, cause, reasons } = judge(testOf(over), by)
  return [verdict, cause, codes(reasons)]
}

test('a complete test within its limits passes, with no reason and its worst reading', () => {
  const wet = wetReadings()
  const high = { quarterTurn: 90 as const, fromMetres: 0.75, toMetres: 1.05 }
  const readings = wet.map((row) =>
    row.quarterTurn === 90 && row.fromMetres === 0.75 ? { ...row, leakageMicroamps: 11.2 } : row,
  )
  expect(judge(testOf({ wet: wetOf(readings) }), judgedBy())).toStrictEqual({
    verdict: 'pass',
    cause: null,
    reasons: [],
    worst: { state: 'wet', ...high, leakageMicroamps: 11.2 },
  })
})

describe('the order of verdicts', () => {
  test('a trustworthy reading over its limit fails an incomplete test', () => {
    const dry = { readings: survey({ turns: [0, 90, 180], value: 40 }) }
    expect(told({ dry })).toEqual(['fail', 'electrical', ['reading-over-limit', 'turn-missing']])
  })

  test('a trustworthy dry failure stands although the wet part proves nothing', () => {
    const over = {
      dry: { readings: survey({ value: 40 }) },
      wet: wetOf(wetReadings(), { appearance: 'drip line' as const }),
    }
    expect(told(over)).toEqual(['fail', 'electrical', ['reading-over-limit', 'wet-appearance']])
  })

  test('an open defect fails whatever else is doubted or missing', () => {
    const over = { examination: open('crack'), instrumentChecks: [], wet: undefined }
    expect(told(over)).toEqual(['fail', 'examination', ['check-missing', 'open-defect', 'wet-missing']])
  })

  test('an electrical failure is named before the examination', () => {
    const over = { examination: open('crack'), dry: { readings: survey({ value: 40 }) } }
    expect(told(over)).toEqual(['fail', 'electrical', ['open-defect', 'reading-over-limit']])
  })

  test('water that proves nothing is told of where nothing was read dry, too', () => {
    const over = { dry: undefined, wet: wetOf(wetReadings(), { appearance: 'film' as const }) }
    expect(told(over)).toEqual(['invalid', null, ['dry-missing', 'wet-appearance']])
  })

  test('doubt goes before what is missing', () => {
    const over = { instrumentChecks: [check('wet')], dry: { readings: survey({ turns: [0] }) } }
    expect(told(over)).toEqual(['invalid', null, ['check-missing', 'turn-missing']])
  })
})

describe('an untrustworthy reading over its limit is listed and fails nobody', () => {
  const dry = { readings: survey({ value: 40 }) }
  const wet = (over = {}) => ({ wet: wetOf(wetReadings(40), over) })

  test.each([
    ['instrument past its calibration', { dry, testedOn: day('2026-12-02') }, 'instrument-out-of-calibration'],
    ['no check before', { dry, instrumentChecks: [check('wet')] }, 'check-missing'],
    [
      'only a check after',
      { dry, instrumentChecks: [check('wet'), check('dry', 98, { when: 'after' })] },
      'check-missing',
    ],
    ['a weak check', { dry, instrumentChecks: [check('wet'), check('dry', 50)] }, 'check-out-of-tolerance'],
    [
      'a weak check after',
      { dry, instrumentChecks: [check('wet'), check('dry'), check('dry', 50, { when: 'after' })] },
      'check-out-of-tolerance',
    ],
    [
      'an instrument not at zero',
      { dry, instrumentChecks: [check('wet'), check('dry', 98, { openMicroamps: 1.5 })] },
      'check-out-of-tolerance',
    ],
    ['tap water', wet({ water: 'tap' }), 'water-not-allowed'],
    ['other water', wet({ water: 'other' }), 'water-not-allowed'],
    ['a film', wet({ appearance: 'film' }), 'wet-appearance'],
    ['a drip line', wet({ appearance: 'drip line' }), 'wet-appearance'],
    ['not settled', { wet: wetOf(wetReadings(40).map((row) => ({ ...row, settled: false }))) }, 'reading-not-settled'],
    ['not said to be settled', { wet: wetOf(survey({ value: 40 })) }, 'reading-not-settled'],
  ])('%s', (_, over, code) => {
    expect(told(over)).toEqual(['invalid', null, [code, 'reading-over-limit'].sort()])
  })

  test('one reading that had not settled does not excuse the others', () => {
    const readings = wetReadings().map((row, index) => ({
      ...row,
      leakageMicroamps: index < 2 ? 40 : 9,
      settled: index !== 0,
    }))
    const { verdict, reasons, worst } = judge(testOf({ wet: wetOf(readings) }), judgedBy())
    expect([verdict, codes(reasons)]).toEqual(['fail', ['reading-not-settled', 'reading-over-limit']])
    expect(worst).toMatchObject({ fromMetres: 0.25, leakageMicroamps: 40 })
  })
})

describe('each doubt', () => {
  test('a good test stays invalid for it, and a dry reading that says it had not settled is one', () => {
    const readings = survey().map((row, index) => (index === 3 ? { ...row, settled: false } : row))
    const { verdict, reasons } = judge(testOf({ dry: { readings } }), judgedBy())
    expect(verdict).toBe('invalid')
    expect(reasons).toMatchObject([
      {
        code: 'reading-not-settled',
        state: 'dry',
        quarterTurn: 0,
        fromMetres: 0.75,
        toMetres: 1.05,
        leakageMicroamps: 4,
      },
    ])
  })

  test('calibration periods add up, first and last day included', () => {
    const calibrations = [
      { calibratedOn: day('2026-02-01'), calibrationDueOn: day('2026-12-01') },
      { calibratedOn: day('2024-01-05'), calibrationDueOn: day('2025-01-05') },
    ]
    const on = (date: string) => judge(testOf({ testedOn: day(date) }), judgedBy({ calibrations })).verdict
    expect(
      [
        '2024-01-04',
        '2024-01-05',
        '2025-01-05',
        '2025-01-06',
        '2026-01-31',
        '2026-02-01',
        '2026-12-01',
        '2026-12-02',
      ].map(on),
    ).toEqual(['invalid', 'pass', 'pass', 'invalid', 'invalid', 'pass', 'pass', 'invalid'])
    expect(told({}, judgedBy({ calibrations: [] }))).toEqual(['invalid', null, ['instrument-out-of-calibration']])
  })

  test('the check tolerance is a share of the expected figure, its edges included', () => {
    const checks = [{ state: 'dry' as const, expectedMicroamps: 1.1, tolerancePercent: 10, openAtMostMicroamps: 0 }]
    const by = judgedBy({ stick: stickOf({ construction: 'wood' }), procedure: procedureOf({ checks }) })
    const reads = (microamps: number) =>
      judge(testOf({ wet: undefined, instrumentChecks: [check('dry', microamps)] }), by).verdict
    expect([0.9899, 0.99, 1.21, 1.2101].map(reads)).toEqual(['invalid', 'pass', 'pass', 'invalid'])
  })

  test('a procedure without a check figure for a state leaves that state in doubt', () => {
    const checks = procedureOf().checks.filter(({ state }) => state === 'dry')
    expect(told({}, judgedBy({ procedure: procedureOf({ checks }) }))).toEqual(['invalid', null, ['check-missing']])
  })

  test('each check piece the procedure lists is read', () => {
    const checks = [
      ...procedureOf().checks,
      { state: 'dry' as const, expectedMicroamps: 20, tolerancePercent: 10, openAtMostMicroamps: 1 },
    ]
    const by = judgedBy({ procedure: procedureOf({ checks }) })
    expect(told({}, by)).toEqual(['invalid', null, ['check-missing']])
    expect(told({ instrumentChecks: [check('dry', 21), check('dry'), check('wet')] }, by)).toEqual(['pass', null, []])
    expect(told({ instrumentChecks: [check('dry', 30), check('dry'), check('wet')] }, by)).toEqual([
      'invalid',
      null,
      ['check-out-of-tolerance'],
    ])
  })

  test('checks of a state that is not tested are nobody’s business', () => {
    const over = { wet: undefined, instrumentChecks: [check('dry'), check('wet', 3)] }
    expect(told(over, judgedBy({ stick: stickOf({ construction: 'wood' }) }))).toEqual(['pass', null, []])
  })

  test('demineralised water is as good as distilled', () => {
    expect(told({ wet: wetOf(wetReadings(), { water: 'demineralised' }) })).toEqual(['pass', null, []])
  })
})

describe('lost gloss', () => {
  test('fails by examination, and excuses the wet reading that it makes high', () => {
    const gloss = { examination: { defects: [], gloss: 'lost' as const } }
    expect(told(gloss)).toEqual(['fail', 'examination', ['gloss-lost']])
    expect(told({ ...gloss, wet: wetOf(wetReadings(40)) })).toEqual([
      'fail',
      'examination',
      ['gloss-lost', 'reading-over-limit'],
    ])
    expect(told({ examination: open('lost gloss'), wet: wetOf(wetReadings(40)) })).toEqual([
      'fail',
      'examination',
      ['open-defect', 'reading-over-limit'],
    ])
    expect(told({ ...gloss, dry: { readings: survey({ value: 40 }) } })).toEqual([
      'fail',
      'electrical',
      ['gloss-lost', 'reading-over-limit'],
    ])
  })

  test('a defect made good at the bench is on record and against nothing', () => {
    expect(
      told({ examination: { defects: [{ kind: 'scratch', atMetres: 1.1, open: false }], gloss: 'sound' } }),
    ).toEqual(['pass', null, []])
  })
})

describe('what is missing', () => {
  test('a test of nothing', () => {
    expect(told({ dry: undefined, wet: undefined })).toEqual(['incomplete', null, ['dry-missing', 'wet-missing']])
    expect(told({ dry: { readings: [] }, wet: wetOf([]) })).toEqual([
      'incomplete',
      null,
      ['dry-missing', 'wet-missing'],
    ])
  })

  test('wood needs no wet test, FRP does', () => {
    expect(told({ wet: undefined }, judgedBy({ stick: stickOf({ construction: 'wood' }) }))).toEqual(['pass', null, []])
    for (const construction of ['FRP rod', 'foam-filled FRP tube', 'hollow FRP tube'] as const) {
      expect(told({ wet: undefined }, judgedBy({ stick: stickOf({ construction }) }))).toEqual([
        'incomplete',
        null,
        ['wet-missing'],
      ])
    }
  })

  test('a state without a limit is told of once', () => {
    const limits = procedureOf().limits.filter(({ state }) => state === 'dry')
    const { verdict, reasons } = judge(testOf(), judgedBy({ procedure: procedureOf({ limits }) }))
    expect([verdict, reasons.map(({ code, state }) => [code, state])]).toEqual([
      'incomplete',
      [['no-limit-covers', 'wet']],
    ])
  })

  test('cleaning', () => {
    expect(told({ cleaned: false })).toEqual(['incomplete', null, ['cleaning-not-recorded']])
  })

  test('sections that do not make up the working length', () => {
    const by = judgedBy({ stick: stickOf({ construction: 'wood', sections: [{ name: 'tip', lengthMetres: 1.2 }] }) })
    const over = { wet: undefined, dry: { readings: survey({ length: 1200, section: 'tip' }) } }
    expect(told(over, by)).toEqual(['incomplete', null, ['sections-too-short']])
  })

  test('an over-wetted first pass is kept and not judged', () => {
    const driedAndRepeated = { appearance: 'drip line' as const, readings: survey({ value: 90 }) }
    expect(told({ wet: wetOf(wetReadings(), { driedAndRepeated }) })).toEqual(['pass', null, []])
  })
})

describe('a guarded decision', () => {
  const by = (expandedUncertaintyPercent?: number) =>
    judgedBy({ procedure: procedureOf({ decision: 'guarded' }), expandedUncertaintyPercent })

  test('rejects a reading inside the guard band', () => {
    expect(told({ wet: wetOf(wetReadings(19)) }, by(5))).toEqual(['pass', null, []])
    expect(told({ wet: wetOf(wetReadings(19.1)) }, by(5))).toEqual(['fail', 'electrical', ['reading-in-guard-band']])
    expect(told({ wet: wetOf(wetReadings(19.1), { water: 'tap' }) }, by(5))).toEqual([
      'invalid',
      null,
      ['reading-in-guard-band', 'water-not-allowed'],
    ])
  })

  test('cannot be taken without the uncertainty, though a reading over the limit is over any guard', () => {
    expect(told({}, by())).toEqual(['incomplete', null, ['uncertainty-missing']])
    expect(told({ wet: wetOf(wetReadings(21)) }, by())).toEqual([
      'fail',
      'electrical',
      ['reading-over-limit', 'uncertainty-missing'],
    ])
  })
})

describe('what people read', () => {
  test('says where, what came, what would be right, and from which source', () => {
    const readings = survey().map((row, index) => (index === 2 ? { ...row, leakageMicroamps: 12.5 } : row))
    expect(judge(testOf({ dry: { readings } }), judgedBy()).reasons.map(read)).toEqual([
      {
        code: 'reading-over-limit',
        text: 'Dry, quarter turn 0°, 0.5 to 0.8 m: 12.5 µA; the limit is not more than 10 µA (SAMPLE, no standard)',
        state: 'dry',
        quarterTurn: 0,
        fromMetres: 0.5,
        toMetres: 0.8,
        leakageMicroamps: 12.5,
      },
    ])
  })

  test('says of a reading in the guard band by how much the limit was drawn in', () => {
    const readings = survey().map((row, index) => (index === 2 ? { ...row, leakageMicroamps: 9.6 } : row))
    const by = judgedBy({ procedure: procedureOf({ decision: 'guarded' }), expandedUncertaintyPercent: 5 })
    const limit = 'the limit is not more than 10 µA (SAMPLE, no standard)'
    expect(judge(testOf({ dry: { readings } }), by).reasons.map(read)).toStrictEqual([
      {
        code: 'reading-in-guard-band',
        text: `Dry, quarter turn 0°, 0.5 to 0.8 m: 9.6 µA; ${limit}, less 5 % for the instrument's uncertainty`,
        state: 'dry',
        quarterTurn: 0,
        fromMetres: 0.5,
        toMetres: 0.8,
        leakageMicroamps: 9.6,
      },
    ])
  })

  test('says which state is missing, of what kind of stick', () => {
    const missing = judge(testOf({ dry: undefined, wet: undefined }), judgedBy()).reasons
    expect(missing.map(read)).toStrictEqual([
      {
        code: 'dry-missing',
        text: 'Dry: not tested; a test of foam-filled FRP tube includes it',
        state: 'dry',
      },
      {
        code: 'wet-missing',
        text: 'Wet: not tested; a test of foam-filled FRP tube includes it',
        state: 'wet',
      },
    ])
  })

  test('says what a limit would have to cover, as far as the register of instruments tells', () => {
    const limits = procedureOf().limits.filter(({ state }) => state === 'dry')
    const told = (over: Parameters<typeof judgedBy>[0]) =>
      judge(testOf(), judgedBy({ procedure: procedureOf({ limits }), ...over })).reasons.map(read)
    const noLimit = (applied: string) => {
      const asked = `the procedure has no limit for foam-filled FRP tube of 32 mm read over ${applied}`
      return [{ code: 'no-limit-covers', text: `Wet: ${asked}; it needs one with its source`, state: 'wet' }]
    }
    expect(told({})).toStrictEqual(noLimit('0.3 m'))
    expect(told({ instrumentKilovolts: 100 })).toStrictEqual(noLimit('0.3 m, 100 kV'))
    expect(told({ instrumentHertz: 50 })).toStrictEqual(noLimit('0.3 m, 50 Hz'))
    expect(told({ instrumentKilovolts: 100, instrumentHertz: 50 })).toStrictEqual(noLimit('0.3 m, 100 kV, 50 Hz'))
  })

  test('says of each state that a guarded decision cannot be taken without the uncertainty', () => {
    const { reasons } = judge(testOf(), judgedBy({ procedure: procedureOf({ decision: 'guarded' }) }))
    const text = 'a guarded decision needs the expanded uncertainty of the instrument, and none is recorded'
    expect(reasons.map(read)).toStrictEqual([
      { code: 'uncertainty-missing', text: `Dry: ${text}`, state: 'dry' },
      { code: 'uncertainty-missing', text: `Wet: ${text}`, state: 'wet' },
    ])
  })

  test('says each thing once, with both methods on one state and whatever is in doubt', () => {
    const row = { fromMetres: 0, toMetres: 2.4, kilovolts: 600, seconds: 60, state: 'dry' as const }
    const failed = judge(testOf({ withstand: [{ ...row, outcome: 'heating' }] }), judgedBy())
    expect([failed.verdict, failed.reasons.map(textOf)]).toStrictEqual([
      'fail',
      ['Dry, 0 to 2.4 m: heating at 600 kV; the span has to withstand it'],
    ])
    const wetted = judge(testOf({ wet: wetOf(wetReadings(), { appearance: 'film' }) }), judgedBy())
    expect([wetted.verdict, wetted.reasons.map(textOf)]).toStrictEqual([
      'invalid',
      ['Wet: the water stood as a film; separate beads are right'],
    ])
    const late = testOf({ testedOn: day('2026-12-02'), withstand: [{ ...row, outcome: 'puncture' }] })
    expect(judge(late, judgedBy()).reasons.map(({ code }) => code)).toStrictEqual([
      'instrument-out-of-calibration',
      'withstand-failed',
    ])
  })

  test('is in the order of the stick: the whole, dry, wet, section, turn, place', () => {
    const sections = [
      { name: 'tip', lengthMetres: 1.2 },
      { name: 'butt', lengthMetres: 1.5 },
    ]
    const both = (wet: boolean) => [
      ...survey({ length: 1500, section: 'butt', value: wet ? 41 : 40, wet }),
      ...survey({ length: 1200, section: 'tip', turns: [270, 180, 0], value: wet ? 41 : 40, wet }),
    ]
    const { reasons } = judge(
      testOf({ cleaned: false, dry: { readings: both(false) }, wet: wetOf(both(true)) }),
      judgedBy({ stick: stickOf({ sections }) }),
    )
    const rank = (reason: (typeof reasons)[number]) =>
      [
        reason.state === undefined ? 0 : reason.state === 'dry' ? 1 : 2,
        reason.section === undefined ? 0 : reason.section === 'tip' ? 1 : 2,
        String(reason.quarterTurn ?? 0).padStart(3, '0'),
        (reason.fromMetres ?? 0).toFixed(3),
      ].join(' ')
    expect(reasons).toHaveLength(1 + 2 * (1 + 3 * 5 + 4 * 6))
    expect(reasons.map(rank)).toEqual(reasons.map(rank).toSorted())
  })

  test('the worst reading is the largest share of its limit, among those that prove something', () => {
    const worst = (over: Parameters<typeof testOf>[0]) => judge(testOf(over), judgedBy()).worst
    expect(worst({ dry: { readings: survey({ value: 9 }) }, wet: wetOf(wetReadings(12)) })).toMatchObject({
      state: 'dry',
      leakageMicroamps: 9,
    })
    expect(worst({ wet: wetOf(wetReadings(90), { appearance: 'film' }) })).toMatchObject({
      state: 'dry',
      leakageMicroamps: 4,
    })
    expect(worst({ instrumentChecks: [], wet: wetOf(wetReadings(90)) })).toMatchObject({
      state: 'wet',
      leakageMicroamps: 90,
    })
    expect(worst({ dry: undefined, wet: undefined })).toBeNull()
  })

  test('the worst reading of a telescoping stick names its section; of two alike, nearer the working end', () => {
    const stick = stickOf({
      construction: 'wood',
      sections: [
        { name: 'tip', lengthMetres: 1.2 },
        { name: 'butt', lengthMetres: 1.2 },
      ],
    })
    const [tip, butt] = ['tip', 'butt'].map((section) => survey({ length: 1200, section }))
    const readings = [...(butt ?? []), ...(tip ?? [])]
    for (const rows of [readings, readings.toReversed()]) {
      expect(judge(testOf({ dry: { readings: rows }, wet: undefined }), judgedBy({ stick })).worst).toStrictEqual({
        state: 'dry',
        section: 'tip',
        quarterTurn: 0,
        fromMetres: 0,
        toMetres: 0.3,
        leakageMicroamps: 4,
      })
    }
  })
})

describe('an examination in place of a test', () => {
  const nothingMeasured = { dry: undefined, wet: undefined, instrumentChecks: [], demonstrationId: 'DEM-1' }
  const demonstrated = shown('examination alone')
  const allowed = judgedBy({ examinationOnlyAllowed: true, demonstrated })

  test('passes where the policy lets it, and says that it rests on that alone', () => {
    expect(judge(testOf(nothingMeasured), allowed)).toStrictEqual({
      verdict: 'pass',
      cause: null,
      reasons: [],
      worst: null,
      byExaminationAlone: true,
    })
  })

  test('needs the policy to say so', () => {
    const notTested = 'not tested; a test of foam-filled FRP tube includes it'
    for (const by of [judgedBy({ demonstrated }), judgedBy({ examinationOnlyAllowed: false, demonstrated })]) {
      const judgement = judge(testOf(nothingMeasured), by)
      expect({ ...judgement, reasons: judgement.reasons.map(read) }).toStrictEqual({
        verdict: 'incomplete',
        cause: null,
        reasons: [
          {
            code: 'examination-not-enough',
            text: 'The policy in force does not let an examination stand in place of a test',
          },
          { code: 'dry-missing', text: `Dry: ${notTested}`, state: 'dry' },
          { code: 'wet-missing', text: `Wet: ${notTested}`, state: 'wet' },
        ],
        worst: null,
      })
    }
  })

  test('fails where the gloss is lost, and tells what is missing in the order of any other test', () => {
    const over = { ...nothingMeasured, cleaned: false, examination: { defects: [], gloss: 'lost' as const } }
    const { verdict, cause, reasons, byExaminationAlone } = judge(testOf(over), allowed)
    expect([verdict, cause, byExaminationAlone]).toStrictEqual(['fail', 'examination', true])
    expect(reasons.map(({ code }) => code)).toStrictEqual(['cleaning-not-recorded', 'gloss-lost'])
  })

  test('is none where something was measured after all', () => {
    const { verdict, byExaminationAlone } = judge(testOf({ demonstrationId: 'DEM-1' }), judgedBy())
    expect([verdict, byExaminationAlone]).toStrictEqual(['pass', undefined])
  })
})

describe('what the procedure asks for beyond the rule', () => {
  const told = (over: Parameters<typeof testOf>[0], procedure: Partial<Procedure>) => {
    const { verdict, reasons } = judge(testOf(over), judgedBy({ procedure: procedureOf(procedure) }))
    return [verdict, ...reasons.map(({ code }) => code)]
  }

  test('the checks again after the last reading', () => {
    const checks = procedureOf().checks.map((one) => ({ ...one, afterToo: one.state === 'wet' }))
    const after = check('wet', 98, { when: 'after' })
    expect(told({}, { checks })).toEqual(['invalid', 'check-missing'])
    expect(told({ instrumentChecks: [check('dry'), check('wet'), after] }, { checks })).toEqual(['pass'])
    expect(
      told({ instrumentChecks: [check('dry'), check('wet'), { ...after, checkMicroamps: 80 }] }, { checks }),
    ).toEqual(['invalid', 'check-out-of-tolerance'])
    expect(told({ instrumentChecks: [check('dry'), after] }, { checks })).toEqual(['invalid', 'check-missing'])
  })

  test('a mist that conducts little, measured', () => {
    const asked = { waterConductivityAtMostMicrosiemensPerCm: 5 }
    const mist = (conductivityMicrosiemensPerCm?: number) => ({
      wet: wetOf(survey({ value: 9, wet: true }), { conductivityMicrosiemensPerCm }),
    })
    expect(told(mist(5), asked)).toEqual(['pass'])
    expect(told(mist(5.1), asked)).toEqual(['invalid', 'conductivity-too-high'])
    expect(told(mist(), asked)).toEqual(['incomplete', 'conductivity-missing'])
    expect(told(mist(900), {})).toEqual(['pass'])
    expect(told({ wet: undefined }, asked)).toEqual(['incomplete', 'wet-missing'])
  })

  test('a climate inside its windows, recorded', () => {
    const asked = {
      ambient: { celsius: [18, 28] as [number, number], relativeHumidityPercent: [45, 75] as [number, number] },
    }
    const at = (celsius: number, relativeHumidityPercent: number) => ({ ambient: { celsius, relativeHumidityPercent } })
    for (const edge of [at(18, 45), at(28, 75)]) expect(told(edge, asked)).toEqual(['pass'])
    expect(told(at(17.9, 75.1), asked)).toEqual(['invalid', 'ambient-outside-window', 'ambient-outside-window'])
    expect(told(at(28.1, 60), asked)).toEqual(['invalid', 'ambient-outside-window'])
    expect(told(at(20, 44.9), { ambient: { celsius: [18, 28] } })).toEqual(['pass'])
    expect(told({}, asked)).toEqual(['incomplete', 'ambient-missing', 'ambient-missing'])
    expect(told({}, { ambient: { celsius: [18, 28] } })).toEqual(['incomplete', 'ambient-missing'])
  })

  test('a reading over its limit outside the windows proves nothing', () => {
    const asked = { ambient: { celsius: [18, 28] as [number, number] } }
    const hot = { ambient: { celsius: 35, relativeHumidityPercent: 50 }, dry: { readings: survey({ value: 11 }) } }
    const { verdict, reasons } = judge(testOf(hot), judgedBy({ procedure: procedureOf(asked) }))
    expect(verdict).toBe('invalid')
    expect(codes(reasons)).toEqual(['ambient-outside-window', 'reading-over-limit'])
    expect(reasons.map(textOf)[0]).toBe('The temperature was 35 °C; the procedure asks for 18 to 28 °C')
  })
})

describe('a stricter limit that may be meant, nobody knows', () => {
  /** SAMPLE: dry 10 µA for any instrument, 6 µA for one that applies 100 kV. */
  const limits = procedureOf().limits.flatMap((one) =>
    one.state === 'wet' ? [one] : [one, { ...one, microamps: 6, kilovolts: 100 }],
  )
  const told = (value: number, by: Parameters<typeof judgedBy>[0] = {}) => {
    const { verdict, reasons } = judge(
      testOf({ dry: { readings: survey({ value }) } }),
      judgedBy({ procedure: procedureOf({ limits }), ...by }),
    )
    return [verdict, ...codes(reasons)]
  }

  test('leaves undecided what it would refuse, and only that', () => {
    expect(told(6)).toEqual(['pass'])
    expect(told(6.1)).toEqual(['incomplete', 'no-limit-covers'])
    expect(told(10)).toEqual(['incomplete', 'no-limit-covers'])
    expect(told(10.1)).toEqual(['fail', 'no-limit-covers', 'reading-over-limit'])
  })

  test('is held to, or left aside, once the register says what the instrument applies', () => {
    expect(told(6.1, { instrumentKilovolts: 100 })).toEqual(['fail', 'reading-over-limit'])
    expect(told(6.1, { instrumentKilovolts: 75 })).toEqual(['pass'])
  })

  test('is named with its source', () => {
    const { reasons } = judge(
      testOf({ dry: { readings: survey({ value: 7 }) } }),
      judgedBy({ procedure: procedureOf({ limits }) }),
    )
    expect(reasons.map(textOf)).toEqual([
      'Dry: the limit of 6 µA (SAMPLE, no standard) is for 100 kV, and the register does not say what the ' +
        'instrument applies; its entry has to say so',
    ])
  })
})

describe('what a dead instrument read', () => {
  test('is no failure, however high, and no worst reading beside what proves something', () => {
    const all = (value: number) => ({
      dry: { readings: survey({ value }) },
      wet: wetOf(survey({ value, wet: true })),
    })
    const stuck = judge(testOf(all(40)), judgedBy())
    expect([stuck.verdict, stuck.cause, codes(stuck.reasons)]).toEqual([
      'invalid',
      null,
      ['instrument-not-shown-alive', 'reading-over-limit'],
    ])
    const after = { instrumentChecks: [check('dry'), check('wet'), check('dry', 98, { when: 'after' })] }
    expect(judge(testOf({ ...all(40), ...after }), judgedBy())).toMatchObject({
      verdict: 'fail',
      worst: { state: 'dry' },
    })
    const half = judge(testOf({ dry: { readings: survey({ value: 0 }) } }), judgedBy())
    expect(half).toMatchObject({ verdict: 'invalid', worst: { state: 'wet', leakageMicroamps: 9 } })
  })

  test('hides no failure that stands in the other state, or on the stick', () => {
    const nought = { dry: { readings: survey({ value: 0 }) } }
    expect(judge(testOf({ ...nought, wet: wetOf(survey({ value: 21, wet: true })) }), judgedBy())).toMatchObject({
      verdict: 'fail',
      cause: 'electrical',
    })
    const examination = { gloss: 'sound' as const, defects: [{ kind: 'crack' as const, open: true }] }
    expect(judge(testOf({ ...nought, examination }), judgedBy())).toMatchObject({
      verdict: 'fail',
      cause: 'examination',
    })
  })

  test('is asked of readings only: a withstand test shows by itself what it withstood', () => {
    const withstand = (['dry', 'wet'] as const).map((state) => ({
      state,
      fromMetres: 0,
      toMetres: 2.4,
      kilovolts: 600,
      seconds: 60,
      outcome: 'withstood' as const,
    }))
    expect(judge(testOf({ dry: undefined, wet: undefined, withstand }), judgedBy()).verdict).toBe('pass')
  })
})
