/** Sentences of the folder by which a stranger checks the records of a stick. */
import { lines } from '../lines.ts'

export const proof = {
  'offer proof': 'Proof of its records, as a folder to keep',
  'proof title': 'Proof of the records of stick {$stick}',
  'proof of': 'What {$organisation} has recorded of stick {$stick}. Taken {$when}.',
  'proof on': 'It shows the stick as it was on {$on :date}.',
  'proof as known': 'It shows what was known on {$on :date}. What was recorded later is not in it.',
  'proof how it stood': 'How it stood on {$on :date}',
  'proof due': 'Due {$on :date}.',
  'proof what it shows': lines(
    'It shows that these records are what was recorded at the time, and that none was altered or taken out since. It',
    'does not show that what somebody recorded was true.',
  ),
  'proof all records': 'All that was recorded',
  'proof number': 'Number',
  'proof place in tree': 'Place in the tree',
  'proof none yet': 'none yet: too new',
  'proof test of': 'Bench test of {$on :date}',
  'proof place': 'Place',
  'proof reading': 'Reading',
  'proof microamps': '{$read :figure} µA',
  'proof fingerprints': 'Fingerprints of all records',
  'proof mailed': lines(
    'The owners are mailed the fingerprint of each day on which something was recorded. Here are those of the last',
    'days, and of each month before them the last.',
  ),
  'proof records then': lines(
    '.input {$records :integer} .match $records',
    'one {{{$on :date}, of 1 record}}',
    '* {{{$on :date}, of {$records} records}}',
  ),
  'proof how to check': 'How to check it',
  'proof check': lines(
    'Unpack this folder on a computer that has Node, version 20 or newer. In the folder, type the line below. It needs',
    'no network, and nothing of the service that made the folder.',
  ),
  'proof compare': lines(
    'Then ask an owner for a mail with a fingerprint, best an old one, and type it after the line, in quotation marks.',
    'Only this shows that the whole of it was not made up later.',
  ),
} as const
