/** Reasons why a stick must not be used now, and what alone would clear each. */
import { type CalendarDate, inWords } from '../calendar.ts'
import type { Undone } from '../facts.ts'
import type { Reason } from '../reason.ts'
import type { Construction, StoppingEvent, Verdict } from '../words.ts'

export interface Hold extends Reason {
  /** null where the cause is not a fact of this stick, such as a missing policy */
  readonly since: CalendarDate | null
  readonly factId: string | null
  readonly clearedBy: string
  /** left out where the code says it all, and by earlier builds */
  readonly detail?: Detail
}

/** The details of a hold beyond its code, for those who have to say it in another language or other units. */
export interface Detail {
  /** the first reason of a bench test, and how many more it had */
  readonly reason?: Reason
  readonly more?: number
  readonly step?: 'refinished' | 'repaired'
  readonly defect?: string
  /** the number of equal reports, and the day of the last */
  readonly times?: number
  readonly lastOn?: CalendarDate
  readonly lastAt?: string
  readonly lastBy?: string
  readonly event?: StoppingEvent
  readonly source?: string
  readonly months?: number
  readonly on?: CalendarDate
  readonly construction?: Construction
  readonly entry?: EntryDifference
  readonly identity?: Identity
  readonly was?: string
  readonly is?: string
  readonly by?: Mending
  /** waxing asks for a test of its own */
  readonly beforeReadings?: true
  readonly wasMissing?: boolean
  readonly undone?: Undone
}

/** The code of a removal for good by decision: the reason beside it is in the words of whoever decided so. */
export const removedByDecisionCode = 'removed-by-decision'

/** The ways to mend what an examination found: contamination is cleaned off, all else repaired or refinished. */
export type Mending = 'repair' | 'cleaning'

/** Parts of a stick's entry on the register that are not as they were tested. */
export const entryDifferences = ['construction', 'working length', 'diameter', 'sections', 'line voltage'] as const
export type EntryDifference = (typeof entryDifferences)[number]

/** Parts of its entry by which a stick is told from another under the same number. */
export const identities = ['lot', 'first day of service'] as const
export type Identity = (typeof identities)[number]

/** A bench test's reasons in a few words. */
export interface InShort {
  readonly text: string
  readonly detail: Detail
}

const fullTest =
  'a full bench test that passes: examined, cleaned, all four quarter turns along the whole working length, dry and, for FRP, wet'
const stepThenTest = `cleaned, refinished or repaired (waxing alone hides leakage), then ${fullTest}`

const mendedThenTest: { readonly [by in Mending]: string } = {
  repair: `repaired or refinished, and that recorded as a step, then ${fullTest}`,
  cleaning: `cleaned, and that recorded as a step, then ${fullTest}`,
}

type Cause = { readonly since: CalendarDate; readonly factId: string }

export const holdFor = {
  failedTest: (cause: Cause, what: InShort): Hold => ({
    ...cause,
    code: 'failed-test',
    text: `Failed its bench test: ${what.text}`,
    clearedBy: stepThenTest,
    detail: what.detail,
  }),
  failedExamination: (cause: Cause, what: InShort, by: Mending): Hold => ({
    ...cause,
    code: 'open-defect',
    text: `Failed its examination: ${what.text}`,
    clearedBy: mendedThenTest[by],
    detail: { ...what.detail, by },
  }),
  /** 29 CFR 1910.269(j)(2)(iii)(B): repaired and refinished, or removed. */
  notMended: (cause: Cause, by: Mending): Hold => ({
    ...cause,
    code: 'not-mended',
    text: 'Passed a test, but nothing on record mended what its examination had found',
    clearedBy: mendedThenTest[by],
    detail: { by },
  }),
  /** 29 CFR 1910.269(j)(2)(iii)(D): only a test of the whole length, dry and wet, shows integrity. */
  unprovenTest: (cause: Cause, verdict: Verdict, what: InShort): Hold => ({
    ...cause,
    code: verdict === 'invalid' ? 'test-invalid' : 'test-incomplete',
    text: `${verdict === 'invalid' ? 'Its bench test proves nothing' : 'Its bench test left something unmeasured'}: ${what.text}`,
    clearedBy: fullTest,
    detail: what.detail,
  }),
  noCorrectiveStep: (cause: Cause): Hold => ({
    ...cause,
    code: 'no-corrective-step',
    text: 'Tested again after a failure without being cleaned, refinished or repaired first; the repeat clears nothing, whatever it reads',
    clearedBy: stepThenTest,
  }),
  /** 29 CFR 1910.269(j)(2)(iii)(C)(1): a test after every repair or refinishing. */
  testAfterRepair: (cause: Cause, kind: 'refinished' | 'repaired'): Hold => ({
    ...cause,
    code: 'test-after-repair',
    text: `Was ${kind} and not yet tested since`,
    clearedBy: fullTest,
    detail: { step: kind },
  }),
  /** 29 CFR 1910.269(j)(2)(ii): out of service until examined and tested. */
  defectReported: (cause: Cause, kind: string, said: { readonly at?: string; readonly by?: string } = {}): Hold => ({
    ...cause,
    code: 'defect-reported',
    text: `Reported from use: ${kind}`,
    clearedBy: `${fullTest}, after the report`,
    detail: {
      defect: kind,
      lastOn: cause.since,
      ...(said.at === undefined ? {} : { lastAt: said.at }),
      ...(said.by === undefined ? {} : { lastBy: said.by }),
    },
  }),
  /**
   * The oldest cause stands. What clears the hold has to come after the last report, and it does, for a hold goes as a
   * whole.
   */
  reportedAgain: (known: Hold, again: Hold): Hold => {
    const times = (known.detail?.times ?? 1) + 1
    const { lastAt: _, ...kept } = known.detail ?? {}
    return { ...known, text: `${again.text} (${times} times)`, detail: { ...kept, ...again.detail, times } }
  },
  releaseAwaited: (cause: Cause): Hold => ({
    ...cause,
    code: 'release-awaited',
    text: 'Passed after a failure, and no second person has released it yet',
    clearedBy: 'a release by somebody other than who did or recorded the test that it passed',
  }),
  stoppedBy: (cause: Cause, event: StoppingEvent, source: string): Hold => ({
    ...cause,
    code: `test-after-${event.replaceAll(' ', '-')}`,
    text: `Was ${event} and not yet tested since (${source})`,
    clearedBy: fullTest,
    detail: { event, source },
  }),
  shelfLimit: (since: CalendarDate, months: number, source: string): Hold => ({
    since,
    factId: null,
    code: 'shelf-limit',
    text: `Tested on ${inWords(since)} and not issued within ${months} months (${source})`,
    clearedBy: fullTest,
    detail: { on: since, months, source },
  }),
  restingInStore: (dueOn: CalendarDate, source: string): Hold => ({
    since: dueOn,
    factId: null,
    code: 'resting-in-store',
    text: `Its interval ran out on ${inWords(dueOn)} while it rests in store, where ${source} asks for no test`,
    clearedBy: `${fullTest}, before it is used again`,
    detail: { on: dueOn, source },
  }),
  reportedMissing: (cause: Cause): Hold => ({
    ...cause,
    code: 'reported-missing',
    text: 'Reported missing',
    clearedBy: `found again, then ${fullTest}`,
  }),
  found: (cause: Cause, wasMissing: boolean): Hold => ({
    ...cause,
    code: 'found-untested',
    text: wasMissing
      ? 'Was missing and has been found; nobody knows what happened to it meanwhile'
      : 'Was found, though nobody had reported it missing; nobody knows what happened to it meanwhile',
    clearedBy: fullTest,
    detail: { wasMissing },
  }),
  notWaxed: (cause: Cause, source: string, beforeReadings: boolean): Hold => ({
    ...cause,
    code: 'not-waxed',
    text: beforeReadings
      ? `Passed its test but was not waxed (${source}); another rule asks for a test after waxing, so it is waxed before the readings`
      : `Passed its test but was not waxed (${source})`,
    clearedBy: beforeReadings
      ? `waxed, and that recorded as a step, then ${fullTest}`
      : 'waxed, and that recorded as a step',
    detail: { source, ...(beforeReadings ? { beforeReadings } : {}) },
  }),
  entryChanged: (since: CalendarDate, entry: EntryDifference): Hold => ({
    since,
    factId: null,
    code: 'entry-changed',
    text: `The register now gives another ${entry} than that with which it was tested`,
    clearedBy: `${fullTest}, or the entry put right`,
    detail: { entry },
  }),
  anotherStick: (
    since: CalendarDate,
    { identity, was, is }: { readonly identity: Identity; readonly was: string; readonly is: string },
  ): Hold => ({
    since,
    factId: null,
    code: 'another-stick',
    text: `Its ${identity} was ${was} when it was last tested, and the register now says ${is}: it may be another stick under an old number`,
    clearedBy: `${fullTest}, or a manager and a second person who enter that it is the same stick`,
    detail: { identity, was, is },
  }),
  /** the house's own rule: a stick out of use was handled as scrap, and nobody looked after it */
  undone: (cause: Cause, undone: Undone): Hold => ({
    ...cause,
    code: 'removal-undone',
    text: `${undone === 'removal' ? 'Its removal from service' : 'Its being scrapped'} was a slip and is undone; it is not tested since`,
    clearedBy: fullTest,
    detail: { undone },
  }),
  notRegistered: (): Hold => ({
    since: null,
    factId: null,
    code: 'not-registered',
    text: 'It is not on the register, so nobody knows what it is made of or which rules bind it',
    clearedBy: 'its entry on the register',
  }),
  policyMissing: (): Hold => ({
    since: null,
    factId: null,
    code: 'policy-missing',
    text: 'No policy is in force, so nothing says when this stick must be tested',
    clearedBy: 'a manager putting a policy in force',
  }),
  /** UFC 3-560-01 5-4.2 authorises FRP only; here the employer's own rule */
  woodForbidden: (): Hold => ({
    since: null,
    factId: null,
    code: 'wood-forbidden',
    text: 'The policy in force allows no stick of wood',
    clearedBy: 'nothing but another policy; a stick of FRP takes its place',
  }),
  noRequirement: (construction: Construction): Hold => ({
    since: null,
    factId: null,
    code: 'no-requirement-covers',
    text: `No requirement of the policy in force covers a stick of ${construction} relied on for primary protection`,
    clearedBy: 'a manager adding a rule that covers it to the policy',
    detail: { construction },
  }),
}

export function hasCode(holds: readonly Hold[], code: string): boolean {
  return holds.some((hold) => hold.code === code)
}
