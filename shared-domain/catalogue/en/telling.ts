/**
 * Sentences of mails that somebody asked for: a reminder; word to people of what they may do; and the fingerprint of
 * all records.
 */
import { lines } from '../lines.ts'

export const telling = {
  'subject reminder': '{$by} reminds you: {$subject}',
  'subject held':
    '.input {$held :integer} .match $held one {{1 stick must not be used}} * {{{$held} sticks must not be used}}',
  'subject and held': '{$subject}; on hold or out of service: {$held :integer}',
  'reminder asked': '{$by} asked for this reminder on {$on :date}, {$at}.',
  'reminder note': 'In the words of {$by}: {$note}',
  'do reminder, held': lines(
    'A stick on hold, awaiting its first test or removed from service must not be used, whatever its date: stop using',
    'it now, tag it, and bring it to the bench.',
  ),

  'subject invitation, entered': 'You can sign in and see to the sticks of {$organisation}',
  'subject invitation, more': 'You may do more about the sticks of {$organisation}',
  'subject invitation, new address': 'Your mail about the sticks of {$organisation} comes here now',
  'subject not delivered, invitation': '{$name} has not heard what they may do here',
  'subject not delivered, no stick': 'A notice to {$name} was not delivered',
  'do invitation, entered':
    'You are on the register of people of {$organisation}. Sign in, and you may do what is named below.',
  'do invitation, more':
    'Your entry on the register of people of {$organisation} has changed. You may do what is named below.',
  'do invitation, new address': lines(
    'Your mail address on the register of people of {$organisation} has changed. Notices to you come here from now',
    'on. You may do what is named below.',
  ),
  'do not delivered, invitation': lines(
    'A mail that tells the person named here what they may do did not reach them. Put their address on the register',
    'of people right, or tell them yourself.',
  ),
  'subject fingerprint': 'Fingerprint of the records of {$organisation}: keep this mail',
  'do fingerprint': lines(
    'Keep this mail: it holds the fingerprint of all that {$organisation} has recorded of its sticks. If anybody',
    'alters or removes a record later, this fingerprint shows it. There is nothing else to do.',
  ),
  'fingerprint records': lines(
    '.input {$records :integer} .match $records',
    'one {{Taken on {$on :date}, of 1 record.}}',
    '* {{Taken on {$on :date}, of {$records} records.}}',
  ),
  fingerprint: 'Fingerprint: {$groups}',
  'fingerprint check': lines(
    'The proof of a stick, which its page hands out, names the fingerprints of the last days, and of each month before',
    'them the last. Whoever checks the proof compares: those of one day must be the same.',
  ),
  'invited by': 'Entered by {$by}.',
  'may as crew': 'As one of a crew you may:',
  'may as bench': 'As a tester at the bench you may:',
  'may as manager': 'As a manager you may:',
  'may as owner': 'As an owner you may:',
  'may report danger':
    'report danger on any stick: damage, a tingle, a drop, a flashover, one that is missing or found',
  'may see sticks': 'see how each stick stands, when it is due and why, and who was told what about it',
  'may write down uses and looks': 'record where a stick was used, and that you looked it over',
  'may put dates in a calendar': 'have the due dates of a crew’s sticks in a calendar',
  'may mark people told': 'record that somebody without a mail address was told in person',
  'may test': 'record bench tests, certificates, cleaning, waxing and repairs, and release a stick after a failure',
  'may move sticks': 'issue sticks, take them back, lend them, put them into store, and record their labels',
  'may remind crews': 'have a crew reminded of a stick',
  'may keep sticks': 'enter sticks, put a slip in their records right, and take a stick out of service for good',
  'may recall sticks': 'call sticks back: those of a lot, of an order, or tested with an instrument that read wrong',
  'may keep people': 'enter depots, crews and people',
  'may keep instruments': 'enter instruments and their calibrations',
  'may keep rules': lines(
    'enter test procedures, the policy and what your employer demonstrated; what would be less strict waits for a',
    'second person',
  ),
  'may decide changes': 'approve or decline a change that somebody else asked for',
  'may place reports': 'say which stick was meant, where danger is reported on a number that no stick has',
  'may clear addresses': 'have mail sent again to an address that it came back from',
  'may enter owners': 'enter owners',
  'reach crew': 'This is for the sticks of your crew: {$crew}.',
  'reach depots': 'This is for the sticks of these depots: {$depots}.',
  'reach every depot': 'This is for the sticks of every depot.',
  'may until': 'The last day of it is {$on :date}.',
  'sign in': 'Sign in',
  'sign in first': lines(
    'Where this service keeps your account, your first password comes in a mail of its own. Where your employer has',
    'you sign in another way, use that one. Either way the account has to have the address that this mail came to.',
  ),
  'sign in as before': 'Sign in as you did before.',
  'ask somebody': 'If this was not meant for you, or is not right, tell {$name}, {$email}, and do not sign in.',
  'ask anybody': lines(
    'If this was not meant for you, or is not right, tell whoever looks after this service at {$organisation}, and do',
    'not sign in.',
  ),
} as const
