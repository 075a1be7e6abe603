/** Sentences of mails. */
import { lines } from '../lines.ts'

export const mails = {
  'subject overdue': lines(
    '.input {$overdue :integer} .match $overdue',
    'one {{1 stick overdue: do not use}}',
    '* {{{$overdue} sticks overdue: do not use}}',
  ),
  'subject due':
    '.input {$soon :integer} .match $soon one {{1 stick due for the bench}} * {{{$soon} sticks due for the bench}}',
  'subject overdue and due': lines(
    '.input {$overdue :integer} .match $overdue',
    'one {{1 stick overdue: do not use; {$soon :integer} due for the bench}}',
    '* {{{$overdue} sticks overdue: do not use; {$soon :integer} due for the bench}}',
  ),
  'subject lent': lines(
    '.input {$lent :integer} .match $lent',
    'one {{1 stick lent out is not back}}',
    '* {{{$lent} sticks lent out are not back}}',
  ),
  'subject and lent': '{$subject}; lent out and not back: {$lent :integer}',
  'subject labels': 'Wrong labels to take off or change: {$labels :integer}',
  'subject and labels': '{$subject}; wrong labels: {$labels :integer}',
  'subject look':
    '.input {$looks :integer} .match $looks one {{1 stick to be looked over}} * {{{$looks} sticks to be looked over}}',
  'subject not looked over': lines(
    '.input {$late :integer} .match $late',
    'one {{1 stick not looked over in time: do not use}}',
    '* {{{$late} sticks not looked over in time: do not use}}',
  ),
  'subject and looks': '{$subject}; to be looked over: {$looks :integer}',
  'subject hold': 'Stick {$stick} is on hold: do not use it',
  'subject hold since rules, one': 'Stick {$stick} is on hold since the rules changed: do not use it',
  'subject hold since rules': '{$sticks :integer} sticks are on hold since the rules changed: do not use them',
  'subject hold since day': '{$sticks :integer} sticks are on hold from today: do not use them',
  'subject return since rules, one': 'Stick {$stick} is back in service since the rules changed',
  'subject return since rules': '{$sticks :integer} sticks are back in service since the rules changed',
  'subject return since day': '{$sticks :integer} sticks are back in service from today',
  'subject hold since correction':
    '{$sticks :integer} sticks are on hold, since what they were tested by was wrong: do not use them',
  'subject return since correction':
    '{$sticks :integer} sticks are back in service: what they were tested by is put right',
  'subject hold since import': '{$sticks :integer} sticks are on hold by records from before: do not use them',
  'subject return since import': '{$sticks :integer} sticks are back in service by records from before',
  'subject hold since recall': '{$sticks :integer} sticks are recalled: do not use them',
  'subject return since recall': '{$sticks :integer} sticks are back in service',
  'subject recall, instrument': lines(
    '.input {$sticks :integer} .match $sticks',
    'one {{Recall: do not use 1 stick, instrument {$named} read wrong}}',
    '* {{Recall: do not use {$sticks} sticks, instrument {$named} read wrong}}',
  ),
  'subject recall, lot': lines(
    '.input {$sticks :integer} .match $sticks',
    'one {{Recall: do not use 1 stick of lot {$named}}}',
    '* {{Recall: do not use {$sticks} sticks of lot {$named}}}',
  ),
  'subject recall, order': lines(
    '.input {$sticks :integer} .match $sticks',
    'one {{Recall: do not use 1 stick, order {$named}}}',
    '* {{Recall: do not use {$sticks} sticks, order {$named}}}',
  ),
  'subject hold, untested': 'Stick {$stick} is to be tested before it is used: do not use it',
  'subject removal': 'Stick {$stick} is removed from service for good: do not use it',
  'subject return': 'Stick {$stick} is back in service',
  'subject put right': 'Stick {$stick} had a slip in its record, which is put right',
  'subject used while unfit': 'Stick {$stick} was used while it was not fit for use',
  'subject report': 'Stick {$stick} has a report that you should know of',
  'subject report, unknown number': 'Danger reported on “{$stick}”, a number that no stick has',
  'subject proposal, open': 'A change waits for your approval: {$what}',
  'subject proposal, approved': 'A change was approved: {$what}',
  'subject proposal, declined': 'A change was declined: {$what}',
  'subject calibration': 'Instrument {$id}: its calibration runs out on {$on :date}',
  'subject calibration, out': 'Instrument {$id} is out of calibration: tests with it prove nothing',
  'subject unanswered': 'Stick {$stick} must not be used, and not all have confirmed it',
  'subject unanswered, several': '{$sticks :integer} sticks must not be used, and not all have confirmed it',
  'subject not delivered': 'Stick {$stick} is in a notice that was not delivered',
  'subject date brought forward': 'Stick {$stick} is due earlier than its label says',
  'do digest, all overdue, one': 'Do not use this stick: its test has run out. Bring it to the bench now.',
  'do digest, all overdue': 'Do not use these sticks: their tests have run out. Bring them to the bench now.',
  'do digest, all overdue, of crews, one':
    'The test of this stick has run out. See that nobody uses it, and that it comes to the bench now.',
  'do digest, all overdue, of crews':
    'The tests of these sticks have run out. See that nobody uses them, and that they come to the bench now.',
  'do digest, some overdue, of crews': lines(
    'Overdue: see that nobody uses it, and that it comes to the bench now. Due soon: see that it comes to the bench by',
    'the date beside it. It may be used through that day and not after it.',
  ),
  'do digest, of crews, one':
    'See that this stick comes to the bench by the date beside it: it may not be used after that day.',
  'do digest, of crews':
    'See that these sticks come to the bench by the date beside each: none may be used after its day.',
  'do digest, some overdue': lines(
    'Overdue: do not use it, and bring it to the bench now. Due soon: bring it to the bench by the date beside it. It',
    'may be used through that day and not after it.',
  ),
  'do digest, one':
    'Bring this stick to the bench by the date beside it. It may be used through that day and not after it.',
  'do digest':
    'Bring these sticks to the bench by the date beside each. Each may be used through that day and not after it.',
  'do digest, lent': lines(
    'Sticks of yours that are lent out are not back by the day agreed. Ask whoever has each one where it is and how',
    'it stands, get it back, or have a new day recorded.',
  ),
  'do digest, label':
    'Where a label shows a later date, go by the date here, take the label off or change it, and have that recorded.',
  'do look': lines(
    'Look these sticks over where they lie, by the date beside each, and record the look. One whose date is past',
    'must not be used before that is done.',
  ),
  'do look too':
    'Those that are only to be looked over are looked over where they lie, and need not come to the bench.',
  'do hold': lines(
    'Stop using this stick now, tag it, and bring it to the bench. It must not be used until what is named below is',
    'done and recorded.',
  ),
  'do hold, missing': lines(
    'This stick is missing: look for it. Whoever finds it must not use it, tags it, and brings it to the bench. It',
    'must not be used until what is named below is done and recorded.',
  ),
  'do hold, of a crew': lines(
    'This stick must not be used until what is named below is done and recorded. Its crew is told too: see that they',
    'stop using it now, tag it, and bring it to the bench.',
  ),
  'do hold, at the bench': lines(
    'Do not use this stick. It is at the bench, and stays there with its tag. It must not be used until what is',
    'named below is done and recorded.',
  ),
  'do hold, in store': lines(
    'Do not use this stick. It is in store: tag it there, give it to nobody, and bring it to the bench. It must not',
    'be used until what is named below is done and recorded.',
  ),
  'do hold, several, of crews': lines(
    'None of these sticks may be used until what is named beside it is done and recorded. Their crews are told too:',
    'see that they stop using them now, tag each, and bring those that are out to the bench.',
  ),
  'do hold, several': lines(
    'Stop using these sticks now and tag each. Bring those that are out to the bench, and give none of them to',
    'anybody. None may be used until what is named beside it is done and recorded.',
  ),
  'do recall, one': lines(
    'Stop using this stick now, tag it, and bring it to the bench today. It must not be used until it has passed a',
    'full bench test after this recall, and that is recorded.',
  ),
  'do recall': lines(
    'Stop using these sticks now, tag each, and bring them to the bench today. None may be used until it has passed a',
    'full bench test after this recall, and that is recorded.',
  ),
  'do recall, of crews, one': lines(
    'This stick must not be used until it has passed a full bench test after this recall, and that is recorded.',
    'Whoever has it is told too: see that they stop using it now, tag it, and bring it to the bench today.',
  ),
  'do recall, of crews': lines(
    'None of these sticks may be used until it has passed a full bench test after this recall, and that is recorded.',
    'Whoever has them is told too: see that they stop using them now, tag each, and bring them to the bench today.',
  ),
  'recall because, instrument': 'Instrument {$named} was found to read wrong. {$by} opened the recall: {$reason}',
  'recall because, lot': 'All sticks of lot {$named} are called back. {$by} opened the recall: {$reason}',
  'recall because, order': 'Order {$named} calls these sticks back. {$by} opened the recall: {$reason}',
  'recall page': 'The recall, and how far it is',
  'do return, several': lines(
    'What these sticks had to wait for is done, and they may be used again. Whoever has them takes their tags off.',
  ),
  'do unanswered, several': lines(
    'These sticks must not be used, and the people named below have not confirmed that they know. Make sure that',
    'they do, now, by telephone or in person. That you confirm it yourself does not stand for them.',
  ),
  'since rules, one': 'The rules in force have changed. Nothing happened to the stick itself.',
  'since rules': 'The rules in force have changed. Nothing happened to the sticks themselves.',
  'since import, one': 'Somebody brought in records from before. You are told once for all rows of their file.',
  'since import': 'Somebody brought in records from before. You are told once for all rows of their file.',
  'since recall, one': 'A recall holds the stick. Nothing happened to the stick itself.',
  'since recall': 'A recall holds the sticks. Nothing happened to the sticks themselves.',
  'since correction, one':
    'What this stick was tested by was wrong in the records. Its test was judged again by what is right.',
  'since correction':
    'What these sticks were tested by was wrong in the records. Their tests were judged again by what is right.',
  'since day, one': 'A day that the rules name has come. Nothing happened to the stick itself.',
  'since day': 'A day that the rules name has come. Nothing happened to the sticks themselves.',
  'do removal': 'Stop using this stick now, tag it, and hand it in. It does not come back into service.',
  'do removal, of a crew': lines(
    'This stick does not come back into service. Its crew is told too: see that they stop using it now, tag it, and',
    'hand it in.',
  ),
  'do removal, at the bench': lines(
    'Do not use this stick. It is at the bench: tag it and let nobody take it away. It does not come back into',
    'service.',
  ),
  'do return by full test': lines(
    'This stick passed its test in full and may be used again. Whoever has it takes its tag off.',
  ),
  'do return by release': lines(
    'A second person has released this stick, and it may be used again. Whoever has it takes its tag off.',
  ),
  'do return by waxing':
    'This stick has been waxed. Nothing else stopped it, and it may be used again. Whoever has it takes its tag off.',
  'do return by entry put right': lines(
    'The entry of this stick on the register has been put right. Nothing else stopped it, and it may be used again.',
    'Whoever has it takes its tag off.',
  ),
  'do return by record put right': lines(
    'What stopped this stick was a slip in its record. It has been put right, and the stick may be used again.',
    'Whoever has it takes its tag off.',
  ),
  'do put right': lines(
    'The record of this stick was wrong and has been put right. Go by what stands below, and change its label where',
    'it says otherwise.',
  ),
  'do return by other': lines(
    'What this stick had to wait for is done, and it may be used again. Whoever has it takes its tag off.',
  ),
  'do used while unfit': lines(
    'Stop using this stick now, tag it, and bring it to the bench. A use of it was recorded on a day when it was',
    'not fit for use.',
  ),
  'do used while unfit, of a crew': lines(
    'A use of this stick was recorded on a day when it was not fit for use. Its crew is told too: see that they stop',
    'using it now, tag it, and bring it to the bench. Find out how it came to be used.',
  ),
  'do used while unfit, at the bench': lines(
    'Do not use this stick. It is at the bench: leave it there. A use of it was recorded on a day when it was not fit',
    'for use.',
  ),
  'do used while unfit, fit since': lines(
    'A use of this stick was recorded on a day when it was not fit for use. It may be used now. Find out how it came',
    'to be used, and see that it does not happen again.',
  ),
  'do report': lines(
    'Somebody reported what is named below. It puts no hold on this stick. Read it, and ask whoever reported it if',
    'anything is unclear. If in doubt, take the stick out of use and have it tested.',
  ),
  'do report, tested since': lines(
    'Somebody reported what is named below. The stick passed a full test since then, so it stays in use. Make sure',
    'that the report is not about something that happened after that test. If in doubt, do not use it.',
  ),
  'do report, out of use': lines(
    'Somebody reported what is named below of a stick that must not be used. Somebody may have it in hand: find it,',
    'and keep it out of use.',
  ),
  'do report, unknown number': lines(
    'Danger was reported on a number that no stick has. Find out now which stick is meant, keep it out of use, and',
    'place the report with it. Until then nothing holds that stick.',
  ),
  'do calibration': lines(
    'Have instrument {$id} calibrated, and its new calibration recorded, before {$on :date} is over. No test with it',
    'on a later day counts, and each stick that is so tested goes on hold.',
  ),
  'do calibration, out': lines(
    'Do not test with instrument {$id}: its calibration ran out on {$on :date}. Tag it and have it calibrated. No test',
    'with it on a later day counts. The service holds each stick that is so tested, and tells its crew; it stays on',
    'hold until it passes with an instrument in calibration, or a calibration that covers the day is recorded and the',
    'test judged again.',
  ),
  'do proposal, open': lines(
    '{$by} asked for a change of {$what}. It would be less strict than the rule in force, so it needs a second person.',
    'Nothing changes until somebody approves it. Read what would be less strict, ask {$by} where it is not clear, then',
    'approve it or decline it.',
  ),
  'do proposal, approved':
    '{$decidedBy} approved the change of {$what} that {$by} asked for. It binds from its day on.',
  'do proposal, declined': '{$decidedBy} declined the change of {$what} that {$by} asked for. Nothing has changed.',
  'do unanswered': lines(
    'This stick must not be used, and the people named below have not confirmed that they know. Make sure that they',
    'do, now, by telephone or in person. That you confirm it yourself does not stand for them.',
  ),
  'do not delivered': lines(
    'A notice about what is named below did not reach the person named here. Make sure that this person knows it,',
    'now, by telephone or in person.',
  ),
  'do not delivered, stop': lines(
    'This stick must not be used, and the person named here has not been told. Tell them now, by telephone or in',
    'person: stop using it, tag it, and bring it to the bench.',
  ),
  'do not delivered, stop, several': lines(
    'The sticks below must not be used, and the person named here has not been told. Tell them now, by telephone or',
    'in person: stop using them, tag them, and bring them to the bench.',
  ),
  'do date brought forward, past': lines(
    'The due date of this stick has been brought forward and is past. Stop using it now and bring it to the bench.',
    'Take a label with the old date off.',
  ),
  'do date brought forward': lines(
    'The due date of this stick has been brought forward. Bring it to the bench by the date below, and go by that',
    'date: take a label with the old one off, or change it.',
  ),
  greeting: '{$name},',
  stick: 'Stick',
  status: 'Status',
  crew: 'Crew',
  due: 'Due',
  label: 'Label',
  loan: 'Lent out',
  'lent, back days ago': lines(
    '.input {$days :integer} .match $days',
    'one {{to {$to}, to be back by {$on :date}, 1 day ago}}',
    '* {{to {$to}, to be back by {$on :date}, {$days} days ago}}',
  ),
  'bring to': 'Bring to',
  'bring when': 'Bring it in',
  'bring in the week': 'the week of {$week :date}, at the latest by {$by :date}',
  'once found': 'Once found, bring it to',
  where: 'Where',
  'how it stands': 'How it stands',
  'at the bench already': 'at the bench already',
  'to fetch at the bench': 'at the bench, where its crew can fetch it',
  'in store again': 'in store, to be issued from there',
  why: 'Why',
  'cleared by': 'Must be done first',
  rule: 'Rule',
  'label wrong': 'Brought forward from {$on :date}: a label with that date is wrong',
  'label too late': 'Shows {$on :date}, later than the stick is due: take it off or change it',
  'label still on': 'Still shows {$on :date}: take it off',
  'due some day': '{$on :date}',
  'due today': '{$on :date}, today',
  'due in days':
    '.input {$days :integer} .match $days one {{{$on :date}, in 1 day}} * {{{$on :date}, in {$days} days}}',
  'due days ago':
    '.input {$days :integer} .match $days one {{{$on :date}, 1 day ago}} * {{{$on :date}, {$days} days ago}}',
  'report defect': 'Reported from use: {$defect :word of=defect}, on {$on}, by {$by}.',
  'report unsound look': 'Looked at and found not sound, on {$on}, by {$by}.',
  'report missing': 'Reported missing, on {$on}, by {$by}.',
  'report found': 'Reported found, on {$on}, by {$by}.',
  'report bench test': 'A bench test of {$on} that did not pass, recorded by {$by}.',
  'report unknown number': 'The number as it was given: {$number}',
  'proposal way': 'What would be less strict: {$way}',
  'proposal because': 'Asked for because: {$because}',
  'proposal reason': 'Why it was declined: {$reason}',
  'proposal number': 'Number of the proposal, as its page shows it: {$id}',
  proposals: 'All changes that need two people',
  'proposals, open': 'Approve it or decline it here',
  'of policy': 'the policy',
  'of organisation': 'the organisation {$id}',
  'of demonstration': 'demonstration {$id}',
  'of procedure': 'procedure {$id}',
  'of instrument': 'instrument {$id}',
  'of depot': 'depot {$id}',
  'of crew': 'crew {$id}',
  'of person': 'person {$id}',
  'of stick': 'stick {$id}',
  'of tests before': 'which past tests count, stick {$id} first',
  'of correction': 'the record of stick {$id}',
  'put right': 'A slip was put right: {$what :word of=what} recorded of {$on :date} was wrong.',
  'put right, belongs to': 'It belongs to stick {$stick}.',
  'put right, came from': 'It had been recorded of stick {$stick} and belongs to this one.',
  'put right by': 'Put right by {$by}, because: {$reason}',
  'put right because': 'It was put right because: {$reason}',
  'report note': 'In the words of the report: {$note}',
  'report passed since': 'It passed a full test since, on {$on :date}.',
  'used on':
    'The recorded use began on {$on :date}. On {$unfit :date} the stick was already {$status :word of=status}.',
  'tell in person': 'These people of the crew have no mail address. Tell them now, by telephone or in person:',
  'not confirmed by': 'Not confirmed by: {$names}.',
  'passed on': lines(
    'This notice could not be delivered to {$names}, so it is passed on to you. Make sure that they know it, now, by',
    'telephone or in person.',
  ),
  'missed bounced': lines(
    '{$name}, {$email}: mail to this address came back. Nothing more is sent there until a manager says that the',
    'address is right again.',
  ),
  'missed not taken': lines(
    '{$name}, {$email}: this mail came back and was not delivered. The mailbox may be full, or its mail server may',
    'not take mail just now.',
  ),
  'missed complained': lines(
    '{$name}, {$email}: the mail was reported as unwanted. Nothing more is sent there until a manager says that mail',
    'is wanted there again.',
  ),
  'missed marked': lines(
    '{$name}, {$email}: nothing is sent to this address, since mail to it came back or was reported as unwanted',
    'before.',
  ),
  'missed rejected': '{$name}, {$email}: the mail service would not pass this mail on.',
  'missed not rendered': '{$name}, {$email}: the mail service could not make this mail.',
  'missed refused': '{$name}, {$email}: this mail could not be sent.',
  'missed left': lines(
    '{$name}, {$email}: no longer on the register of people, so nothing is sent there. Where a crew still names this',
    'address, take it off.',
  ),
  confirm: 'Confirm that you have read this',
  'confirm within': lines(
    '.input {$hours :integer} .match $hours',
    'one {{The link opens a page with a button. If nobody confirms within 1 hour, the foreman or a manager is told.',
    'Holds, removals and recalls are safety notices: nobody can opt out of them.}}',
    '* {{The link opens a page with a button. If nobody confirms within {$hours} hours, the foreman or a manager is',
    'told. Holds, removals and recalls are safety notices: nobody can opt out of them.}}',
  ),
  'confirm at all':
    'The link opens a page with a button. Holds, removals and recalls are safety notices: nobody can opt out of them.',
  'more people': lines(
    '.input {$more :integer} .match $more',
    'one {{and 1 more person: the register of crews names all}}',
    '* {{and {$more} more people: the register of crews names all}}',
  ),
  totals: 'Sticks: {$sticks :integer} ({$counts})',
  'more sticks': 'and {$more :integer} more on the roster',
  'more holds': lines(
    '.input {$more :integer} .match $more',
    'one {{and 1 more reason, which its page names}}',
    '* {{and {$more} more reasons, which its page names}}',
  ),
  roster: 'The roster',
  number: 'Notice {$number} of {$day :date}. A second mail with this number is the same notice.',
} as const
