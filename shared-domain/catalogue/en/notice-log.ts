/** Sentences of the page of notices, beside those that other pages say too. */
import { lines } from '../lines.ts'

export const noticeLog = {
  'no stick called': 'No stick is called “{$name}”. Look at the number on the stick, or leave the field empty.',
  'not your stick': 'Stick {$name} is of another crew or depot: ask its manager.',
  'log caption': lines(
    'The newest first, a row for each notice with all its readers. Times are by the clock of the crew’s depot. Each',
    'reader’s number stands in the subject of their mail.',
  ),
  'log caption since': lines(
    'Since {$on :date}, the newest first, a row for each notice with all its readers. Times are by the clock of the',
    'crew’s depot. Each reader’s number stands in the subject of their mail.',
  ),
  'log empty': 'No notice is listed here.',
  'show all notices': 'Show all notices',
  'told at': 'When',
  'readers and outcome': 'Readers, and what became of it',
  readers: '.input {$readers :integer} .match $readers one {{1 reader}} * {{{$readers} readers}}',
  'sent to all': 'sent to all',
  'sent to some': 'sent to {$sent :figure}',
  'confirmed by': 'confirmed by {$names}',
  'confirmed by nobody': 'nobody has confirmed it yet',
  'each reader': 'Each reader',
  'sent at': 'sent {$when}',
  'next notices': 'Older notices',
  'previous notices': 'Newer notices',
  'newest notices': 'Newest notices',
  'more addresses': 'and {$more :integer} more',
} as const
