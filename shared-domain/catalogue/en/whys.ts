/** Sentences on why a stick stands as it does, by its status. */
export const whys = {
  'why scrapped': 'It was scrapped.',
  'why overdue': 'Its test ran out on {$dueOn :date}.',
  'why overdue, look': 'It was not looked over by {$dueOn :date}: look it over before it is used.',
  'why due soon, look': 'It is to be looked over by {$dueOn :date}; it may be used through that day.',
  'why due soon': 'Its test runs out on {$dueOn :date}; it may be used through that day.',
  'why in service': 'It may be used through {$dueOn :date}.',
  'why in service without a date': 'No requirement with an interval applies to it.',
  'why never tested': 'Nobody has tested it yet, and no certificate of its maker covers it.',
  'why not tested yet': 'It has not had its first full test yet.',
  'why not looked over yet': 'It has not been looked over yet.',
  'why removed from service': 'Failed again after it had been cleaned, refinished or repaired: {$what}.',
  'why removed by decision': 'Removed by decision: {$reason}.',
  'why held': 'It is on hold.',
  'why removed': 'It is removed from service for good.',
  'not primary': '{$status :word of=status}, not for primary protection',
  'why unknown': 'Ask the bench how it stands.',
} as const
