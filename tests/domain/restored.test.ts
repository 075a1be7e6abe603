/** What a journal says is lost after a restore, and which sticks may lack something. */
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { addSeconds, type Instant } from '../../shared-domain/calendar.ts'
import {
  type Hole,
  holesIn,
  isLater,
  type LeftFact,
  mayBeLost,
  silentAfterSeconds,
} from '../../shared-domain/restored.ts'

const backup = '2026-03-02T00:00:00.000Z' as Instant
const lost = addSeconds(backup, 4 * 3600)
const all: Hole = { from: backup, to: lost }
const plus = (seconds: number) => addSeconds(backup, seconds)
const seconds = fc.integer({ min: 0, max: 4 * 3600 })
const runs = { numRuns: Number(process.env.PROPERTY_RUNS ?? 2_000), seed: 20260305 }

describe('the holes of a journal', () => {
  const everyFive = Array.from({ length: 47 }, (_, i) => plus(300 * (i + 1)))

  test.each<[string, Instant[], [number, number][]]>([
    ['none where it was heard each five minutes', everyFive, []],
    ['all of it where it was never heard', [], [[0, 4 * 3600]]],
    ['the time before the first', everyFive.slice(12), [[0, 13 * 300]]],
    ['the time after the last', everyFive.slice(0, 12), [[12 * 300, 4 * 3600]]],
    ['a silence in between', [...everyFive.slice(0, 12), ...everyFive.slice(30)], [[12 * 300, 31 * 300]]],
    ['none for two times missed', everyFive.filter((_, i) => i !== 20 && i !== 21), []],
    ['what was heard before or after does not count', [plus(-60), addSeconds(lost, 60)], [[0, 4 * 3600]]],
  ])('%s', (_, heard, holes) => {
    expect(holesIn(heard, all)).toEqual(holes.map(([from, to]) => ({ from: plus(from), to: plus(to) })))
  })

  test('an instant lies in one exactly where nothing was heard for longer than the silence around it', () => {
    fc.assert(
      fc.property(fc.array(seconds, { maxLength: 60 }), seconds, (heard, at) => {
        const ends = [0, ...heard, 4 * 3600]
        const before = Math.max(...ends.filter((end) => end <= at))
        const next = Math.min(...ends.filter((end) => end > at), 4 * 3600)
        const isIn = holesIn(heard.map(plus), all).some(({ from, to }) => from <= plus(at) && plus(at) < to)
        expect(isIn).toBe(at < next && next - before > silentAfterSeconds)
      }),
      runs,
    )
  })

  test('more that was heard never makes a hole wider', () => {
    fc.assert(
      fc.property(fc.array(seconds), fc.array(seconds), (heard, more) => {
        const wide = holesIn(heard.map(plus), all)
        for (const one of holesIn([...heard, ...more].map(plus), all))
          expect(wide.some(({ from, to }) => from <= one.from && one.to <= to)).toBe(true)
      }),
      runs,
    )
  })
})

describe('whether something of a stick may be lost', () => {
  const facts = (...at: number[]): LeftFact[] => at.map((one, i) => ({ seq: i + 1, recordedAt: plus(one) }))
  const hole: Hole = { from: plus(3600), to: plus(7200) }

  test.each<[string, LeftFact[], Hole[], Hole | null]>([
    ['nothing, where the journal has no hole', facts(-60), [], null],
    ['maybe, where nothing was recorded of it since the hole', facts(-60, 1800), [hole], hole],
    ['nothing, where a fact after the hole has the next number', facts(-60, 1800, 9000), [hole], null],
    ['certainly, where a number is missing', facts(-60, 1800, 9000).toSpliced(1, 1), [], all],
    [
      'certainly, where a number is missing, whatever came after the hole',
      facts(0, 1, 9000).toSpliced(1, 1),
      [hole],
      all,
    ],
    ['maybe, where it has no fact at all', [], [hole], hole],
  ])('%s', (_, left, holes, expected) => {
    expect(mayBeLost(left, holes, all)).toEqual(expected)
  })

  test('a stick of which a fact was lost is never let through', () => {
    const histories = fc.array(seconds, { minLength: 1, maxLength: 12 })
    fc.assert(
      fc.property(histories, fc.array(seconds, { maxLength: 20 }), fc.nat(), (times, heard, which) => {
        const recorded = facts(...times.sort((a, b) => a - b))
        const holes = holesIn(heard.map(plus), all)
        // whatever lies in a hole was lost, and maybe one more somewhere
        const isIn = ({ recordedAt }: LeftFact) => holes.some(({ from, to }) => from < recordedAt && recordedAt < to)
        const left = recorded.filter((fact, i) => !isIn(fact) && (which % 3 > 0 || i !== which % recorded.length))
        const lostOnes = recorded.filter((fact) => !left.includes(fact))
        const last = recorded.at(-1)
        // the last facts of a stick leave no number behind: only a hole tells of them
        fc.pre(lostOnes.every((fact) => isIn(fact) || (last !== undefined && left.includes(last))))
        if (lostOnes.length > 0) expect(mayBeLost(left, holes, all)).not.toBeNull()
      }),
      runs,
    )
  })
})

describe('of two lines of one item the later write stands', () => {
  const line = (at: number, sequence: string) => ({ at: plus(at), sequence })

  test.each([
    [line(2, '5'), line(1, '900'), true],
    [line(1, '900'), line(2, '5'), false],
    [line(1, '10'), line(1, '9'), true],
    [line(1, '100000000000000000001'), line(1, '100000000000000000000'), true],
    [line(1, '9'), line(1, '9'), false],
  ])('%j after %j: %s', (one, other, expected) => {
    expect(isLater(one, other)).toBe(expected)
  })
})
