/** A withstand figure beside the rule's own: 29 CFR 1910.269(j)(1)(i), (ii) and (j)(2)(iii)(E). */
import { describe, expect, test } from 'vitest'
import {
  isBelowRule,
  isFeetForMetres,
  perFoot,
  rulesOwn,
  type StatedVoltage,
} from '../../../shared-domain/bench-test/withstand-rule.ts'

test.each([
  ['hollow FRP tube', 'new', 100, 300],
  ['FRP rod', 'in service', 75, 60],
  ['wood', 'new', 75, 180],
  ['wood', 'in service', 50, 60],
] as const)('of %s, %s, the rule asks for %d kV per foot for %d s', (construction, when, kilovoltsPerFoot, seconds) => {
  expect(rulesOwn(construction, when)).toEqual({ kilovoltsPerFoot, seconds })
})

test.each<[StatedVoltage, number | undefined]>([
  [{ kilovoltsPerFoot: 75 }, 75],
  // a foot is 0.3048 m (NIST SP 811, B.8)
  [{ kilovoltsPerMetre: 100 }, 30.48],
  [{ kilovolts: 100 }, undefined],
  [{ times: 3, of: 'line voltage' }, undefined],
])('%j by the foot', (voltage, expected) => {
  expect(perFoot(voltage)).toBe(expected)
})

describe('below the rule’s own is', () => {
  const below = (voltage: StatedVoltage, seconds = 60) =>
    isBelowRule({ construction: 'FRP rod', when: 'in service', voltage, seconds })

  test.each<[string, boolean, StatedVoltage, number?]>([
    ['not the same', false, { kilovoltsPerFoot: 75 }],
    ['not more, for longer', false, { kilovoltsPerFoot: 76 }, 61],
    ['a lower voltage', true, { kilovoltsPerFoot: 74.9 }],
    ['a shorter time, at however much', true, { kilovoltsPerFoot: 200 }, 59.9],
    // 246 kV per metre and 2,460 V per cm stand in the rule's text for 75 kV per foot
    ['not what the rule itself rounds to', false, { kilovoltsPerMetre: 246 }],
    ['what it does not round to', true, { kilovoltsPerMetre: 245.9 }],
    ['in doubt what goes by the span', true, { kilovolts: 10_000 }],
    ['in doubt what goes by the line', true, { times: 10, of: 'line voltage' }],
  ])('%s', (_, expected, voltage, seconds) => {
    expect(below(voltage, seconds)).toBe(expected)
  })

  test('by what is tested and when', () => {
    const at75 = { voltage: { kilovoltsPerFoot: 75 }, seconds: 300 }
    expect(isBelowRule({ construction: 'FRP rod', when: 'new', ...at75 })).toBe(true)
    expect(isBelowRule({ construction: 'wood', when: 'new', ...at75 })).toBe(false)
  })
})

/** The house's own figures: the rule's over 3.2808, and 5 % around it. */
describe('a figure per foot written as one per metre', () => {
  const feet = (kilovoltsPerMetre: number, construction: 'FRP rod' | 'wood' = 'FRP rod') =>
    isFeetForMetres({ construction, voltage: { kilovoltsPerMetre } })

  test.each([
    [75, true],
    [71.26, true],
    [71.24, false],
    [78.74, true],
    [78.76, false],
    [100, true],
    [95.01, true],
    [94.9, false],
    [104.9, true],
    [105.1, false],
    [50, false],
    [246, false],
    [0.1, false],
  ])('of FRP at %d: %s', (figure, expected) => {
    expect(feet(figure)).toBe(expected)
  })

  test.each([
    [50, true],
    [75, true],
    [100, false],
    [164, false],
  ])('of wood at %d: %s', (figure, expected) => {
    expect(feet(figure, 'wood')).toBe(expected)
  })

  test('is looked for per foot too, and where no length is stated not at all', () => {
    expect(isFeetForMetres({ construction: 'FRP rod', voltage: { kilovoltsPerFoot: 22.86 } })).toBe(true)
    expect(isFeetForMetres({ construction: 'FRP rod', voltage: { kilovoltsPerFoot: 75 } })).toBe(false)
    expect(isFeetForMetres({ construction: 'FRP rod', voltage: { kilovolts: 22.86 } })).toBe(false)
  })
})
