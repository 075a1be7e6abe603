/** What is said, as it is compared: two that are told otherwise are never taken for one, however they were stored. */
import { expect, test } from 'vitest'
import { contentOfWay, type Milder, type Part, type Way } from '../../../shared-domain/loosening/way.ts'
import { contentOf } from '../../../shared-domain/said.ts'
import { contentOfHold, saidOfHold } from '../../../shared-domain/state/hold.ts'
import { day } from '../../support/trade.ts'
import { holds } from './every-hold.ts'

/** As a store may give it back: the same with its values in another order. */
function backwards<Value>(value: Value): Value {
  if (typeof value !== 'object' || value === null) return value
  if (Array.isArray(value)) return value.map(backwards) as Value
  const entries = Object.entries(value).map(([name, own]) => [name, backwards(own)] as const)
  return Object.fromEntries(entries.toReversed()) as Value
}

test('holds that differ in anything that is told differ in content, and in the order of it do not', () => {
  const contents = holds.map(({ hold }) => contentOfHold(hold))
  expect(new Set(contents).size).toBe(holds.length)
  expect(holds.map(({ hold }) => contentOfHold(backwards(hold)))).toEqual(contents)
  expect(holds.map(({ hold }) => contentOfHold(saidOfHold(hold)))).toEqual(contents)
})

test('a sentence with other values is another, and the words of a person are compared as they are', () => {
  const says = { is: 'no check before', expected: 100 } as const
  expect(contentOf({ says: backwards(says) })).toBe(contentOf({ says }))
  const others = [{ ...says, expected: 50 }, { ...says, is: 'no check after' }, { is: 'no check before' }]
  for (const other of others) expect(contentOf({ says: other })).not.toBe(contentOf({ says }))
  expect([contentOf({ text: 'so' }), contentOf({})]).toEqual(['so', ''])
})

/** A sentence with a list of phrases, each with a phrase in it. */
function withstandOf(seconds: number): Milder {
  const voltage = { is: 'kilovolts', kilovolts: 300 } as const
  const [one, other] = [60, seconds].map((each): Part => ({ is: 'for so long', voltage, seconds: each }))
  const to = [one, other].flatMap((each) => each ?? [])
  return { is: 'withstand lowered', construction: 'FRP rod', when: 'new', from: to.slice(0, 1), to }
}

test('a way that was approved is another with another value or another hold', () => {
  const ways: readonly Way[] = [
    { code: 'due-later', says: { is: 'due later', from: day('2026-03-02'), to: day('2026-04-02') } },
    { code: 'due-later', says: { is: 'due later', from: day('2026-03-02'), to: day('2026-05-02') } },
    ...[
      { is: 'months', count: 12 } as const,
      { is: 'months', count: 24 } as const,
      { is: 'days', count: 24 } as const,
      { is: 'no months' } as const,
    ].map(
      (from): Way => ({ code: 'shelf', says: { is: 'shelf limit changed', id: 'R', from, to: { is: 'no months' } } }),
    ),
    ...[60, 50].map((seconds): Way => ({ code: 'withstand', says: withstandOf(seconds) })),
    { code: 'limit-raised', text: 'The limit becomes 20 µA.' },
    { code: 'limit-raised', text: 'The limit becomes 30 µA.' },
    { code: 'ends-hold', says: { is: 'ends hold' } },
    ...holds.map(({ hold }): Way => ({ code: 'ends-hold', says: { is: 'ends hold' }, hold: saidOfHold(hold) })),
  ]
  expect(new Set(ways.map(contentOfWay)).size).toBe(ways.length)
  expect(ways.map((way) => contentOfWay(backwards(way)))).toEqual(ways.map(contentOfWay))
})
