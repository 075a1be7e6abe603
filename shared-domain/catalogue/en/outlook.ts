/** Sentences of the page of the weeks ahead. */
import { lines } from '../lines.ts'

export const outlook = {
  'outlook as of': 'As of {$on :date}, each depot by its own clock.',
  'overdue now': 'Overdue now',
  'on hold now': 'On hold now',
  'untested now': 'Awaiting first test',
  'due within weeks': 'Due within {$weeks :figure} weeks',
  week: 'Week',
  'from day to day': '{$from :date} to {$to :date}',
  'month begins': '{$on :month}',
  'all depots': 'All depots',
  'no depot known': 'Place not recorded',
  'due each week': 'Sticks due in each week',
  'due each week at depot': 'Sticks due in each week, {$depot}',
  'most in a week': 'From {$from :date} to {$to :date}. The most in one week: {$most}, from {$on :date} on.',
  'none in these weeks': 'From {$from :date} to {$to :date} no stick falls due.',
  'sticks in a week': 'sticks',
  'outlook caption': lines(
    'Sticks by the week of their due date, which is the last day on which they may be used. A stick that is on hold',
    'or was never tested has no due date; those are counted above the weeks.',
  ),
  'minutes unknown':
    'No procedure and no policy states how many minutes a stick takes at the bench, so sticks alone are counted.',
  'counting ends': 'More sticks are due than one page counts. The next page goes on with the weeks after these.',
  'next weeks': 'Next weeks',
  'previous weeks': 'Previous weeks',
  'first weeks': 'First weeks',
} as const
