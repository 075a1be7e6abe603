/**
 * The uses of a stick as its state keeps them: each kind once a day with how often it was logged, and as one short text
 * where they are stored. A stick that is used and logged many times a day for years therefore stays small, and no rule
 * reads anything else of it.
 */
import type { CalendarDate } from '../calendar.ts'
import { type LoggedUse, timesOf } from '../policy/service-class.ts'
import { useConditions } from '../words.ts'

/** The most kinds of use that are told apart in one day. */
const mostOfADay = 3

/**
 * Adds a use in order of time. A use like another of its day raises that one's count; a use too many of a day is
 * counted into the last.
 */
export function withUse(uses: readonly LoggedUse[], { on, days, conditions }: Omit<LoggedUse, 'times'>): LoggedUse[] {
  const use: LoggedUse = { on, days, conditions: inOrder(conditions) }
  const ofDay = uses.filter((one) => one.on === on)
  const same = ofDay.find((one) => one.days === days && isSame(one.conditions, use.conditions))
  const last = ofDay.at(-1)
  if (same !== undefined) return instead(uses, same, { ...same, times: timesOf(same) + 1 })
  if (last !== undefined && ofDay.length >= mostOfADay) return instead(uses, last, together(last, use))
  const after = uses.findLastIndex((one) => one.on <= on) + 1
  return [...uses.slice(0, after), use, ...uses.slice(after)]
}

/**
 * No day of either use is lost, and all weigh as the hardest conditions of both: the stick can only come due sooner.
 */
function together(a: LoggedUse, b: LoggedUse): LoggedUse {
  const days = a.days * timesOf(a) + b.days * timesOf(b)
  return { on: a.on, days, conditions: inOrder([...a.conditions, ...b.conditions]) }
}

function instead(uses: readonly LoggedUse[], one: LoggedUse, other: LoggedUse): LoggedUse[] {
  return uses.map((use) => (use === one ? other : use))
}

/** Conditions each once and in one order, whichever way they were named. */
const inOrder = (conditions: LoggedUse['conditions']) => useConditions.filter((one) => conditions.includes(one))
const isSame = (a: LoggedUse['conditions'], b: LoggedUse['conditions']) => inOrder(a).join() === inOrder(b).join()

/**
 * `2026-03 02 05b 14ax3`: a month, then its days. A day has the letters of its conditions, then `x` and how often, then
 * `-` and how many days. Each count is left out where it is one.
 */
export function packed(uses: readonly LoggedUse[]): string {
  let month = ''
  return uses
    .map((use) => {
      const begins = use.on.slice(0, 7)
      const day = use.on.slice(8)
      const letters = use.conditions.map((one) => letterOf(one)).join('')
      const times = timesOf(use) === 1 ? '' : `x${timesOf(use)}`
      const days = use.days === 1 ? '' : `-${use.days}`
      const said = begins === month ? day + letters + times + days : `${begins} ${day}${letters}${times}${days}`
      month = begins
      return said
    })
    .join(' ')
}

export function unpacked(text: string): LoggedUse[] {
  let month = ''
  return text.split(' ').flatMap((part) => {
    if (/^\d{4}-\d{2}$/.test(part)) {
      month = part
      return []
    }
    const [, day = '', letters = '', times, days] = /^(\d{2})([a-z]*?)(?:x(\d+))?(?:-(\d+))?$/.exec(part) ?? []
    if (day === '') return []
    const conditions = useConditions.filter((one) => letters.includes(letterOf(one)))
    return [
      {
        on: `${month}-${day}` as CalendarDate,
        days: days === undefined ? 1 : Number(days),
        conditions,
        ...(times === undefined ? {} : { times: Number(times) }),
      },
    ]
  })
}

/** No condition has the letter `x`, which comes before a count. */
function letterOf(condition: LoggedUse['conditions'][number]): string {
  return 'abcdefgh'[useConditions.indexOf(condition)] ?? ''
}
