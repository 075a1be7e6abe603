/** Orders on a stick that every page gives in the same words: the first line, and below it what to do. */
import { lines } from '../lines.ts'

export const orders = {
  'do not use': 'Do not use it',
  'order look first': 'Do not use it before it is looked over',
  'order use': 'Use it through {$on :date}',
  'order use, not primary': 'Use it through {$on :date}, not for primary protection',
  'order use, no date': 'Use it: no rule sets it a date',
  'order use, no date, not primary': 'Use it, not for primary protection: no rule sets it a date',
  'order look': 'Look it over by {$on :date}',
  'order bring': 'Use it through {$on :date}, and bring it to the bench by then',
  'order bring to': 'Use it through {$on :date}, and bring it to {$place} by then',
  'order bring from store': 'Use it through {$on :date}, and bring it from store to the bench by then',
  'order get back': 'It may be used through {$on :date}: get it back by then',
  'order stays at the bench': 'Leave it at the bench: its test is due by {$on :date}',

  'do clean and look': 'Before each day of use wipe it clean and look it over.',
  'do clean and look, not primary':
    'Never rely on it for primary protection. Before each day of use wipe it clean and look it over.',
  'do until then': 'It may be used through that day. Before each day of use wipe it clean and look it over.',
  'do until then, not primary': lines(
    'It may be used through that day, but never for primary protection. Before each day of use wipe it clean and look',
    'it over.',
  ),
  'do look over': 'Look it over where it lies, and record that. Whatever is not sound is reported as a danger.',
  'do bring': 'Stop using it now, tag it, and bring it to the bench.',
  'do bring to': 'Stop using it now, tag it, bring it to {$place}, and give it to the bench there.',
  'do get back': 'It is lent to {$to}: tell them now not to use it. Get it back, tag it, and bring it to the bench.',
  'do get back to':
    'It is lent to {$to}: tell them now not to use it. Get it back, tag it, and give it to the bench at {$place}.',
  'do get back soon': 'It is lent to {$to}. Get it back, and bring it to the bench by that day.',
  'do get back soon to': 'It is lent to {$to}. Get it back, and give it to the bench at {$place} by that day.',
  'do find': 'It is missing. If you have it: tag it, and bring it to the bench.',
  'do find to': 'It is missing. If you have it: tag it, bring it to {$place}, and give it to the bench there.',
  'do first test': 'Tag it and bring it to the bench for its first test.',
  'do first test to': 'Tag it and bring it to {$place} for its first test. Give it to the bench there.',
  'do hand in': 'Stop using it now, tag it, and hand it in. No test brings it back.',
  'do hand in to': 'Stop using it now, tag it, and hand it in to the bench at {$place}. No test brings it back.',
  'do leave at the bench': 'It is at the bench, and stays there with its tag. You have nothing to bring.',
  'do bring from store': 'It is in store: tag it there, give it to nobody, and bring it to the bench.',
} as const
