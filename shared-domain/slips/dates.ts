/**
 * Days that are unlikely for what happened on them, and the day that may be meant. All spans are the house's own
 * figures.
 */
import { addMonths, type CalendarDate, daysBetween } from '../calendar.ts'
import type { Happening } from '../facts.ts'
import type { Asked, OddPlace, SlipContext } from './question.ts'

/** A fact typed in more than this after it happened is asked about. */
const longAgoDays = 300
/**
 * A day as near to today as this is taken as it stands. A day that would come so near in another year may be of that
 * year.
 */
const nearDays = 31
/** Tests are seldom typed in so far out of their order. */
const outOfOrderDays = 31

/** A day that is odd, before anybody knows which was meant. */
type Odd =
  | { readonly is: 'long before today' | 'long after today'; on: CalendarDate; days: number; today: CalendarDate }
  | { readonly is: 'before service'; on: CalendarDate; since: CalendarDate; stickId: string }
  | { readonly is: 'before the last test'; on: CalendarDate; days: number; last: CalendarDate }

/** A date is asked about once, by the first reason that applies. */
export function dateFarOff({ on, dateField, happening, stickId }: Asked, known: SlipContext): OddPlace[] {
  const { today } = known
  const odd =
    otherYear(on, today) ??
    longAgo(on, today) ??
    beforeService(on, { happening, stickId }, known) ??
    beforeLastTest(on, known)
  if (odd === undefined) return []
  const meant = dayMeant(on, today)
  // each of these has its like in the catalogue, with the day that is meant
  const says = meant === undefined ? odd : ({ ...odd, is: `${odd.is}, meant`, meant } as OddPlace['says'])
  return [{ pointer: `/${dateField}`, says }]
}

/**
 * The same day of the month, where it is likelier than the one that was typed: near today, else the last that has been.
 */
function dayMeant(on: CalendarDate, today: CalendarDate): CalendarDate | undefined {
  const near = nearToday(on, today)
  if (near !== undefined) return near
  const last = sameDayAround(on, today).findLast((day) => day <= today)
  return last === undefined || last <= on ? undefined : last
}

/** The same day of the last year, of this one and of the next. */
function sameDayAround(on: CalendarDate, today: CalendarDate): CalendarDate[] {
  const years = Number(today.slice(0, 4)) - Number(on.slice(0, 4))
  return [years - 1, years, years + 1].map((more) => addMonths(on, more * 12))
}

const isNear = (day: CalendarDate, today: CalendarDate) => Math.abs(daysBetween(day, today)) <= nearDays

function nearToday(on: CalendarDate, today: CalendarDate): CalendarDate | undefined {
  if (isNear(on, today)) return undefined
  return sameDayAround(on, today).find((day) => isNear(day, today))
}

function otherYear(on: CalendarDate, today: CalendarDate): Odd | undefined {
  return nearToday(on, today) === undefined ? undefined : awayFrom(on, today)
}

function longAgo(on: CalendarDate, today: CalendarDate): Odd | undefined {
  return daysBetween(on, today) > longAgoDays ? awayFrom(on, today) : undefined
}

function awayFrom(on: CalendarDate, today: CalendarDate): Odd {
  const days = daysBetween(on, today)
  return { is: days > 0 ? 'long before today' : 'long after today', on, days: Math.abs(days), today }
}

/**
 * Days before the stick's first day of service, where the register names one. The day of its first entry says nothing:
 * histories are entered after the fact.
 */
function beforeService(
  on: CalendarDate,
  { happening, stickId }: Pick<Asked, 'happening' | 'stickId'>,
  { stick }: SlipContext,
): Odd | undefined {
  const since = stick?.inServiceSince
  if (since === undefined || on >= since || !isOfService(happening)) return undefined
  return { is: 'before service', on, since, stickId }
}

/** A stick is certified, tested for first issue, mended and stored before it serves. */
function isOfService(happening: Happening): boolean {
  if (happening.kind === 'tested') return happening.test.reason !== 'first issue'
  return happening.kind === 'used' || happening.kind === 'defect reported' || happening.kind === 'released'
}

function beforeLastTest(on: CalendarDate, { tests }: SlipContext): Odd | undefined {
  const last = tests?.earlier[0]?.testedOn
  const days = last === undefined ? 0 : daysBetween(on, last)
  return last === undefined || days <= outOfOrderDays ? undefined : { is: 'before the last test', on, days, last }
}
