/** Sentences of the page on which a notice is confirmed as read. */

import { safetyWords } from '../../safety-words.ts'
import { lines } from '../lines.ts'
import { orders } from './orders.ts'

export const confirmation = {
  ...orders,
  safety: safetyWords,
  'what this is': 'Bench tests, due dates and holds of insulated sticks',
  'which stick': 'Stick {$stick}',
  'order several': '{$sticks :integer} sticks must not be used: do not use them',
  'do several': 'Stop using them now and tag each. Bring those that are out to the bench, and give none to anybody.',
  'do make sure': 'Make sure now, by telephone or in person, that those who have not confirmed it know: {$names}.',
  'what else waits': 'What else waits for you',
  'confirm each': 'Confirm each by the button in its own mail.',
  'depot hours': 'Open: {$hours}',
  why: 'Why',
  'each stick': 'The sticks',
  'one stick': '{$stick}: {$why}',
  'more sticks': 'and {$sticks :integer} more, which the mail or the roster names',
  'more reasons': lines(
    '.input {$more :integer} .match $more',
    'one {{and 1 more reason, which the mail names}}',
    '* {{and {$more} more reasons, which the mail names}}',
  ),
  'i have read this': 'I have read this',
  'not confirmed yet':
    'Opening this page has confirmed nothing yet. Press the button, so that nobody else has to be sent after you.',
  number: 'Notice {$number}, for {$name}.',
  'thank you': 'Thank you, {$name}',
  'it is recorded': 'It is recorded that you have read this notice.',
  'ends nothing': 'This alone makes no stick fit: it must not be used until what is named here is done and recorded.',
  'you may close this': 'You can close this page.',
  'link no good': 'This link is no good',
  'open it anew': lines(
    'It is not as it was sent, or was meant for something else. Open it once more from the mail itself. If that does',
    'not help, tell your manager that you have read the mail.',
  ),
  'go by the mail': 'Whatever this page says: a stick that the mail tells you not to use must not be used.',
  'link expired': 'This link has expired',
  'time is over':
    'The time to confirm this notice is over; others have been told since. Nothing more is asked of you here.',
  'no longer yours': 'This link is no longer good',
  'has left': lines(
    '{$name} is no longer on the register of people, so others confirm this notice. Nothing was recorded. If that is',
    'wrong, ask a manager to put the register right.',
  ),
  'used before': 'This link was used before',
  'confirmed already': 'This notice is confirmed as read already. Nothing more is needed.',
  'confirmed since': 'This notice is confirmed as read already, since {$when}. Nothing more is needed.',
  failed: 'Something failed on our side',
  'try again': 'Nothing was recorded. Please try again in a few minutes.',
} as const
