/** Which edition of an entry binds on a day. */
import { expect, test } from 'vitest'
import { type Instant, localDateAt } from '../../shared-domain/calendar.ts'
import { inForce, notTakenBack } from '../../shared-domain/in-force.ts'
import { day } from '../support/trade.ts'

const of = (from: string, timeZone = 'UTC') => ({ effectiveFrom: day(from), timeZone })
const editions = [of('2026-01-01'), of('2026-03-01'), of('2026-03-01', 'Asia/Tokyo'), of('2030-01-01')]

test.each([
  ['2025-12-31', 0],
  ['2026-01-01', 0],
  ['2026-02-28', 0],
  ['2026-03-01', 2],
  ['2029-12-31', 2],
  ['2030-01-01', 3],
])('on %s it is number %i: the last whose day has come, and the first before that', (on, at) => {
  expect(inForce(editions, day(on))).toBe(editions[at])
})

test('there is none where nobody entered any', () => {
  expect(inForce([], day('2026-03-01'))).toBeUndefined()
})

test('a depot’s edition begins with the day of its own clock', () => {
  const moved = [of('2026-01-01', 'America/Chicago'), of('2026-03-02', 'Asia/Tokyo')]
  const at = (now: string) => inForce(moved, ({ timeZone }) => localDateAt(now as Instant, timeZone))
  expect(at('2026-03-01T14:59:00.000Z')).toBe(moved[0])
  expect(at('2026-03-01T15:00:00.000Z')).toBe(moved[1])
})

test('what its author took back is no edition, and what was not is', () => {
  const edition = (name: string, takesBack?: string) => ({
    edition: name,
    ...(takesBack === undefined ? {} : { takesBack }),
  })
  expect(notTakenBack([edition('a'), edition('b'), edition('c', 'b')]).map((one) => one.edition)).toEqual(['a', 'c'])
  expect(notTakenBack([edition('a'), edition('b')])).toHaveLength(2)
  expect(notTakenBack([])).toEqual([])
})
