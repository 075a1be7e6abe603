import { expect, test } from 'vitest'
import { type EnteredEdition, isTakenBack } from '../../../shared-domain/loosening/taken-back.ts'
import type { Stick } from '../../../shared-domain/registers.ts'
import { aStick, day } from '../../support/trade.ts'

const today = day('2026-03-02')
const entered = (from: string, body: Stick, over: Partial<EnteredEdition<Stick>> = {}): EnteredEdition<Stick> => ({
  effectiveFrom: day(from),
  body,
  by: 'ines',
  enteredOn: today,
  ...over,
})
const slip = { ...aStick, diameterMillimetres: 23 }
const yesterday = { enteredOn: day('2026-03-01') }
const stood = entered('2026-01-01', aStick, yesterday)
const back = { effectiveFrom: today, body: aStick }
const same = { by: 'ines', today, recordedUnder: false }
const both = [stood, entered('2026-03-02', slip)]

test('the author takes back what was entered today, from the same day on', () => {
  expect(isTakenBack(both, back, same)).toBe(true)
})

test('whatever order its fields were kept in, and whether or not the body says from when it counts', () => {
  const mixed = Object.fromEntries(Object.entries({ ...aStick, effectiveFrom: today }).reverse()) as Stick
  expect(isTakenBack(both, { effectiveFrom: today, body: mixed }, same)).toBe(true)
})

test('the order of sections is part of what is said', () => {
  const [one, other] = [
    { name: 'tip', lengthMetres: 1.2 },
    { name: 'butt', lengthMetres: 1.2 },
  ]
  const before = entered('2026-01-01', { ...aStick, sections: [one, other] }, yesterday)
  const after = (...sections: NonNullable<Stick['sections']>) => ({
    effectiveFrom: today,
    body: { ...aStick, sections },
  })
  expect(isTakenBack([before, entered('2026-03-02', slip)], after(one, other), same)).toBe(true)
  expect(isTakenBack([before, entered('2026-03-02', slip)], after(other, one), same)).toBe(false)
})

test.each([
  ['nobody else', both, back, { ...same, by: 'mia' }],
  ['not on another day', [stood, entered('2026-03-02', slip, yesterday)], back, same],
  ['not once anything was recorded under it', both, back, { ...same, recordedUnder: true }],
  ['no other body than stood there', both, { ...back, body: { ...aStick, diameterMillimetres: 33 } }, same],
  ['not from another day on', both, { ...back, effectiveFrom: day('2026-03-01') }, same],
  ['not the only edition there is', [entered('2026-03-02', slip)], back, same],
  ['not of nothing', [], back, same],
  ['not the last but one', [...both, entered('2026-03-02', aStick, { by: 'mia' })], back, same],
])('%s', (_, editions, after, by) => {
  expect(isTakenBack(editions, after, by)).toBe(false)
})

test('what stood there is what was in force on its day, in whatever order it was entered', () => {
  const later = entered('2026-02-01', { ...aStick, lot: 'L-8' }, yesterday)
  const editions = [later, stood, entered('2026-03-02', slip)]
  expect(isTakenBack(editions, back, same)).toBe(false)
  expect(isTakenBack(editions, { ...back, body: later.body }, same)).toBe(true)
  const twice = [stood, entered('2026-01-01', later.body, yesterday), entered('2026-03-02', slip)]
  expect(isTakenBack(twice, { ...back, body: later.body }, same)).toBe(true)
})
