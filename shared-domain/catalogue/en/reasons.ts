/** Sentences on what a bench test says against a stick. */
import { lines } from '../lines.ts'

export const reasons = {
  'open defect on a section, at': lines(
    'Open defect: {$defect :word of=defect} on section {$section} at {$at :length}; it must be repaired and the',
    'stick tested again',
  ),
  'open defect at':
    'Open defect: {$defect :word of=defect} at {$at :length}; it must be repaired and the stick tested again',
  'open defect on a section':
    'Open defect: {$defect :word of=defect} on section {$section}; it must be repaired and the stick tested again',
  'open defect': 'Open defect: {$defect :word of=defect}; it must be repaired and the stick tested again',
  'gloss lost': 'The surface has lost its gloss; it must be refinished and the stick tested again',
  'not cleaned': 'The stick was not recorded as cleaned; it must be cleaned before it is tested',
  'examined only': 'examined, and not tested',
  'examination not allowed': 'The policy in force does not let an examination stand in place of a test',
  'examination not enough for its construction':
    'A stick of {$construction :word of=construction} is tested after every examination',
  'examination not periodic':
    'An examination for {$reason :word of=reason} is followed by a test; only a periodic one can stand alone',
  'examination with a mended defect': 'A defect was mended at the bench, and a stick is tested after every repair',
  'withstand failed': '{$outcome :word of=outcome} at {$kilovolts :figure} kV; the span has to withstand it',
  'withstand too low':
    'tested at {$kilovolts :figure} kV; {$required :figure} kV ({$perFoot :figure} kV per foot) is asked for',
  'withstand too low for the procedure':
    'tested at {$kilovolts :figure} kV; {$required :figure} kV ({$source}) is asked for',
  'line voltage missing': lines(
    'the register does not say on what line voltage the stick is used; the procedure states the withstand voltage by',
    'it',
  ),
  'reading longer than the span': 'the reading is longer than the {$span :length} that the instrument spans',
  'no withstand voltage covers': 'the procedure states no withstand voltage for sticks used on this line voltage',
  'withstand not demonstrated': lines(
    'the procedure asks for less than the rule’s own {$kilovolts :figure} kV for {$seconds :figure} s, and the test',
    'names no demonstration of the employer’s for that',
  ),
  'examination not demonstrated':
    '{$id} is no demonstration, in force on the day of the test, that an examination alone is enough',
  'withstand too short': 'tested for {$seconds :figure} s; {$required :figure} s is asked for',
  'gap in withstand tests': 'no withstand test there; the tests must cover the whole {$whole :length}',
  gap: 'no reading there; the readings must cover the whole {$whole :length}',
  'turn missing': 'no reading there; all four quarter turns must be read',
  'overlap too small': 'readings overlap by {$shared :small}; each must overlap the next by at least {$least :small}',
  'sections too short': lines(
    'The sections on the register add up to {$together :length}; they have to make up the working length, {$working',
    ':length}',
  ),
  'never calibrated': lines(
    'The instrument was out of calibration on {$on :date} (no calibration is recorded); a test counts inside such a',
    'period',
  ),
  'out of calibration by a rule': lines(
    'The instrument was out of calibration on {$on :date} (calibrated for {$periods :periods}, {$months :figure}',
    'months at most by {$source}); a test counts inside such a period',
  ),
  'out of calibration': lines(
    'The instrument was out of calibration on {$on :date} (calibrated for {$periods :periods}); a test counts inside',
    'such a period',
  ),
  'no check stated': 'the procedure states no check reading, so nothing shows that the instrument read true',
  'no check before': 'no check reading of {$expected :figure} µA before the first reading; the procedure asks for one',
  'no check after': 'no check reading of {$expected :figure} µA after the last reading; the procedure asks for one',
  'check out of tolerance': lines(
    'the check piece read {$read :figure} µA {$when :word of=when} the readings; {$expected :figure} µA within',
    '{$percent :figure} % is right',
  ),
  'empty instrument out of tolerance': lines(
    'the empty instrument read {$read :figure} µA {$when :word of=when} the readings; at most {$most :figure} µA is',
    'right',
  ),
  'all nought': lines(
    'every reading is 0 µA; a check after the last reading, within its tolerance, has to show that the instrument',
    'was alive',
  ),
  'all alike': lines(
    'every reading, dry and wet, is the same {$figure :figure} µA; a check after the last reading, within its',
    'tolerance, has to show that the instrument was alive',
  ),
  'temperature outside':
    'The temperature was {$came :figure} °C; the procedure asks for {$from :figure} to {$to :figure} °C',
  'humidity outside':
    'The relative humidity was {$came :figure} %; the procedure asks for {$from :figure} to {$to :figure} %',
  'temperature missing': 'The temperature was not recorded; the procedure asks for it',
  'humidity missing': 'The relative humidity was not recorded; the procedure asks for it',
  'conductivity missing':
    'the conductivity of the water was not recorded; the procedure asks for at most {$most :figure} µS/cm',
  'conductivity too high':
    'the water conducted {$came :figure} µS/cm; the procedure asks for at most {$most :figure} µS/cm',
  'water not allowed': 'misted with {$water :word of=water} water; distilled or demineralised water is right',
  'wet appearance': 'the water stood as a {$appearance :word of=appearance}; separate beads are right',
  'not settled': 'the reading is not recorded as settled; it counts once it has come to rest with the voltage on',
  'state missing': 'not tested; a test of {$construction :word of=construction} includes it',
  'in the guard band': lines(
    '{$microamps :figure} µA; the limit is {$comparison :word of=comparison} {$limit :figure} µA ({$source}), less',
    "{$percent :figure} % for the instrument's uncertainty",
  ),
  'over the limit':
    '{$microamps :figure} µA; the limit is {$comparison :word of=comparison} {$limit :figure} µA ({$source})',
  'limit for what is not known to be applied': lines(
    'the limit of {$limit :figure} µA ({$source}) is for {$applied}, and the register does not say what the',
    'instrument applies; its entry has to say so',
  ),
  'no limit for what is applied too': lines(
    'the procedure has no limit for {$construction :word of=construction} of {$diameter :small} read over {$over',
    ':length}, {$applied}; it needs one with its source',
  ),
  'no limit': lines(
    'the procedure has no limit for {$construction :word of=construction} of {$diameter :small} read over {$over',
    ':length}; it needs one with its source',
  ),
  'uncertainty missing': 'a guarded decision needs the expanded uncertainty of the instrument, and none is recorded',
  'withstand too low for a procedure without a source':
    'tested at {$kilovolts :figure} kV; {$required :figure} kV (the procedure) is asked for',
  'test of another stick':
    'By what the register says now the test was of another stick: {$pointer} would have to be {$expected}',
  'test that does not fit':
    'By what the register says now the test was of another stick: {$pointer} would have to be {$right :said}',
  'failure stands': lines(
    'The test failed, and judging it again does not take that back or make it milder; the stick is cleaned,',
    'refinished or repaired and tested again',
  ),
  'nothing new': 'Nothing is known that was not known before: the verdict and its reasons are the same',
  'likely contamination or moisture':
    'nearly all of it stands out, and by much the same; likely, not proof: contamination, or moisture all through',
  'likely contamination, moisture or too much water': lines(
    'nearly all of it stands out, and by much the same; likely, not proof: contamination, or moisture all through,',
    'or too much water',
  ),
  'likely inside or at a joint':
    'stands out on all four quarter turns; likely, not proof: something inside the stick, or at a joint',
  'likely on the surface':
    'stands out on this quarter turn only; likely, not proof: dirt, a scratch or a track on the surface',
  'likely holding water': lines(
    'leaks too much wet and not dry; likely, not proof: a surface that holds water, or a finish that has lost its',
    'gloss',
  ),
  'likely getting worse': lines(
    'risen to {$microamps :figure} µA from {$was :figure} µA in the last test; likely, not proof: it is getting',
    'worse there',
  ),
  verdict: '{$verdict :word of=verdict}',
  'nothing to release': 'It has not passed a test after a failure since its last release',
  'no records restored': 'Nothing of it is missing: its records were not brought back from a backup',
  'same person':
    'Who did or recorded the test that it passed, or judged it again, cannot release it; a second person can',
  'not to be issued': 'It is {$status :word of=status}, and cannot be issued.',
  'not to be issued, in use': 'In use it would be {$status :word of=status}, and cannot be issued.',
  'nothing to remind of': 'Stick {$stick} is {$status :word of=status}: there is nothing to remind anybody of.',
  'nobody to bring it in':
    'Stick {$stick} is {$status :word of=status}, and nobody has it out: there is nobody to bring it in.',
  'nobody to remind': 'Stick {$stick}: nobody of its crew, and nobody above it, has a mail address on the registers.',
  'reminded already': 'Stick {$stick}: {$by} had its readers reminded less than an hour ago, at {$at}.',
  unknown: 'a reason that this version of the service has no words for ({$code})',
} as const
