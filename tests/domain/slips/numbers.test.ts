import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { registerId } from '../../../shared-domain/identifiers.ts'
import { isBenchWork, liesAtBench, likeNumbers } from '../../../shared-domain/slips/numbers.ts'
import { initial } from '../../../shared-domain/state/state.ts'
import { tries } from '../../support/tier.ts'
import { aTest, day, happened } from '../../support/trade.ts'
import { askedOf, knownOf, questionsAbout } from './fixtures.ts'

const seeded = { seed: 12_021, numRuns: tries(2000, 400) }

describe('the numbers that one slip makes of a number', () => {
  test('two digits swapped, then one for another, from the right', () => {
    expect(likeNumbers('S-12')).toEqual([
      'S-21',
      ...['0', '1', '3', '4', '5', '6', '7', '8', '9'].map((digit) => `S-1${digit}`),
      ...['0', '2', '3', '4', '5', '6', '7', '8', '9'].map((digit) => `S-${digit}2`),
    ])
    expect(likeNumbers('1-23').slice(0, 1)).toEqual(['1-32'])
    expect(likeNumbers('S-0012')).toHaveLength(2 + 4 * 9)
    expect(likeNumbers('S-0012').slice(0, 2)).toEqual(['S-0021', 'S-0102'])
  })

  test('letters are no digits, and there are never more than one read takes', () => {
    expect(likeNumbers('North.yard')).toEqual([])
    expect(likeNumbers('A/:1')).toHaveLength(9)
    expect(likeNumbers('1'.repeat(64))).toHaveLength(100)
  })

  test('of any number: as long, another, each once, no digit more or less, and it is alike in turn', () => {
    fc.assert(
      fc.property(fc.stringMatching(/^[A-C0-9]{1,3}[.-][0-9]{1,6}$/), (id) => {
        const alike = likeNumbers(id)
        expect(new Set(alike).size).toBe(alike.length)
        expect(alike).not.toContain(id)
        for (const one of alike) {
          expect(registerId.safeParse(one).success).toBe(true)
          expect(one.replaceAll(/\d/g, '#')).toBe(id.replaceAll(/\d/g, '#'))
          expect(likeNumbers(one)).toContain(id)
          const differs = [...one].flatMap((letter, i) => (letter === id[i] ? [] : [i]))
          const isSwap = differs.length === 2 && [...one].sort().join('') === [...id].sort().join('')
          expect(differs.length === 1 || isSwap).toBe(true)
        }
      }),
      seeded,
    )
  })
})

describe('another stick at the bench', () => {
  const asked = (alikeAtBench: string[], over = {}, isAtBench = false) =>
    questionsAbout(askedOf({ happening: happened.step('cleaned'), ...over }), knownOf({ alikeAtBench, isAtBench }))

  test('is named where this one is not there', () => {
    expect(asked(['S-0021'])).toEqual([
      { code: 'another-number', text: 'S-0012 is not at the bench; S-0021 is. Is it that one?', pointer: '' },
    ])
    expect(asked(['S-0021', 'S-0013', 'S-0014', 'S-0015']).map(({ text }) => text)).toEqual([
      'S-0012 is not at the bench; S-0021, S-0013 and S-0014 are. Is it one of these?',
    ])
    expect(asked([])).toEqual([])
    expect(asked(['S-0021'], {}, true)).toEqual([])
  })

  test('for what is done at the bench alone', () => {
    const test = happened.tested('pass', aTest({ testedOn: day('2026-03-10'), dry: { readings: [] } }))
    for (const happening of [test, happened.released()]) expect(asked(['S-0021'], { happening })).toHaveLength(1)
    for (const happening of [happened.used(), happened.defect(), happened.moved('missing'), happened.registered()]) {
      expect(isBenchWork(happening)).toBe(false)
      expect(asked(['S-0021'], { happening })).toEqual([])
    }
  })

  test('lies there unless it is missing or scrapped', () => {
    const atBench = { ...initial, custody: { bench: 'DEP-1' } }
    expect(liesAtBench(atBench)).toBe(true)
    expect(liesAtBench({ ...atBench, missing: true })).toBe(false)
    expect(liesAtBench({ ...atBench, scrapped: { since: day('2026-03-10'), factId: '' } })).toBe(false)
    expect(liesAtBench({ ...atBench, custody: { store: 'DEP-1' } })).toBe(false)
    expect(liesAtBench(initial)).toBe(false)
  })
})
