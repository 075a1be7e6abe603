/** How long until somebody confirmed, by hand. */
import { expect, test } from 'vitest'
import type { Instant } from '../../../shared-domain/calendar.ts'
import { confirmationsOf, hoursToConfirm } from '../../../shared-domain/fleet/confirmations.ts'

const at = (text: string) => `2026-03-02T${text}:00.000Z` as Instant

test('a matter is confirmed by whoever confirms it first, counted from when the first heard of it', () => {
  const hours = hoursToConfirm([
    { about: 'a', owedAt: at('08:00'), answeredAt: at('12:00') },
    { about: 'a', owedAt: at('08:30'), answeredAt: at('09:30') },
    { about: 'a', owedAt: at('07:30') },
    { about: 'b', owedAt: at('08:00') },
    { about: 'c', owedAt: at('10:00'), answeredAt: at('10:00') },
  ])
  expect(hours).toEqual([2, null, 0])
  expect(confirmationsOf(hours)).toEqual({ matters: 3, confirmed: 2, medianHours: 0, longestHours: 2 })
})

test('of nothing there is no median, and of an odd number it is the one in the middle', () => {
  expect(confirmationsOf([])).toEqual({ matters: 0, confirmed: 0, medianHours: null, longestHours: null })
  expect(confirmationsOf([5, 1, 30]).medianHours).toBe(5)
})
