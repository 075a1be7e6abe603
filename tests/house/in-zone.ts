/** A check before every test file: dates, Intl and luxon follow the time zone that was asked for. */
import { DateTime } from 'luxon'

const asked = process.env.TZ ?? 'none'
const spelt = new Intl.DateTimeFormat('en', { timeZone: asked }).resolvedOptions().timeZone
const followed = [new Intl.DateTimeFormat().resolvedOptions().timeZone, DateTime.local().zoneName]
const noons = [0, 6].map((month) => [
  new Date(2026, month, 15, 12).getTime(),
  DateTime.fromObject({ year: 2026, month: month + 1, day: 15, hour: 12 }, { zone: asked }).toMillis(),
])

if (followed.some((zone) => zone !== spelt) || noons.some(([shown, meant]) => shown !== meant)) {
  throw new Error(`these tests were to run in ${asked} and run in ${followed.join(' and ')}`)
}
