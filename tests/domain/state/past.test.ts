/** What a stick went through, in a few words each: as the fold keeps it, and as the table does. */
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { replay } from '../../../shared-domain/state/fold.ts'
import { type Past, pastOf, withPast } from '../../../shared-domain/state/past.ts'
import { defectKinds, testReasons, verdicts } from '../../../shared-domain/words.ts'
import { day, happened, history } from '../../support/trade.ts'

const packedPast = (all: readonly Past[]) => all.reduce(withPast, '')

describe('as one text', () => {
  const on = fc.constantFrom(day('2024-02-29'), day('2026-03-02'), day('1999-12-31'))
  const past: fc.Arbitrary<Past> = fc.oneof(
    fc.record({
      on,
      verdict: fc.constantFrom(...verdicts),
      cause: fc.constantFrom(null, 'electrical' as const, 'examination' as const),
      reason: fc.constantFrom(...testReasons),
      stored: fc.boolean(),
    }),
    fc.record({ on, reported: fc.constantFrom(...defectKinds, 'unsound' as const) }),
  )

  test('reads back as it was', () => {
    fc.assert(
      fc.property(fc.array(past, { maxLength: 20 }), (all) => {
        expect(pastOf({ past: packedPast(all) })).toEqual(all)
      }),
    )
  })

  test('keeps the newest two hundred', () => {
    const many = Array.from({ length: 250 }, (_, i): Past => ({ on: day(`${2000 + i}-01-01`), reported: 'burn' }))
    expect(pastOf({ past: packedPast(many) })).toEqual(many.slice(-200))
  })

  test('is short, and what does not read is left out', () => {
    const all: Past[] = [
      { on: day('2026-03-02'), verdict: 'fail', cause: 'electrical', reason: 'first issue', stored: true },
      { on: day('2026-05-01'), reported: 'lost gloss' },
    ]
    const text = '2026-03-02 fail electrical first issue stored; 2026-05-01 reported lost gloss'
    expect(packedPast(all)).toBe(text)
    expect(pastOf({ past: `2026-01-01 of another build; ${text}` })).toEqual(all)
    expect(pastOf({ past: '' })).toEqual([])
  })
})

describe('as it is folded', () => {
  const entered = ['2024-01-01', happened.registered()] as const
  const pastAfter = (...events: Parameters<typeof history>) => pastOf(replay(history(entered, ...events)))
  const periodic = { reason: 'periodic', stored: false } as const

  test('every test and every report of danger is kept, in order of time, whatever order they were recorded in', () => {
    expect(
      pastAfter(
        ['2026-03-02', happened.tested('electrical')],
        ['2024-01-02', happened.tested('pass')],
        ['2025-06-01', happened.defect()],
        ['2026-03-03', happened.tested('invalid')],
      ),
    ).toMatchObject([
      { on: '2024-01-02', verdict: 'pass', cause: null, ...periodic },
      { on: '2025-06-01', reported: 'tingle' },
      { on: '2026-03-02', verdict: 'fail', cause: 'electrical', ...periodic },
      { on: '2026-03-03', verdict: 'invalid', cause: null, ...periodic },
    ])
  })

  test('a test tells whether the stick lay in store since its last full test, unused', () => {
    const stored = (...between: Parameters<typeof history>) =>
      pastAfter(
        ['2024-01-02', happened.moved({ store: 'DEP-1' })],
        ['2024-01-03', happened.tested('pass')],
        ...between,
        ['2026-01-02', happened.tested('pass')],
      ).map((one) => 'stored' in one && one.stored)
    // before its first test the entry had put it with a crew
    expect(stored()).toEqual([false, true])
    expect(stored(['2025-01-01', happened.used()])).toEqual([false, false])
    expect(stored(['2025-01-01', happened.moved({ crewId: 'CR-1' })])).toEqual([false, false])
  })

  test('a verdict is the one that counts by now, and a slip is none', () => {
    const judged = pastAfter(
      ['2024-01-02', happened.tested('electrical')],
      ['2024-01-05', happened.judgedAgain(2, 'pass')],
    )
    expect(judged).toMatchObject([{ on: '2024-01-02', verdict: 'pass' }])
  })
})
