/** A stick whose records were brought back from a backup, until somebody looked at the paper. */
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { Happening } from '../../../shared-domain/facts.ts'
import { replay } from '../../../shared-domain/state/fold.ts'
import { standingOn } from '../../../shared-domain/state/standing.ts'
import { mayBeUsed } from '../../../shared-domain/state/use.ts'
import { day, happened, history, usPolicy } from '../../support/trade.ts'

const before: [string, Happening][] = [
  ['2026-01-01', happened.registered()],
  ['2026-01-02', happened.tested('pass')],
]
const standing = (...since: [string, Happening, string?][]) =>
  standingOn(replay(history(...before, ['2026-03-02', happened.restored()], ...since)), day('2026-03-20'), usPolicy)
const codes = (...since: [string, Happening, string?][]) => standing(...since).holds.map(({ code }) => code)

describe('records restored', () => {
  test('hold the stick, with a code of their own', () => {
    expect(standing().status).toBe('on hold')
    expect(codes()).toEqual(['records-restored'])
  })

  test('a look at the paper ends that', () => {
    expect(standing(['2026-03-03', happened.paperLookedAt()]).status).toBe('in service')
  })

  test('a look of before the restore does not', () => {
    expect(codes(['2026-03-01', happened.paperLookedAt()])).toEqual(['records-restored'])
  })

  test('a full pass does not: the stick may have been removed for good in between', () => {
    expect(codes(['2026-03-03', happened.tested('pass')])).toEqual(['records-restored'])
  })

  test('a look ends no other hold, and a pass all others', () => {
    const tingle: [string, Happening] = ['2026-03-03', happened.defect('tingle')]
    expect(codes(tingle, ['2026-03-04', happened.paperLookedAt()])).toEqual(['defect-reported'])
    expect(codes(tingle, ['2026-03-04', happened.tested('pass')])).toEqual(['records-restored'])
  })

  test('a second restore holds again', () => {
    expect(codes(['2026-03-03', happened.paperLookedAt()], ['2026-03-04', happened.restored()])).toEqual([
      'records-restored',
    ])
  })

  test('nothing but a look after it lets a stick be used, whatever happens', () => {
    const anything: fc.Arbitrary<Happening> = fc.oneof(
      fc.constantFrom('pass', 'electrical', 'examination').map((ending) => happened.tested(ending)),
      fc.constantFrom('cleaned', 'waxed', 'refinished', 'repaired').map((kind) => happened.step(kind)),
      fc.constantFrom(happened.defect(), happened.used(), happened.released(), happened.restored()),
      fc.constantFrom('missing' as const, 'found' as const, { crewId: 'CR-1' }).map((to) => happened.moved(to)),
    )
    const since = fc.array(fc.tuple(fc.integer({ min: 3, max: 18 }), anything), { maxLength: 12 })
    fc.assert(
      fc.property(since, (events) => {
        const later = events.map(([on, what]): [string, Happening] => [`2026-03-${String(on).padStart(2, '0')}`, what])
        expect(mayBeUsed(standing(...later).status)).toBe(false)
      }),
      { numRuns: Number(process.env.PROPERTY_RUNS ?? 1_000), seed: 20260306 },
    )
  })
})
