import { type Happening, isDanger } from '../facts.ts'
import type { Refusing } from '../fault.ts'
import { isAmong, type KnownPerson } from '../people.ts'
import type { Reason } from '../reason.ts'
import type { Stick } from '../registers.ts'
import { type Hold, hasCode, recordsRestoredCode, saidOfHold } from './hold.ts'
import { type Stands, stands } from './policy-change.ts'
import type { Standing } from './standing.ts'
import type { StickState } from './state.ts'
import { mayBeUsed } from './use.ts'

/** The stick as it stood when the fact happened, as it stands today, and as it would stand with the fact. */
interface Circumstances {
  readonly atTheTime: Found
  readonly now: Found
  readonly after: Found
}

/** A reason, and where it says more of a stick than its own sentence: how the stick stands, or one of its holds. */
export interface Objection extends Reason {
  /** what speaks against it is no finding on the stick */
  readonly refuses?: Refusing<'refused'>
  readonly stands?: Stands
  readonly hold?: Pick<Hold, 'code' | 'detail'>
}

interface Found {
  readonly state: StickState
  readonly standing: Standing
}

/**
 * Reasons against recording `happening`, given how the stick stood when it happened and how it stands now; none where
 * nothing speaks against it.
 * - A use and a report of danger are never refused, not even of a stick that is gone for good: somebody holds it, and
 *   its people must be told.
 * - Nothing recorded late brings a removed stick back.
 * - An issue must have been allowed then, must be allowed now, and must leave the stick fit in use.
 */
export function refusals(found: Circumstances, happening: Happening, recordedBy: KnownPerson): Objection[] {
  const { now } = found
  if (isDanger(happening)) return []
  switch (happening.kind) {
    case 'used':
    // nothing comes of a test from before but a hold
    case 'tested before':
    case 'defect reported':
    case 'corrected':
    case 'records restored':
      return []
    case 'certificate received':
    case 'condition checked':
    case 'tested':
    case 'test before counted':
    case 'corrective step':
    case 'judged again':
    case 'removed':
      return againstActing(now)
    case 'moved': {
      const { to } = happening.move
      const issue = typeof to === 'object' && ('crewId' in to || 'lentTo' in to)
      return issue ? againstIssue(found) : []
    }
    case 'released':
      return againstRelease(now, recordedBy)
    case 'paper looked at':
      return againstLook(now)
    case 'registered':
      return handsOver(now.state, happening.stick) ? againstIssue(found) : []
    case 'label changed':
      // a label that shows too late a date is on the stick all the same: it is kept, and told as wrong
      return happening.label.kind === 'fixed' ? againstActing(now) : []
  }
}

/** Naming another crew on the register is an issue too, save for a stick that was never in anybody's use. */
function handsOver(state: StickState, stick: Stick): boolean {
  const known = state.registrations.at(-1)?.stick.crewId
  const untouched = Object.keys(state.evidence).length === 0 && state.holds.length === 0
  const first = state.registrations.length === 0 || untouched
  return !first && stick.crewId !== undefined && stick.crewId !== known
}

function againstActing({ state, standing }: Found): Objection[] {
  if (state.scrapped === null && state.removed === null) return []
  return [{ code: code(standing), stands: stands(standing) }]
}

/** Four eyes: whoever did or recorded the test that it passed, or judged it again, has looked already. */
function againstRelease(now: Found, recordedBy: KnownPerson): Objection[] {
  const { toBeReleased } = now.state
  const acting = againstActing(now)
  if (acting.length > 0) return acting
  if (toBeReleased === undefined) {
    return [{ code: 'nothing-to-release', says: { is: 'nothing to release' } }]
  }
  const { testRecordedBy, testedBy, testJudgedBy, hands = [] } = toBeReleased
  const looked = [{ personId: testRecordedBy }, ...(testJudgedBy === undefined ? [] : [{ personId: testJudgedBy }])]
  if (!isAmong(recordedBy, [...looked, ...(testedBy === undefined ? [] : [testedBy]), ...hands])) return []
  return [{ code: 'same-person', says: { is: 'same person' } }]
}

function againstLook(now: Found): Objection[] {
  const acting = againstActing(now)
  if (acting.length > 0 || hasCode(now.state.holds, recordsRestoredCode)) return acting
  return [{ code: 'no-records-restored', says: { is: 'no records restored' } }]
}

/** Use can shorten a clock at once: a stick that may lie in store need not be fit to be issued. */
function againstIssue({ now, atTheTime, after }: Circumstances): Objection[] {
  const { standing } = [now, atTheTime, after].find((found) => !mayBeUsed(found.standing.status)) ?? now
  if (mayBeUsed(standing.status)) return []
  const is = standing === after.standing ? 'not to be issued, in use' : 'not to be issued'
  return [
    { code: code(standing), says: { is, status: standing.status }, stands: stands(standing) },
    ...standing.holds.map((hold) => ({ code: hold.code, hold: saidOfHold(hold) })),
  ]
}

/** `removed from service` becomes `removed-from-service`. */
function code(standing: Standing): string {
  return standing.status.replaceAll(' ', '-')
}
