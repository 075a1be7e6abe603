/** One of every hold that the domain can make, with all that changes its sentence. */
import type { Reason } from '../../../shared-domain/reason.ts'
import { entryDifferences, type Hold, holdFor, identities, type Mending } from '../../../shared-domain/state/hold.ts'
import { constructions, defectKinds, stoppingEvents } from '../../../shared-domain/words.ts'
import { day } from '../../support/trade.ts'

const since = day('2026-03-02')
export const cause = { since, factId: 'f' }
const place = { state: 'dry', quarterTurn: 90, fromMetres: 0.5, toMetres: 0.8 } as const
const asked = { microamps: 12.5, comparison: 'not more than', limit: 10, source: 'SAMPLE' } as const
export const over: Reason = { code: 'reading-over-limit', says: { is: 'over the limit', ...asked }, ...place }
export const near: Reason = {
  code: 'reading-in-guard-band',
  says: { is: 'in the guard band', ...asked, percent: 5 },
  ...place,
}
const reasons: readonly Reason[] = [
  over,
  near,
  { ...over, section: 'tip' },
  { code: 'withstand-failed', says: { is: 'withstand failed', outcome: 'puncture', kilovolts: 300 }, ...place },
  { code: 'open-defect', says: { is: 'open defect', defect: 'crack' } },
  { code: 'fail', says: { is: 'verdict', verdict: 'fail' } },
  { code: 'reading-over-limit', text: 'as an earlier build recorded it' },
]
const inShort = reasons.flatMap((reason) => [0, 2].map((more) => ({ reason, more })))
const mendings = ['repair', 'cleaning'] as const satisfies readonly Mending[]
export const source = 'the rule'

const called = { recall: 'R-1', named: 'L-7', on: since }
const everyRecalled = (['lot', 'order', 'instrument', 'finding', 'reading'] as const).map((recalledBy) =>
  holdFor.recalled(since, {
    ...called,
    recalledBy,
    ...(recalledBy === 'reading' ? { state: 'wet', read: 19.1, truly: 20.105, limit: 20 } : {}),
  }),
)

/**
 * Of each that the domain can make, with all that changes its sentence. One that is added there is missed here by type.
 */
export const everyHold: { readonly [kind in keyof typeof holdFor]: readonly Hold[] } = {
  failedTest: inShort.map((what) => holdFor.failedTest(cause, what)),
  failedBefore: [holdFor.failedBefore(cause)],
  failedExamination: inShort.flatMap((what) => mendings.map((by) => holdFor.failedExamination(cause, what, by))),
  notMended: mendings.map((by) => holdFor.notMended(cause, by)),
  unprovenTest: inShort.flatMap((what) =>
    (['invalid', 'incomplete'] as const).map((verdict) => holdFor.unprovenTest(cause, verdict, what)),
  ),
  noCorrectiveStep: [holdFor.noCorrectiveStep(cause)],
  testAfterRepair: (['refinished', 'repaired'] as const).map((kind) => holdFor.testAfterRepair(cause, kind)),
  defectReported: defectKinds.map((kind) => holdFor.defectReported(cause, kind, { at: '09:40', by: 'crew' })),
  reportedAgain: defectKinds.map((kind) =>
    holdFor.reportedAgain(holdFor.defectReported(cause, kind), holdFor.defectReported(cause, kind)),
  ),
  releaseAwaited: [holdFor.releaseAwaited(cause)],
  stoppedBy: stoppingEvents.map((event) => holdFor.stoppedBy(cause, event, source)),
  shelfLimit: [holdFor.shelfLimit(since, 12, source)],
  restingInStore: [holdFor.restingInStore(since, source)],
  reportedMissing: [holdFor.reportedMissing(cause)],
  found: [true, false].map((wasMissing) => holdFor.found(cause, wasMissing)),
  notWaxed: [true, false].map((beforeReadings) => holdFor.notWaxed(cause, source, beforeReadings)),
  entryChanged: entryDifferences.map((entry) => holdFor.entryChanged(since, entry)),
  anotherStick: identities.map((identity) => holdFor.anotherStick(since, { identity, was: 'L-7', is: 'L-9' })),
  undone: (['removal', 'end of service'] as const).map((what) => holdFor.undone(cause, what)),
  unknownFact: [holdFor.unknownFact(cause)],
  recalled: everyRecalled,
  recordsRestored: [holdFor.recordsRestored(cause)],
  notRegistered: [holdFor.notRegistered()],
  policyMissing: [holdFor.policyMissing()],
  woodForbidden: [holdFor.woodForbidden()],
  noRequirement: constructions.map((construction) => holdFor.noRequirement(construction)),
}
export const holds = Object.entries(everyHold).flatMap(([kind, made]) => made.map((hold) => ({ kind, hold })))
