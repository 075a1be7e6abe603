import fc from 'fast-check'
import { expect, test } from 'vitest'
import { rankOfHold, worstHoldFirst } from '../../../shared-domain/state/worst-hold.ts'

const reported = (defect: string) => ({ code: 'defect-reported', detail: { defect } })
const hold = (code: string) => ({ code })

test.each([
  [[reported('scratch'), reported('flashover')], 'flashover'],
  [[reported('lost gloss'), hold('reported-missing'), reported('tingle')], 'tingle'],
])('a danger felt or seen stands before a blemish', (holds, first) => {
  expect(worstHoldFirst(holds)[0]).toEqual(reported(first))
})

test('a failed test stands before all, and what only was not shown stands last', () => {
  const holds = ['shelf-limit', 'test-incomplete', 'open-defect', 'failed-test'].map(hold)
  expect(worstHoldFirst([...holds, reported('dent')]).map(({ code }) => code)).toEqual([
    'failed-test',
    'open-defect',
    'defect-reported',
    'shelf-limit',
    'test-incomplete',
  ])
})

test('what can hurt somebody is read first, what is only not shown last', () => {
  const worse = [
    [hold('failed-test')],
    ['flashover', 'tingle', 'burn', 'tracking', 'crack', 'delamination', 'drop'].map(reported),
    [hold('open-defect')],
    [reported('scratch'), reported('other'), hold('defect-reported')],
    [hold('recalled')],
    [hold('found-untested')],
    [hold('reported-missing')],
    [hold('no-corrective-step')],
    [hold('not-mended')],
    [hold('test-incomplete'), hold('shelf-limit'), { code: 'entry-changed', detail: { defect: 'tingle' } }],
  ]
  const ranks = worse.map((holds) => [...new Set(holds.map(rankOfHold))])
  expect(ranks.map(({ length }) => length)).toEqual(worse.map(() => 1))
  expect(ranks.flat()).toEqual([...new Set(ranks.flat())].sort((a, b) => a - b))
})

test('holds of one rank keep the order in which they came, and none is lost', () => {
  const kinds = [reported('scratch'), reported('drop'), hold('failed-test'), hold('recalled')]
  const some = fc.array(fc.nat(kinds.length - 1))
  fc.assert(
    fc.property(some, (picked) => {
      const holds = picked.map((kind, place) => ({ ...(kinds[kind] ?? hold('')), kind, place }))
      const sorted = worstHoldFirst(holds)
      expect(sorted).toHaveLength(holds.length)
      for (const kind of kinds.keys())
        expect(sorted.filter((one) => one.kind === kind)).toEqual(holds.filter((one) => one.kind === kind))
    }),
    { seed: 14 },
  )
})
