/** Reasons why a stick must not be used now, and what alone would clear each. */
import type { CalendarDate } from '../calendar.ts'
import type { Undone } from '../facts.ts'
import type { Reason } from '../reason.ts'
import type { RecallKind } from '../recall/recall.ts'
import { contentAtPlace } from '../said.ts'
import type { Construction, StoppingEvent, SurfaceState, Verdict } from '../words.ts'

export interface Hold {
  /** kebab-case, stable */
  readonly code: string
  /** null where the cause is not a fact of this stick, such as a missing policy */
  readonly since: CalendarDate | null
  readonly factId: string | null
  /** left out where the code says it all */
  readonly detail?: Detail
}

/** The details of a hold beyond its code: `wording.ts` makes its sentence of both, and that of what alone clears it. */
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
  /** the recall that binds the stick, and what it is by; `named` is the instrument, the lot or the order */
  readonly recall?: string
  readonly recalledBy?: RecalledBy
  readonly named?: string
  /** the reading that does not pass once it is put right */
  readonly state?: SurfaceState
  readonly read?: number
  readonly truly?: number
  readonly limit?: number
}

/**
 * What calls a stick back. By an instrument: its reading does not pass once it is put right, nobody can put it right,
 * or it was taken when the instrument was known to be wrong.
 */
export type RecalledBy = Exclude<RecallKind, 'instrument'> | 'reading' | 'instrument' | 'finding'

/** The code of the hold by a recall. */
export const recalledCode = 'recalled'

/** The code of a removal for good by decision: the reason beside it is in the words of whoever decided so. */
export const removedByDecisionCode = 'removed-by-decision'

/** The code of the hold of a stick whose records were brought back from a backup and may lack something. */
export const recordsRestoredCode = 'records-restored'

/** The ways to mend what an examination found: contamination is cleaned off, all else repaired or refinished. */
export type Mending = 'repair' | 'cleaning'

/** Parts of a stick's entry on the register that are not as they were tested. */
export const entryDifferences = ['construction', 'working length', 'diameter', 'sections', 'line voltage'] as const
export type EntryDifference = (typeof entryDifferences)[number]

/** Parts of its entry by which a stick is told from another under the same number. */
export const identities = ['lot', 'first day of service'] as const
export type Identity = (typeof identities)[number]

/** A bench test's reasons in a few words: the first of them, and how many more there are. */
export type InShort = Required<Pick<Detail, 'reason' | 'more'>>

type Cause = { readonly since: CalendarDate; readonly factId: string }

export const holdFor = {
  failedTest: (cause: Cause, what: InShort): Hold => ({
    ...cause,
    code: 'failed-test',
    detail: what,
  }),
  /** the house's own rule: nobody can tell by how much it failed, nor whether anything was done about it since */
  failedBefore: (cause: Cause): Hold => ({
    ...cause,
    code: 'failed-before',
  }),
  failedExamination: (cause: Cause, what: InShort, by: Mending): Hold => ({
    ...cause,
    code: 'open-defect',
    detail: { ...what, by },
  }),
  /** 29 CFR 1910.269(j)(2)(iii)(B): repaired and refinished, or removed. */
  notMended: (cause: Cause, by: Mending): Hold => ({
    ...cause,
    code: 'not-mended',
    detail: { by },
  }),
  /** 29 CFR 1910.269(j)(2)(iii)(D): only a test of the whole length, dry and wet, shows integrity. */
  unprovenTest: (cause: Cause, verdict: Verdict, what: InShort): Hold => ({
    ...cause,
    code: verdict === 'invalid' ? 'test-invalid' : 'test-incomplete',
    detail: what,
  }),
  noCorrectiveStep: (cause: Cause): Hold => ({
    ...cause,
    code: 'no-corrective-step',
  }),
  /** 29 CFR 1910.269(j)(2)(iii)(C)(1): a test after every repair or refinishing. */
  testAfterRepair: (cause: Cause, kind: 'refinished' | 'repaired'): Hold => ({
    ...cause,
    code: 'test-after-repair',
    detail: { step: kind },
  }),
  /** 29 CFR 1910.269(j)(2)(ii): out of service until examined and tested. */
  defectReported: (cause: Cause, kind: string, said: { readonly at?: string; readonly by?: string } = {}): Hold => ({
    ...cause,
    code: 'defect-reported',
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
    return { ...known, detail: { ...kept, ...again.detail, times } }
  },
  releaseAwaited: (cause: Cause): Hold => ({
    ...cause,
    code: 'release-awaited',
  }),
  stoppedBy: (cause: Cause, event: StoppingEvent, source: string): Hold => ({
    ...cause,
    code: `test-after-${event.replaceAll(' ', '-')}`,
    detail: { event, source },
  }),
  shelfLimit: (since: CalendarDate, months: number, source: string): Hold => ({
    since,
    factId: null,
    code: 'shelf-limit',
    detail: { on: since, months, source },
  }),
  restingInStore: (dueOn: CalendarDate, source: string): Hold => ({
    since: dueOn,
    factId: null,
    code: 'resting-in-store',
    detail: { on: dueOn, source },
  }),
  reportedMissing: (cause: Cause): Hold => ({
    ...cause,
    code: 'reported-missing',
  }),
  found: (cause: Cause, wasMissing: boolean): Hold => ({
    ...cause,
    code: 'found-untested',
    detail: { wasMissing },
  }),
  notWaxed: (cause: Cause, source: string, beforeReadings: boolean): Hold => ({
    ...cause,
    code: 'not-waxed',
    detail: { source, ...(beforeReadings ? { beforeReadings } : {}) },
  }),
  entryChanged: (since: CalendarDate, entry: EntryDifference): Hold => ({
    since,
    factId: null,
    code: 'entry-changed',
    detail: { entry },
  }),
  anotherStick: (
    since: CalendarDate,
    { identity, was, is }: { readonly identity: Identity; readonly was: string; readonly is: string },
  ): Hold => ({
    since,
    factId: null,
    code: 'another-stick',
    detail: { identity, was, is },
  }),
  /** the house's own rule: a stick out of use was handled as scrap, and nobody looked after it */
  undone: (cause: Cause, undone: Undone): Hold => ({
    ...cause,
    code: 'removal-undone',
    detail: { undone },
  }),
  /** a later build recorded it, and this one, to which the service was rolled back, cannot read it */
  unknownFact: (cause: Cause): Hold => ({
    ...cause,
    code: 'unknown-fact',
  }),
  /** the house's own rule: what is lost may be a tingle or a removal, and nobody can tell from what is left */
  recordsRestored: (cause: Cause): Hold => ({
    ...cause,
    code: recordsRestoredCode,
  }),
  /** no fact of the stick: the recall binds by what it calls back, and by what the stick was last proved with */
  recalled: (
    since: CalendarDate,
    detail: Detail & Required<Pick<Detail, 'recall' | 'recalledBy' | 'named'>>,
  ): Hold => ({
    since,
    factId: null,
    code: recalledCode,
    detail,
  }),
  notRegistered: (): Hold => ({
    since: null,
    factId: null,
    code: 'not-registered',
  }),
  policyMissing: (): Hold => ({
    since: null,
    factId: null,
    code: 'policy-missing',
  }),
  /** UFC 3-560-01 5-4.2 authorises FRP only; here the employer's own rule */
  woodForbidden: (): Hold => ({
    since: null,
    factId: null,
    code: 'wood-forbidden',
  }),
  noRequirement: (construction: Construction): Hold => ({
    since: null,
    factId: null,
    code: 'no-requirement-covers',
    detail: { construction },
  }),
}

/** With the sentences of an earlier build, in English, in what that wrote. */
export interface SaidHold extends Pick<Hold, 'code' | 'detail'> {
  readonly text?: string
  readonly clearedBy?: string
}

/** A hold as far as it is said. */
export function saidOfHold({ code, detail }: Hold): Pick<Hold, 'code' | 'detail'> {
  return { code, ...(detail === undefined ? {} : { detail }) }
}

export function hasCode(holds: readonly Hold[], code: string): boolean {
  return holds.some((hold) => hold.code === code)
}

/** A hold in a few words of its own, to tell whether it is said otherwise. */
export function contentOfHold({ code, detail = {} }: Pick<Hold, 'code' | 'detail'>): string {
  // who reported it last, and when, stands in no sentence
  const { reason, lastOn: _, lastAt: __, lastBy: ___, ...others } = detail
  const values = Object.entries(others).map(([name, value]) => `${name}=${String(value)}`)
  return [code, ...values.sort(), ...(reason === undefined ? [] : [contentAtPlace(reason)])].join(' ')
}
