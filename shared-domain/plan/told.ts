/** What breaks in a plan, as sentences with their values, for whoever says them. */
import type { plan } from '../catalogue/en/plan.ts'
import type { SaidOf } from '../catalogue/say.ts'
import type { Broken } from './depot-plan.ts'

type Sentence = SaidOf<typeof plan>

const codes: { readonly [is in Broken['is']]: string } = {
  'no hours': 'bench-hours-missing',
  'nothing to measure by': 'nothing-to-measure-by',
  overdue: 'overdue',
  'due this week': 'due-before-the-week-ends',
  'bench short': 'bench-short',
  'crew short': 'crew-short',
  'pin given up': 'pin-given-up',
  'lock given up': 'lock-given-up',
  'sticks left out': 'sticks-left-out',
}

export const codeOfBroken = ({ is }: Broken): string => codes[is]

const minutesPerHour = 60
/** To a tenth and rounded up: hours that are added are never too few. */
export const hoursUp = (minutes: number): number => Math.ceil((minutes * 10) / minutesPerHour) / 10

/** Numbers of sticks that a sentence names; of more it says how many there are. */
const mostNamed = 12
const named = (stickIds: readonly string[]): string =>
  stickIds.slice(0, mostNamed).join(', ') + (stickIds.length > mostNamed ? ', …' : '')

/** `depot` and `crew` are names where the reader is told names. */
export function sentenceOfBroken(one: Broken, depot: string, crew = (id: string): string => id): Sentence {
  switch (one.is) {
    case 'no hours':
      return { is: 'broken: no hours', depot }
    case 'nothing to measure by':
      return { is: 'broken: nothing to measure by' }
    case 'overdue':
    case 'due this week':
    case 'pin given up':
    case 'lock given up':
      return { is: `broken: ${one.is}`, sticks: named(one.stickIds), count: one.stickIds.length }
    case 'bench short': {
      const { week, minutes, stickIds } = one
      const count = stickIds.length
      return { is: 'broken: bench short', week, hours: hoursUp(minutes), sticks: named(stickIds), count }
    }
    case 'crew short': {
      const [week = ''] = one.weeks
      const kinds = one.kinds.join(', ')
      return {
        is: 'broken: crew short',
        crew: crew(one.crewId),
        kinds,
        week,
        weeks: one.weeks.length,
        sticks: one.sticks,
      }
    }
    case 'sticks left out':
      return { is: 'broken: sticks left out', count: one.sticks }
  }
}
