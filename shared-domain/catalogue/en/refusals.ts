/**
 * Sentences on what is refused, to whoever sent it. Titles say what was refused. “right” says what would be right in a
 * place where a fault was found, and stands without a full stop.
 */
export const refusing = {
  'title malformed': 'The body is not JSON',
  'title not signed in': 'Not signed in',
  'title not allowed': 'Not allowed',
  'title not found': 'Nothing of this name exists',
  'title refused': 'The rules refuse this step',
  'title too large': 'The body is too large',
  'title invalid': 'What was sent has faults',
  'title invalid, path': 'The address has faults',
  'title invalid, query': 'The query has faults',
  'title invalid, body': 'The body has faults',
  'title try again': 'Others were writing at the same time',

  'malformed: not UTF-8': 'It is not UTF-8, or letters of it were lost on the way (U+FFFD).',
  'malformed: not JSON': 'It is not JSON.',
  'too large: body': 'At most {$most :figure} bytes.',
  'too large: entry': 'The entry takes {$bytes :figure} bytes; at most {$most :figure} can be kept.',
  'too large: record': 'With its verdict the record takes {$bytes :figure} bytes; at most {$most :figure} can be kept.',
  'try again: nothing written': 'Nothing was written. Send the same request again.',

  'not signed in: other token':
    'This token is not for this API: send an access token that was issued to a client of this service.',
  'not signed in: signed out': 'This person has signed out everywhere since: sign in again.',
  'not signed in: ended': 'This person is no longer on the register of people: {$until :date} was the last day.',

  'not allowed: not bound':
    'Nobody is known by this sign-in yet. Sign in once on a page of this service, with the mail address on your entry in the register of people; a manager can enter you there.',
  'not allowed: no entry': 'This person is not on the register of people.',
  'not allowed: own rights': 'Nobody widens their own rights: somebody else who may has to enter this.',
  'not allowed: role': 'This is not for the role {$role :word of=role}.',
  'not allowed: stick': 'This stick belongs to another crew or depot.',
  'not allowed: crew': 'This crew is not yours.',
  'not allowed: notice': 'This notice is about another crew or depot.',
  'not allowed: move by a crew': 'A crew may report a stick missing or found; other moves are recorded by the bench.',
  'not allowed: entry of no depot': 'This belongs to no depot: an owner, or a manager of every depot, enters it.',
  'not allowed: entry of a depot':
    'This depot is not yours. A new one is entered by an owner, or by a manager of every depot.',
  'not allowed: entry of a crew': 'This crew belongs, or would belong, to a depot that is not yours.',
  'not allowed: entry of a person': 'This person has, or would have, a depot or a crew that is not yours.',
  'not allowed: entry of a stick': 'This stick belongs to a depot that is not yours.',
  'not allowed: entry of an owner': 'Only an owner may enter or change an owner.',
  'not allowed: own proposal': 'Somebody other than the proposer approves or declines.',
  'not allowed: hand in the proof':
    'Who tested this stick, or entered it since, does not approve that it is the same stick.',
  'not allowed: hand in the edition':
    'Who entered or approved what is to be corrected does not approve its correction.',
  'not allowed: hand in the slip':
    'Who did, recorded or approved what is to be corrected does not approve its correction.',

  'none: stick': 'There is no stick {$stick}.',
  'none: stick known on': 'There is no stick {$stick} that was known on {$on :date}.',
  'none: stick of a report': 'There is no stick that the report {$report} was placed with yet.',
  'none: bench test': 'There is no bench test {$test} of stick {$stick}.',
  'none: fact': 'There is no fact {$fact}.',
  'none: report': 'There is no report {$report} on a number that no stick has.',
  'none: notice': 'There is no notice {$notice}.',
  'none: proposal': 'There is no proposal {$proposal}.',
  'none: edition': 'There is no edition {$edition} of {$entry :word of=register} {$id}.',
  'none: entry on': 'There is no {$entry :word of=register} {$id} on {$on :date}.',
  'none: entry': 'There is no {$entry :word of=register} {$id}.',
  'none: depot to read': 'There is no depot {$depot} that is yours to read.',
  'none: organisation': 'There is no organisation {$organisation} that is yours.',
  'none: policy': 'There is no policy {$policy}: an organisation has one, and it is named {$named}.',
  'none: feed': 'There is no calendar feed {$feed} of crew {$crew}.',
  'none: mark': 'There is no mark on {$address}.',
  'none: name': 'There is no {$name} among the {$things :word of=things}.',

  'refused: fact id used': 'The factId {$fact} already stands for another fact. Nothing was changed.',
  'refused: same test':
    'This test stands already, under the factId {$fact}. A test that was repeated has an hour of its own. Nothing was changed.',
  'refused: fact corrected': 'This fact stands no more: somebody corrected it already. Nothing was changed.',
  'refused: edition taken back': 'This edition stands no more: it was taken back already.',
  'refused: only edition': 'It is the only edition of this entry: put another in its place.',
  'refused: only entry':
    'It is the only entry of this stick: put another in its place, or record the stick as scrapped.',
  'refused: no fact yet': 'It is no fact: it waits for a stick to be named or for a second person, or was declined.',
  'refused: a correction':
    'A correction is not corrected: correct what stands in place of the slip, or record anew what was withdrawn.',
  'refused: too many tests':
    'By this {$tests :figure} tests of the stick would read otherwise, and at most {$most :figure} are judged anew at once: put a new entry.',
  'refused: other edition': 'The entry has got another edition since this was proposed: propose it anew.',
  'refused: changed since':
    'What this would take back has changed since it was proposed, so it is not what you were told: decline it, and propose it anew.',
  'refused: approved already': 'This proposal was approved already.',
  'refused: declined already': 'This proposal was declined already.',
  'refused: placed already': 'This report was placed with stick {$stick}.',
  'refused: no room for editions':
    'Its entry was changed so often that no more editions can be kept with the stick; register it under a new number: {$bytes :figure} bytes of {$most :figure}. Nothing was changed.',
  'refused: no room before a test':
    'So much is recorded since its last full bench test that no more of this kind can be kept before the next one: {$bytes :figure} bytes of {$most :figure}. Nothing was changed.',
  'refused: too many feeds':
    'This crew has {$most :figure} feeds in use. Revoke one that nobody needs, then make another. Nothing was changed.',
  'refused: test does not fit':
    'As the registers stand now, the test cannot be judged: {$pointer} has to be {$right :said}',

  'right: nothing known': 'nothing: this name is not known here',
  'right: none of the others': 'none; the first {$most :figure} are told',
  'right: each name once': 'each name once',
  'right: less deep': 'lists and objects within each other to at most {$most :figure} levels',

  'right: a string': 'a string',
  'right: a number': 'a number',
  'right: a whole number': 'a whole number',
  'right: true or false': 'true or false',
  'right: an object': 'an object',
  'right: an array': 'an array',
  'right: a tuple': 'a tuple',
  'right: a record': 'a record',
  'right: a nonoptional': 'a nonoptional',
  'right: value': '{$value}',
  'right: one of': 'one of {$values}',
  'right: at least': 'at least {$least :figure}',
  'right: at most': 'at most {$most :figure}',
  'right: more than': 'more than {$least :figure}',
  'right: less than': 'less than {$most :figure}',
  'right: letters at least': 'a length of at least {$least :figure}',
  'right: letters at most': 'a length of at most {$most :figure}',
  'right: entries at least': 'a number of entries of at least {$least :figure}',
  'right: entries at most': 'a number of entries of at most {$most :figure}',
  'right: a whole number from': 'a whole number from {$from :figure} to {$to :figure}',
  'right: no nearer to nought': '0, or a figure no nearer to it than {$finest}',

  'right: an identifier':
    'an identifier of 1 to 64 letters, digits, dots, hyphens or underscores, beginning and ending with a letter or digit',
  'right: a UUID': 'a UUID',
  'right: a UUID of its own': 'a UUID of its own, or left out',
  'right: an id of its own': 'an id of its own',
  'right: a line':
    'text on one line of 1 to {$most :figure} characters, with a letter or digit in it and nothing that cannot be seen',
  'right: text that shows':
    'text without control characters, turns of the writing direction or letters that cannot be shown',
  'right: a mail address': 'a mail address in ASCII such as ana@crew.example',
  'right: a mail address of fewer letters': 'a mail address whose part before the @ has at most 64 characters',
  'right: a way to tell': 'an email or a phone, so that this person can be told',
  'right: every depot or one': '"*" or the identifier of a depot',
  'right: a tester': 'a name, or {$shape} of somebody on the register of people',

  'right: a date': 'a real calendar date written YYYY-MM-DD',
  'right: a date as written': 'a calendar date written YYYY-MM-DD',
  'right: an hour': 'a local time written HH:MM',
  'right: a time zone': 'an IANA time zone such as America/Chicago',
  'right: not after': 'a date not after {$last :date}',
  'right: not after, at the stick': "a date not after {$last :date}, today at the stick's depot",
  'right: not after, at its depot': 'a date not after {$last :date}, today at its depot',
  'right: not after, check the year': 'a date not after {$last :date}, today: check the year',
  'right: so few days': "so few days that the last of them is not after {$last :date}, today at the stick's depot",
  'right: an hour that has come': 'an hour that has come: at most ten minutes ahead of the clock at the stick’s depot',
  'right: an hour of that day':
    'an hour that {$on :date} has at the stick’s depot; the clock was put forward over this one',
  'right: hour of the work': 'the hour of this work, HH:MM: it is recorded on a later day',
  'right: hour after what is against it':
    'its hour, HH:MM: something against the stick, or a repair, stands on that day',
  'right: hour after its test': 'its hour, HH:MM: the test that it releases was on the same day',
  'right: before the year 3000': 'a date before the year 3000',
  'right: not before it is lent': 'a date not before {$first :date}, the day it is lent out',
  'right: told between': 'a date from {$first :date}, when the notice was owed, to {$last :date}, today at its depot',
  'right: on or after calibratedOn': 'a date on or after calibratedOn',
  'right: soon after calibratedOn': 'a date at most {$months :figure} months after calibratedOn: check the year',

  'right: depot on the register': 'a depot on the register',
  'right: crew on the register': 'a crew on the register',
  'right: person on the register': 'a person on the register',
  'right: instrument on the register': 'an instrument on the register',
  'right: procedure on the register': 'a procedure on the register',
  'right: demonstration on the register': 'a demonstration on the register',
  'right: stick on the register': 'a stick on the register',
  'right: this': '{$one}',
  'right: this or': '{$one} or {$others :said}',
  'right: procedure that names it': '{$procedures :said}, which names {$stick}',
  'right: procedure for it': 'a procedure for {$stick}: this one names the sticks it is for',
  'right: nobody': 'nobody: this notice asks to tell no one',
  'right: telephone': 'the telephone of the one who was told: {$phones :said}',
  'right: next': 'the `next` of an earlier answer to the same question',

  'right: something else': 'something else than the slip says',
  'right: no stick named': 'left out: this belongs to its own stick',
  'right: another stick': 'another stick, or left out: it is of this one already',
  'right: null for judged again': 'null: it is withdrawn, and judged anew',
  'right: null for a verdict': 'null: a verdict is withdrawn, and judged anew',
  'right: an edition': 'an edition as it was answered, such as 2026-03-02#0001',
  'right: what is corrected': 'the factId of a fact, or {$shape}',
  'right: forms': '{$forms} or {$last}',

  'right: a band': 'a band written [from, to] with from not above to',
  'right: a window': 'a window written [from, to] with from not above to',
  'right: millimetres': 'at least {$least :figure}: millimetres, not inches',
  'right: sections that differ': 'sections with names that differ',
  'right: kilovolts per metre':
    'kilovolts per metre: the rule’s {$perFoot :figure} kV per foot are {$perMetre :figure} kV per metre, and this looks like a figure per foot (the house’s own check, within 5 %)',
  'right: demonstration':
    'the employer’s demonstration: this is, or may be, less than the rule’s own {$perFoot :figure} kV per foot for {$seconds :figure} s',
  'right: no longer interval': 'an interval no longer than the rule’s own, {$own :said} ({$source})',
  'right: so many months': '{$count :figure} months',
  'right: so many days': '{$count :figure} days',
  'right: so many days of use': '{$count :figure} days of use',
  'right: once and for all': 'once and for all',
  'right: a requirement': 'a requirement of a rule pack: {$names}',
  'right: optional': 'what a rule pack leaves optional: {$names}',
  'right: each requirement once': 'each requirement no more than once',
  'right: a name of its own': 'a name that no other requirement has',
  'right: falling days': 'days that fall, such as [60, 30, 0]',
  'right: evidence that a test renews':
    'evidence other than {$evidence :word of=evidence}, which a full test does not renew: use and service class are known since that test',
  'right: no maximum': 'left out of what is a legal maximum, or differs by service class',
} as const
