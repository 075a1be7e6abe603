/** The list that a device keeps: how long it counts, of which day it speaks, and when it is wiped. */
import { describe, expect, test } from 'vitest'
import type { Instant } from '../../../shared-domain/calendar.ts'
import {
  ageInMinutes,
  isListOver,
  isTooOld,
  isWorthFetching,
  type KeptList,
  lineCounts,
  withReported,
} from '../../../shared-domain/device/kept-list.ts'
import { day } from '../../support/trade.ts'

const instant = (text: string) => `${text}:00.000Z` as Instant
const ana = { organisation: 'demo', person: 'ana' }
const fetchedAt = instant('2026-03-02T13:00')
const list = (more: Partial<KeptList> = {}): KeptList => ({
  shape: 1,
  by: ana,
  lastDay: null,
  zone: 'America/Chicago',
  crew: 'Heron crew',
  asOf: fetchedAt,
  fetchedAt,
  lines: [],
  ...more,
})
const usable = (through: string) => ({ stick: 'S-1', through: day(through), says: 'Use it' })
const held = { stick: 'S-2', through: null, says: 'DO NOT USE' }

describe('the age of a list', () => {
  test.each([
    ['2026-03-02T13:00', 0, false],
    ['2026-03-02T16:45', 225, false],
    ['2026-03-03T12:59', 1439, false],
    ['2026-03-03T13:00', 1440, true],
  ])('at %s it is %d minutes old; too old: %s', (now, age, old) => {
    expect([ageInMinutes(list(), instant(now)), isTooOld(list(), instant(now))]).toEqual([age, old])
  })

  test('nobody knows it where the clock was set back, and then it is too old', () => {
    const before = instant('2026-03-02T12:59')
    expect([ageInMinutes(list(), before), isTooOld(list(), before)]).toEqual([null, true])
  })

  test('it is fetched anew after ten minutes, and where there is none', () => {
    const ages = ['13:09', '13:10', '12:00'].map((time) => isWorthFetching(list(), instant(`2026-03-02T${time}`)))
    expect([...ages, isWorthFetching(null, fetchedAt)]).toEqual([false, true, true, true])
  })
})

describe('a line of it', () => {
  test('counts until the last day on which the stick may be used has ended at the depot', () => {
    const onLastDay = usable('2026-03-02')
    // midnight in Chicago is 06:00 UTC
    expect(lineCounts(onLastDay, list(), instant('2026-03-03T05:59'))).toBe(true)
    expect(lineCounts(onLastDay, list(), instant('2026-03-03T06:00'))).toBe(false)
    expect(lineCounts(usable('2026-03-03'), list(), instant('2026-03-03T06:00'))).toBe(true)
  })

  test('says nothing of a stick after a day, be it fit or held', () => {
    const now = instant('2026-03-03T13:00')
    expect([usable('2027-03-02'), held].map((line) => lineCounts(line, list(), now))).toEqual([false, false])
    expect(lineCounts(held, list(), instant('2026-03-03T12:59'))).toBe(true)
  })

  test('is of the service’s day, though the clock of the device is a day off', () => {
    const slow = list({ fetchedAt: instant('2026-03-01T13:00') })
    expect(lineCounts(usable('2026-03-02'), slow, instant('2026-03-02T05:59'))).toBe(true)
    expect(lineCounts(usable('2026-03-02'), slow, instant('2026-03-02T06:00'))).toBe(false)
  })
})

describe('a list is wiped', () => {
  const now = instant('2026-03-02T14:00')
  test('where somebody else is signed in, and not where nobody is', () => {
    expect(isListOver(list(), now, ana)).toBe(false)
    expect(isListOver(list(), now, null)).toBe(false)
    expect(isListOver(list(), now, { ...ana, person: 'kai' })).toBe(true)
    expect(isListOver(list(), now, { ...ana, organisation: 'other' })).toBe(true)
  })

  test('after its owner’s last day at the depot', () => {
    const leaves = list({ lastDay: day('2026-03-02') })
    expect(isListOver(leaves, instant('2026-03-03T05:59'), null)).toBe(false)
    expect(isListOver(leaves, instant('2026-03-03T06:00'), ana)).toBe(true)
  })
})

describe('a stick that was reported on the device', () => {
  const both = list({ lines: [usable('2027-03-02'), { ...usable('2027-03-02'), stick: 'A/1' }] })
  const through = (...paths: string[]) =>
    withReported(
      both,
      paths.map((path) => ({ path })),
      'reported',
    ).lines.map((line) => [line.through, line.says])
  const fit = ['2027-03-02', 'Use it']

  test.each(['report', 'missing'])('reads so by its %s, and no other does', (act) => {
    expect(through(`/sticks/S-1/${act}`)).toEqual([[null, 'reported'], fit])
    expect(through(`/sticks/A%2F1/${act}`)).toEqual([fit, [null, 'reported']])
  })

  test('is not one that was looked over, used or moved', () => {
    expect(through('/sticks/S-1/use', '/sticks/S-1/look', '/move?stick=S-1', '/sticks/S-10/report')).toEqual([fit, fit])
  })
})
