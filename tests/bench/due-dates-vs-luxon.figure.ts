/**
 * What the due dates of a fleet take, beside the same dates from luxon, which the product would otherwise ask for them.
 */
import { DateTime } from 'luxon'
import { chanceOf, whole } from '../../seed/chance.ts'
import { addDays, addMonths, type CalendarDate, earliest } from '../../shared-domain/calendar.ts'
import { day } from '../support/trade.ts'
import type { Figure, Measured } from './figure.ts'
import { interleaved } from './interleaved.ts'

const sticks = 100_000
/** Of the three clocks that run on each stick, every one from an evidence date of its own. */
const intervals = [24, 6, 12] as const
type Evidence = readonly [CalendarDate, CalendarDate, CalendarDate]

const chance = chanceOf('due dates')
/** Some day of ten years with two leap days and every end of a month. */
const someDay = () => addDays(day('2016-03-01'), whole(chance, 0, 3_652))
const fleet = Array.from({ length: sticks }, (): Evidence => [someDay(), someDay(), someDay()])

const ours = () =>
  fleet.map(([first, second, third]) =>
    earliest([addMonths(first, intervals[0]), addMonths(second, intervals[1]), addMonths(third, intervals[2])]),
  )

const later = (date: CalendarDate, months: number) => DateTime.fromISO(date, { zone: 'utc' }).plus({ months })
/** Compared as luxon compares, so that it need not write the two dates that nobody asks for. */
const luxons = () =>
  fleet.map(([first, second, third]) =>
    DateTime.min(later(first, intervals[0]), later(second, intervals[1]), later(third, intervals[2])).toISODate(),
  )

/** A round is 300,000 additions on either side, so a fortieth of the rounds asked for tells enough. */
function measure(rounds: number): Measured {
  const theirs = luxons()
  if (!ours().every((date, stick) => date === theirs[stick])) throw new Error('ours and luxon’s are not the same dates')
  const { value, floor } = interleaved(luxons, ours, Math.ceil(rounds / 40))
  return { value: 1 / value, floor }
}

export const figure: Figure = {
  unit: 'ratio to the speed of luxon on 100,000 sticks with three clocks each',
  better: 'higher',
  goal: 5,
  measure,
}
