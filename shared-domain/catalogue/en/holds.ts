/**
 * Sentences on why a stick must not be used, `hold …`, and on what alone clears it, `cleared …`, by the code of the
 * hold.
 */
import { lines } from '../lines.ts'

const fullTest = lines(
  'a full bench test that passes: examined, cleaned, all four quarter turns along the whole working length,',
  'dry and, unless it is of wood, wet',
)
const retested = `${fullTest}, with another instrument or with this one once it is calibrated anew`
const stepThenTest = `cleaned, refinished or repaired (waxing alone hides leakage), then ${fullTest}`

export const holds = {
  'hold reading-over-limit': lines(
    'Leaks too much when {$state}, {$where}: {$microamps :figure} µA, the limit is {$comparison :word of=comparison}',
    '{$limit :figure} µA ({$source})',
  ),
  'hold reading-in-guard-band': lines(
    'Leaks too near its limit when {$state}, {$where}: {$microamps :figure} µA, the limit is {$comparison :word',
    "of=comparison} {$limit :figure} µA ({$source}), less {$percent :figure} % for the instrument's uncertainty",
  ),
  'hold failed-test': 'Failed its bench test: {$what}',
  'hold failed-before': 'Failed a test from before this service was used; nobody has its readings',
  'hold open-defect': 'Failed its examination: {$what}',
  'hold open-defect, by cleaning': 'Failed its examination: {$what}',
  'hold not-mended': 'Passed a test, but nothing on record mended what its examination had found',
  'hold not-mended, by cleaning': 'Passed a test, but nothing on record mended what its examination had found',
  'hold not-waxed': 'Passed its test but was not waxed ({$source})',
  'hold not-waxed, before the readings': lines(
    'Passed its test but was not waxed ({$source}); another rule asks for a test after waxing, so it is waxed before',
    'the readings',
  ),
  'hold test-invalid': 'Its bench test proves nothing: {$what}',
  'hold test-incomplete': 'Its bench test left something unmeasured: {$what}',
  'hold no-corrective-step': lines(
    'Tested again after a failure without being cleaned, refinished or repaired first; the repeat clears nothing,',
    'whatever it reads',
  ),
  'hold test-after-repair': 'Was {$step :word of=step} and not yet tested since',
  'hold defect-reported': 'Reported from use: {$defect :word of=defect}',
  'hold defect-reported, again': 'Reported from use: {$defect :word of=defect} ({$times :figure} times)',
  'hold release-awaited': 'Passed after a failure, and no second person has released it yet',
  'hold test-after-event': 'Was {$event :word of=event} and not yet tested since ({$source})',
  'hold shelf-limit': 'Tested on {$on :date} and not issued within {$months :figure} months ({$source})',
  'hold resting-in-store':
    'Its interval ran out on {$on :date} while it rests in store, where {$source} asks for no test',
  'hold removal-undone': 'Its removal from service was a slip and is undone; it is not tested since',
  'hold removal-undone, scrapped': 'Its being scrapped was a slip and is undone; it is not tested since',
  'hold records-restored': lines(
    'The records were brought back from a backup, and something that was recorded of it may be lost: look at the',
    'paper',
  ),
  'hold reported-missing': 'Reported missing',
  'hold found-untested': 'Was missing and has been found; nobody knows what happened to it meanwhile',
  'hold found-untested, not missed':
    'Was found, though nobody had reported it missing; nobody knows what happened to it meanwhile',
  'hold entry-changed': 'The register now gives another {$entry :word of=entry} than that with which it was tested',
  'hold another-stick': lines(
    'Its {$identity :word of=identity} was {$was} when it was last tested, and the register now says {$is}: it may',
    'be another stick under an old number',
  ),
  'hold recalled, lot': 'Recalled with all sticks of lot {$named}',
  'hold recalled, order': 'Recalled by order {$named}',
  'hold recalled, instrument': lines(
    'Recalled: its last full test, on {$on :date}, was done with instrument {$named}, which was found to read wrong;',
    'nobody can tell by how much its readings were off',
  ),
  'hold recalled, finding': lines(
    'Recalled: its last full test, on {$on :date}, was done with instrument {$named} after that was found to read',
    'wrong and before it was calibrated anew',
  ),
  'hold recalled, reading': lines(
    'Recalled: its last full test, on {$on :date}, was done with instrument {$named}, which was found to read wrong;',
    '{$state :word of=state} it read {$read :figure} µA, which was {$truly :figure} µA in truth, and the limit is',
    '{$limit :figure} µA',
  ),
  'hold unknown-fact': 'Something was recorded of it that this version of the service cannot read',
  'hold not-registered': 'It is not on the register, so nobody knows what it is made of or which rules bind it',
  'hold policy-missing': 'No policy is in force, so nothing says when this stick must be tested',
  'hold wood-forbidden': 'The policy in force allows no stick of wood',
  'hold no-requirement-covers': lines(
    'No requirement of the policy in force covers a stick of {$construction :word of=construction} relied on for',
    'primary protection',
  ),
  'cleared failed-test': stepThenTest,
  'cleared failed-before': stepThenTest,
  'cleared open-defect': `repaired or refinished, and that recorded as a step, then ${fullTest}`,
  'cleared open-defect, by cleaning': `cleaned, and that recorded as a step, then ${fullTest}`,
  'cleared not-mended': `repaired or refinished, and that recorded as a step, then ${fullTest}`,
  'cleared not-mended, by cleaning': `cleaned, and that recorded as a step, then ${fullTest}`,
  'cleared not-waxed': 'waxed, and that recorded as a step',
  'cleared not-waxed, before the readings': `waxed, and that recorded as a step, then ${fullTest}`,
  'cleared test-invalid': fullTest,
  'cleared test-incomplete': fullTest,
  'cleared no-corrective-step': stepThenTest,
  'cleared test-after-repair': fullTest,
  'cleared defect-reported': `${fullTest}, after the report`,
  'cleared defect-reported, again': `${fullTest}, after the report`,
  'cleared release-awaited': 'somebody other than who did or recorded the test that it passed releases it',
  'cleared test-after-event': fullTest,
  'cleared shelf-limit': fullTest,
  'cleared resting-in-store': `${fullTest}, before it is used again`,
  'cleared records-restored': lines(
    'a manager who looks at the paper, records what is missing here, and then that the paper was looked at; a test',
    'alone does not',
  ),
  'cleared reported-missing': `found again, then ${fullTest}`,
  'cleared removal-undone': fullTest,
  'cleared removal-undone, scrapped': fullTest,
  'cleared found-untested': fullTest,
  'cleared found-untested, not missed': fullTest,
  'cleared entry-changed': `${fullTest}, or the entry put right`,
  'cleared another-stick': `${fullTest}, or a manager and a second person enter that it is the same stick`,
  'cleared recalled, lot': `${fullTest}, after the recall`,
  'cleared recalled, order': `${fullTest}, after the recall`,
  'cleared recalled, instrument': retested,
  'cleared recalled, finding': retested,
  'cleared recalled, reading': retested,
  'cleared unknown-fact': lines(
    'a newer version of the service, which whoever runs it brings in again; until then neither a test nor a release',
    'clears this',
  ),
  'cleared not-registered': 'it is entered on the register',
  'cleared policy-missing': 'a manager puts a policy in force',
  'cleared wood-forbidden': 'the policy would have to allow wood; use a stick of FRP in its place',
  'cleared no-requirement-covers': 'a manager adds a rule that covers it to the policy',
  'hold unknown': 'Held for a reason that this version of the service has no words for ({$code})',
  'cleared unknown': 'ask the bench',
} as const
