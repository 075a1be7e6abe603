import { describe, expect, test } from 'vitest'
import type { BenchTest, Withstand } from '../../../shared-domain/bench-test/bench-test.ts'
import type { Procedure } from '../../../shared-domain/registers.ts'
import { agree, meantBy, rounded, tenfold } from '../../../shared-domain/slips/tenfold.ts'
import { check, day, judgedBy, procedureOf, survey, testOf, wetOf } from '../bench-test/fixtures.ts'
import { ofTest } from './fixtures.ts'

const askedOf = (test: BenchTest, procedure: Partial<Procedure> = {}, earlier: BenchTest[] = []) =>
  ofTest(test, { tests: { by: judgedBy({ procedure: procedureOf(procedure) }), earlier } })
const textsOf = (...of: Parameters<typeof askedOf>) => askedOf(...of).map(({ text }) => text)

describe('a check with the known piece', () => {
  const checked = (...instrumentChecks: BenchTest['instrumentChecks']) => testOf({ instrumentChecks })

  test('ten times off what the procedure asks for', () => {
    expect(askedOf(checked(check('dry'), check('wet', 9.8, { when: 'after' })))).toEqual([
      {
        code: 'decimal-slipped',
        text: 'The wet check after the readings reads 9.8 µA where the procedure asks for 100 µA. Is it 98?',
        pointer: '/instrumentChecks/1/checkMicroamps',
      },
    ])
    expect(textsOf(checked(check('dry', 1010)))).toEqual([expect.stringMatching(/Is it 101\?$/)])
  })

  test('within the tolerance that the procedure states, and of one of its pieces', () => {
    expect(textsOf(checked(check('dry', 1111)))).toEqual([])
    expect(textsOf(checked(check('dry', 60)))).toEqual([])
    const piece = { state: 'dry', expectedMicroamps: 10, tolerancePercent: 10, openAtMostMicroamps: 1 } as const
    const pieces = [...procedureOf().checks, piece]
    expect(textsOf(checked(check('dry', 9.8)), { checks: pieces })).toEqual([])
    expect(textsOf(checked(check('wet', 9.8)), { checks: pieces })).toHaveLength(1)
    expect(textsOf(checked(check('dry', 1)), { checks: pieces })).toEqual([expect.stringContaining('asks for 10 µA')])
    expect(textsOf(checked(check('dry', 9.8)), { checks: [] })).toEqual([])
  })
})

describe('the water', () => {
  const conducting = (conductivityMicrosiemensPerCm?: number): BenchTest =>
    testOf({
      testedOn: day('2026-03-02'),
      wet: wetOf(survey({ value: 9, wet: true }), {
        ...(conductivityMicrosiemensPerCm === undefined ? {} : { conductivityMicrosiemensPerCm }),
      }),
    })
  const atMost = { waterConductivityAtMostMicrosiemensPerCm: 50 }
  const before = { ...conducting(12), testedOn: day('2024-03-04') }

  test('over what the procedure allows, a tenth of it as that of the last test', () => {
    expect(askedOf(conducting(120), atMost, [conducting(), before])).toEqual([
      {
        code: 'decimal-slipped',
        text:
          'The water conducts 120 µS/cm; the procedure allows 50 and that of the last test, on 2024-03-04, ' +
          'conducted 12. Is it 12?',
        pointer: '/wet/conductivityMicrosiemensPerCm',
      },
    ])
  })

  test.each([
    ['allowed as it was typed', conducting(50), atMost, [{ ...conducting(5), testedOn: day('2024-03-04') }]],
    ['no tenth of it', conducting(190), atMost, [before]],
    ['nothing is allowed or refused', conducting(120), {}, [before]],
    ['nobody measured it before', conducting(120), atMost, [conducting()]],
    ['nobody measured it now', conducting(), atMost, [before]],
    ['it was too much before', conducting(600), atMost, [conducting(60)]],
    ['no wet test', testOf({ wet: undefined }), atMost, [before]],
  ])('%s: nothing is asked', (_, test, procedure, earlier) => expect(askedOf(test, procedure, earlier)).toEqual([]))

  test('what the procedure allows to the last was allowed', () => {
    expect(textsOf(conducting(510), atMost, [conducting(50)])).toHaveLength(1)
  })
})

describe('the air', () => {
  const at = (celsius: number) => testOf({ ambient: { celsius, relativeHumidityPercent: 40 } })
  const window = { ambient: { celsius: [10, 35] as [number, number] } }

  test('colder than the procedure asks for, ten times it within', () => {
    expect(askedOf(at(2.1), window)).toEqual([
      {
        code: 'decimal-slipped',
        text: 'The air was 2.1 °C; the procedure asks for 10 to 35 °C. Is it 21?',
        pointer: '/ambient/celsius',
      },
    ])
    expect(textsOf(at(1), window)).toHaveLength(1)
    expect(textsOf(at(3.5), window)).toHaveLength(1)
  })

  test.each([10, 21, 41, 0.9, 3.6, -2.1, 0])('%d °C is not asked about', (celsius) => {
    expect(askedOf(at(celsius), window)).toEqual([])
  })

  test('without a window, or where nobody measured, nothing is asked', () => {
    expect(askedOf(at(2.1))).toEqual([])
    expect(askedOf(testOf(), window)).toEqual([])
    expect(askedOf(at(2.1), { ambient: { relativeHumidityPercent: [0, 70] } })).toEqual([])
  })
})

describe('the kilovolts of a withstand test', () => {
  const row = (kilovolts: number, over: Partial<Withstand> = {}): Withstand => ({
    fromMetres: 0,
    toMetres: 1.2,
    kilovolts,
    seconds: 60,
    state: 'dry',
    outcome: 'withstood',
    ...over,
  })
  const of = (...withstand: Withstand[]) => testOf({ dry: undefined, wet: undefined, withstand })
  const lastOf = (...rows: Withstand[]) => [testOf(), of(), { ...of(...rows), testedOn: day('2024-03-04') }]

  test('ten times off those of the last test of the same span', () => {
    expect(askedOf(of(row(300, { fromMetres: 1.2, toMetres: 2.4 }), row(3000)), {}, lastOf(row(300)))).toEqual([
      {
        code: 'decimal-slipped',
        text: '3000 kV where the last test, on 2024-03-04, applied 300 kV. Is it 300?',
        pointer: '/withstand/1/kilovolts',
      },
    ])
    expect(textsOf(of(row(30)), {}, lastOf(row(300)))).toEqual([expect.stringMatching(/Is it 300\?$/)])
    expect(askedOf(of(row(300)), {}, lastOf(row(300)))).toEqual([])
    expect(askedOf(of(row(3000)))).toEqual([])
  })

  test.each([
    ['another start', { fromMetres: 0.1 }],
    ['another end', { toMetres: 1.3 }],
    ['another state', { state: 'wet' as const }],
    ['another section', { section: 'tip' }],
  ])('%s: nothing is asked', (_, over) => {
    expect(askedOf(of(row(3000)), {}, lastOf(row(300, over)))).toEqual([])
    expect(textsOf(of(row(3000)), {}, lastOf(row(40, over), row(300)))).toHaveLength(1)
  })
})

test('figures are moved by a decimal without what binary fractions add', () => {
  expect(tenfold(4.2)).toEqual([0.42, 42])
  expect(tenfold(0.7)).toEqual([0.07, 7])
  expect([meantBy(41, 4.2), meantBy(0.0042, 4), meantBy(0, 4), meantBy(4, 0)]).toEqual([4.1, 4.2, undefined, undefined])
  expect([agree(3, 2), agree(2, 3), agree(3.01, 2), agree(2, 3.01), agree(0, 0)]).toEqual([
    true,
    true,
    false,
    false,
    false,
  ])
  expect([rounded(4.249, 2), rounded(0.1 + 0.2)]).toEqual([4.2, 0.3])
})
