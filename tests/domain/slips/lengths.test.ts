import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { lengthMayBeFeet } from '../../../shared-domain/feet.ts'
import type { Stick } from '../../../shared-domain/registers.ts'
import { tries } from '../../support/tier.ts'
import { judgedBy, stickOf, survey, testOf, wetOf } from '../bench-test/fixtures.ts'
import { ofTest } from './fixtures.ts'

const asked = (over: Partial<Stick>, test = testOf()) =>
  ofTest(test, { tests: { by: judgedBy({ stick: stickOf(over) }), earlier: [] } })

describe('a length on the register that readings reach in feet', () => {
  test('is asked about at the place that reaches furthest', () => {
    expect(asked({ workingLengthMetres: 8 })).toEqual([
      {
        code: 'length-in-feet',
        text:
          'The readings reach 2.4 m of the 8 m on the register, and 8 feet are 2.438 m. Is it on the register in ' +
          'feet?',
        pointer: '/dry/readings/9/toMetres',
      },
    ])
    const wet = testOf({ dry: { readings: [] }, wet: wetOf(survey({ wet: true }).reverse()) })
    expect(asked({ workingLengthMetres: 8 }, wet).map(({ pointer }) => pointer)).toEqual(['/wet/readings/0/toMetres'])
  })

  test('of a section by what was read of it', () => {
    const sections = [
      { name: 'tip', lengthMetres: 4 },
      { name: 'butt', lengthMetres: 1.4 },
    ]
    const readings = [...survey({ length: 1200, section: 'tip' }), ...survey({ length: 1400, section: 'butt' })]
    const questions = asked({ workingLengthMetres: 5.4, sections }, testOf({ dry: { readings }, wet: undefined }))
    expect(questions.map(({ text }) => text)).toEqual([
      'The readings reach 1.2 m of the 4 m of section tip on the register, and 4 feet are 1.219 m. Is it on the ' +
        'register in feet?',
    ])
  })

  test.each([2.4, 4.8, 7.6, 8.2])('%d m are not, of a test that reaches 2.4 m', (workingLengthMetres) => {
    expect(asked({ workingLengthMetres })).toEqual([])
  })

  test('nor where one state reaches further, or nothing was read', () => {
    const further = testOf({ wet: wetOf(survey({ length: 4000, wet: true })) })
    expect(asked({ workingLengthMetres: 8 }, further)).toEqual([])
    expect(asked({ workingLengthMetres: 8 }, testOf({ dry: undefined, wet: undefined }))).toEqual([])
  })
})

test('a length may be in feet where all that is known of it is so much shorter, within 2 %', () => {
  expect([lengthMayBeFeet(8, [2.4, 2.44]), lengthMayBeFeet(8, [2.4, 3]), lengthMayBeFeet(8, [])]).toEqual([
    true,
    false,
    false,
  ])
  fc.assert(
    fc.property(
      fc.double({ min: 0.1, max: 30, noNaN: true }),
      fc.double({ min: -0.019, max: 0.019, noNaN: true }),
      (feet, off) => {
        const metres = feet * 0.3048 * (1 + off)
        expect(lengthMayBeFeet(feet, [metres])).toBe(true)
        expect(lengthMayBeFeet(metres, [metres])).toBe(false)
        expect(lengthMayBeFeet(metres, [feet])).toBe(false)
        expect(lengthMayBeFeet(feet, [metres * 1.05])).toBe(false)
        expect(lengthMayBeFeet(feet, [metres * 0.95])).toBe(false)
      },
    ),
    { seed: 30_480, numRuns: tries(1000, 300) },
  )
})
