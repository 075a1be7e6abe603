/**
 * Sentences on how an edit or a correction would make something milder, the phrases that some hold, and what hangs on
 * it.
 */
import { lines } from '../lines.ts'

const limit = '{$microamps :figure} µA of {$construction :word of=construction}, {$state :word of=state} ({$source})'
const besideAnother = 'Beside the procedure “{$title}”:'
const ofWithstand = '{$construction :word of=construction}, {$when :word of=age}:'
const counted = 'what was tested counts again'

export const loosenings = {
  'ends removal': 'It would no longer be removed from service: it would be {$status :word of=status}.',
  'ends end of service': 'It would no longer be scrapped: it would be {$status :word of=status}.',
  'takes back': 'What spoke against it would no longer stand as it did: {$what :word of=what} of {$on :date}.',
  'judged milder': lines(
    '.input {$tests :integer} .match $tests',
    'one {{1 test would be judged more mildly.}}',
    '* {{{$tests} tests would be judged more mildly.}}',
  ),
  'counts before':
    'Stick {$stick} would be due by its test of {$on :date}, which passed and of which nobody has readings.',
  'counts less': 'An earlier failure would no longer count toward its removal from service.',
  'ends hold': 'This hold would end:',
  'reads fitter': 'It would be {$becomes :word of=status} instead of {$was :word of=status}.',
  'due later': 'It would be due on {$to :date} instead of {$from :date}.',
  'too many to say':
    'More than {$sticks :integer} sticks were tested by it, too many to say here that none is judged more mildly.',
  'judged milder on sticks': lines(
    '.input {$sticks :integer} .match $sticks',
    'one {{On 1 stick a test would be judged more mildly than it was.}}',
    '* {{On {$sticks} sticks a test would be judged more mildly than it was.}}',
  ),
  'demonstration relied on, examination alone': lines(
    'The rule asks for a test. With this change an examination alone would be enough. {$by} says that it is as good,',
    'by: {$grounds}. Read that before you decide.',
  ),
  'demonstration relied on, withstand': lines(
    'The rule asks for a withstand test at a voltage of its own. With this change a lower one would be enough. {$by}',
    'says that it is as good, by: {$grounds}. Read that before you decide.',
  ),
  'demonstration relied on, readings for withstand': lines(
    'The rule asks for a withstand test. With this change readings of leakage would be enough in its place. {$by} says',
    'that they are as good, by: {$grounds}. Read that before you decide.',
  ),
  // as earlier builds said it
  'demonstration relied on': lines(
    'Another test than the rule’s own would be enough ({$kind :word of=demonstration}), as {$by} has shown:',
    '{$grounds}.',
  ),
  'other demonstration': 'It is to show {$to :word of=demonstration} instead of {$from :word of=demonstration}.',
  'other grounds': 'Its grounds are “{$to}” instead of “{$from}”.',
  'demonstration lengthened': 'It counts until {$to :date}; it was until {$from :date}.',
  'demonstration without an end': 'It counts without an end; it was until {$from :date}.',
  'pack left':
    'The rule pack {$pack}, pinned when the organisation was made, is left: a policy need not have it any more.',
  'pinned pack dropped': 'The rule pack {$pack}, pinned when the organisation was made, is left out.',
  'span changed': 'It spans {$to :length} instead of {$from :length}: other limits hold, and longer readings count.',
  'uncertainty changed': 'Its uncertainty goes from {$from :figure} % to {$to :figure} %: the guard band is another.',
  'uncertainty filled in': 'Its uncertainty goes from unknown to {$to :figure} %: the guard band is another.',
  'uncertainty left out': 'Its uncertainty goes from {$from :figure} % to unknown: the guard band is another.',
  'voltage changed': 'What it applies goes from {$from :figure} kV to {$to :figure} kV: other limits hold.',
  'voltage filled in': 'What it applies goes from unknown to {$to :figure} kV: other limits hold.',
  'voltage left out': 'What it applies goes from {$from :figure} kV to unknown: other limits hold.',
  'frequency changed': 'What it applies goes from {$from :figure} Hz to {$to :figure} Hz: other limits hold.',
  'frequency filled in': 'What it applies goes from unknown to {$to :figure} Hz: other limits hold.',
  'frequency left out': 'What it applies goes from {$from :figure} Hz to unknown: other limits hold.',
  'in tolerance after all': 'At the calibration of {$on :date} it is not said to have read wrong any more.',
  'found error changed': 'At the calibration of {$on :date} it is said to have read wrong by another figure.',
  'found out of tolerance':
    'It had read wrong when it was calibrated on {$on :date}; from then on it is to count again.',
  'calibration too long':
    'The calibration of {$on :date} is to last until {$to :date}, more than {$months :figure} months.',
  'calibration lengthened': 'The calibration of {$on :date} is to last until {$to :date} instead of {$from :date}.',
  'limit taken away': `The limit of ${limit} is taken away.`,
  'limit raised': `The limit of ${limit} becomes {$to :figure} µA.`,
  'limit added': `A limit of ${limit} is to hold where the procedure had none, so that a test could not pass.`,
  'for all sticks': 'It is for all sticks, instead of those it named.',
  'sticks named': 'It is to judge {$sticks} too.',
  'sticks named, and more': 'It is to judge {$sticks} and {$more :figure} more too.',
  'sticks not named': 'Other procedures may judge {$sticks} again.',
  'sticks not named, and more': 'Other procedures may judge {$sticks} and {$more :figure} more again.',
  'overlap lessened': 'Readings overlap by at least {$to :length} instead of {$from :length}.',
  'comparison widened': 'A reading at its limit passes, where it had to be less than that.',
  'decision not guarded': 'A reading within the uncertainty of its limit passes.',
  'water ceiling raised': 'The mist may conduct at most {$to :figure} µS/cm; it was at most {$from :figure} µS/cm.',
  'water ceiling dropped': 'The mist may conduct anything; it was at most {$from :figure} µS/cm.',
  'temperature widened': lines(
    'The temperature in °C may lie from {$from :figure} to {$to :figure} instead of from {$wasFrom :figure} to',
    '{$wasTo :figure}.',
  ),
  'temperature not asked':
    'The temperature in °C may lie anywhere instead of from {$wasFrom :figure} to {$wasTo :figure}.',
  'humidity widened': lines(
    'The relative humidity in % may lie from {$from :figure} to {$to :figure} instead of from {$wasFrom :figure} to',
    '{$wasTo :figure}.',
  ),
  'humidity not asked':
    'The relative humidity in % may lie anywhere instead of from {$wasFrom :figure} to {$wasTo :figure}.',
  'check figures changed': 'The {$state :word of=state} check figures go from {$from} µA to {$to} µA.',
  'check figures dropped': 'The {$state :word of=state} check figures go from {$from} µA to none.',
  'check figures added': 'The {$state :word of=state} check figures go from none to {$to} µA.',
  'tolerance widened': lines(
    'The {$state :word of=state} check of {$figure :figure} µA is good within {$to :figure} % instead of {$from',
    ':figure} %.',
  ),
  'open reading raised': lines(
    'The {$state :word of=state} check of {$figure :figure} µA lets the empty instrument read {$to :figure} µA',
    'instead of {$from :figure} µA.',
  ),
  'check after not asked':
    'The {$state :word of=state} check of {$figure :figure} µA is not asked for again after the last reading.',
  'beside another: limit raised': `${besideAnother} The limit of ${limit} becomes {$to :figure} µA.`,
  'beside another: overlap lessened': lines(
    besideAnother,
    'Readings overlap by at least {$to :length} instead of {$from :length}.',
  ),
  'beside another: comparison widened': lines(
    besideAnother,
    'A reading at its limit passes, where it had to be less than that.',
  ),
  'beside another: decision not guarded': `${besideAnother} A reading within the uncertainty of its limit passes.`,
  'beside another: tolerance widened': lines(
    besideAnother,
    'A {$state :word of=state} check is good within {$to :figure} % instead of {$from :figure} %.',
  ),
  'withstand lowered': `${ofWithstand} {$from :said} is not asked any more; it becomes {$to :said}.`,
  'withstand widened': `${ofWithstand} {$what :said} is to hold for lines of which nothing was stated.`,
  'withstand below rule': lines(
    `${ofWithstand} {$what :said} is, or may be, less than the rule’s own {$perFoot :figure} kV per foot for {$seconds`,
    `:figure} s.`,
  ),
  'pack dropped': 'The rule pack {$pack} is left out.',
  'occasional use widened': 'Use counts as occasional {$to :said}; it was {$from :said}.',
  'use weight lessened': lines(
    'A day of use under {$condition :word of=condition} conditions counts {$to :figure}-fold instead of {$from',
    ':figure}-fold.',
  ),
  'examination alone allowed': 'An examination may stand in place of a periodic test.',
  'examination winds less':
    'An examination no longer winds a requirement by which use or shelf time is counted, so that it counts anew.',
  'release not asked': 'A stick that failed and passed since needs no release by a second person any more.',
  'fewer failures remove': 'A stick that fails again after it was only cleaned is not removed for good any more.',
  'wood allowed': 'Sticks of wood may be used again.',
  'calibration cap lengthened': 'A calibration counts at most {$to :said}; it was at most {$from :said}.',
  'calibration cap dropped': 'A calibration counts as long as its certificate says; it was at most {$from :said}.',
  'requirement dropped': 'The requirement {$id} ({$words}) is left out.',
  'uncovered sticks covered': lines(
    'Sticks of {$construction :word of=construction} are on hold because no rule asks for their test; by {$id} they',
    'may be used.',
  ),
  'waxed before is enough': lines(
    'A stick of {$construction :word of=construction} that was waxed before its test, and not with it, is on hold',
    'for that no more.',
  ),
  'waxing not asked': 'A stick of {$construction :word of=construction} that passes need not be waxed any more.',
  'evidence dropped': '{$id}: {$kinds :words of=evidence} is not asked for any more.',
  'counted from earlier': '{$id}: use and shelf time are counted from older evidence.',
  'examination alone widened':
    '{$id}: an examination may stand in place of a test of {$constructions :words of=construction}.',
  'interval lengthened': '{$id}: it runs {$to :said} in {$use :word of=service} use instead of {$from :said}.',
  'shelf limit changed': '{$id}: how long it may lie before its first issue goes from {$from :said} to {$to :said}.',
  'rest in store widened': '{$id}: after how long in store it rests goes from {$from :said} to {$to :said}.',
  'stop dropped': '{$id}: {$events :words of=stop} does not stop a stick any more.',
  'not for constructions': '{$id}: it does not apply to {$constructions :words of=construction} any more.',
  'not without protection': '{$id}: it does not apply to sticks not relied on for protection any more.',
  'not for older sticks': '{$id}: it does not apply to sticks put into service before {$since :date} any more.',
  'legal maximum dropped': '{$id}: its interval is not called a legal maximum any more.',
  'construction changed':
    'It is {$to :word of=construction} instead of {$from :word of=construction}: other rules and limits hold.',
  'working length shortened': 'Its working length goes from {$from :length} to {$to :length}: less of it is tested.',
  'diameter changed': `Its diameter goes from {$from :small} to {$to :small}: another limit may hold, or ${counted}.`,
  'primary protection taken off': lines(
    'It is not relied on for primary employee protection any more: what the law asks of such sticks is not asked of',
    'it.',
  ),
  'lot named again': 'Its lot is {$lot} again: what was tested may count again.',
  'line voltage lowered': lines(
    'The line voltage it is used on goes from {$from :figure} kV to {$to :figure} kV: a lower voltage may be asked',
    'of it.',
  ),
  'line voltage filled in':
    'The line voltage it is used on goes from unknown to {$to :figure} kV: a lower voltage may be asked of it.',
  'put into service earlier':
    'It was put into service on {$to :date} instead of {$from :date}: a rule for newer sticks does not bind it.',
  'first day filled in':
    'It was put into service on {$to :date} instead of a day not known: a rule for newer sticks does not bind it.',
  'first day named again': 'Its first day of service is {$on :date} again: what was tested may count again.',
  'sections changed': `Its sections are others: less of it may be read, or ${counted}.`,
  'same stick':
    'It is said to be the stick that was tested, under another lot or first day of service: its tests count again.',
  'clock not known': 'By the clock of a depot that is not known a day may end later.',
  'day ends later': 'A day ends later by the clock of {$to} than by that of {$from}: {$day :date} is one.',
} as const

/** Parts of a sentence, which stand in it as values. */
export const phrases = {
  months: '.input {$count :integer} .match $count one {{1 month}} * {{{$count} months}}',
  days: '.input {$count :integer} .match $count one {{1 day}} * {{{$count} days}}',
  'days of use': '.input {$count :integer} .match $count one {{1 day of use}} * {{{$count} days of use}}',
  'no months': 'no months',
  'once and for all': 'once and for all',
  'not at all': 'not at all',
  never: 'never',
  'up to so many days': lines(
    '.input {$days :integer} .match $days',
    'one {{up to 1 day in any {$window :figure}}}',
    '* {{up to {$days} days in any {$window :figure}}}',
  ),
  'for so long': '{$voltage :said} for {$seconds :figure} s',
  'for so long, on lines': '{$voltage :said} for {$seconds :figure} s on lines of {$from :figure} to {$to :figure} kV',
  'kilovolts per foot': '{$kilovolts :figure} kV per foot',
  'kilovolts per metre': '{$kilovolts :figure} kV per metre',
  kilovolts: '{$kilovolts :figure} kV',
  'times a voltage': '{$times :figure} times the {$of :word of=voltage}',
  'times a voltage, at least': '{$times :figure} times the {$of :word of=voltage}, at least {$kilovolts :figure} kV',
} as const

/** What hangs on an edit, as it was counted. */
const effects = {
  'effect stick':
    'When it was asked for the stick was {$was :word of=status}; by this it would be {$is :word of=status}.',
  'effect rules': lines(
    'Counted when it was asked for, sticks: {$sticks :integer}; fit that must not be used now: {$newlyFit :integer};',
    'due later: {$dueLater :integer}; not to be used any more: {$noLongerFit :integer}.',
  ),
  'effect tests': lines(
    'Counted when it was asked for, sticks last tested by it: {$sticks :integer}; judged more mildly by this:',
    '{$milder :integer}. What was judged stays.',
  ),
  'effect sticks': 'Counted when it was asked for, sticks that it bears on: {$sticks :integer}.',
  'effect counted in part': 'Only the first sticks were counted; there are more.',
} as const

export const ways = { ...loosenings, ...phrases, ...effects } as const
