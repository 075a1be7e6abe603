/**
 * How a correction loosens, and so waits for a second person: where a hold, a removal or an end of service ends with the slip, or
 * where what is taken back spoke against the stick. What stands instead needs no more people than recording it would: a hold
 * that it clears as a test of its day would is no way.
 */

import { inWords } from '../calendar.ts'
import { type RecordedFact, speaks } from '../facts.ts'
import { slipNames } from '../notices/slip.ts'
import type { Hold } from '../state/hold.ts'
import { severity } from '../state/judged-again.ts'
import type { Standing } from '../state/standing.ts'
import { mayBeUsed } from '../state/use.ts'
import type { Way } from './way.ts'

export interface Corrected {
  /** how the stick stands today; without the slip alone; and with all that is put right */
  readonly before: Standing
  readonly without: Standing
  readonly after: Standing
  /** as it is judged by now */
  readonly slip: RecordedFact
  /** what stands in its place on the same stick */
  readonly instead: RecordedFact | undefined
}

/** None where it needs no second person. */
export function waysOfCorrection(corrected: Corrected): Way[] {
  const ways = [...endsForGood(corrected), ...takesBack(corrected), ...holdsEnded(corrected)]
  return ways.length > 0 ? ways : readsFitter(corrected)
}

const forGood = { 'removed from service': 'ends-removal', scrapped: 'ends-end-of-service' } as const

/** It would be kept again. */
function endsForGood({ before, after }: Corrected): Way[] {
  return (['removed from service', 'scrapped'] as const).flatMap((status) =>
    before.status === status && after.status !== status
      ? [{ code: forGood[status], text: `It would no longer be ${status}: it would be ${after.status}.` }]
      : [],
  )
}

function takesBack({ slip, instead }: Corrected): Way[] {
  if (speaks(slip) !== 'against' || (instead !== undefined && isAsBad(instead, slip))) return []
  const text = `${slipNames[slip.kind].replace(/^t/, 'T')} of ${inWords(slip.occurredOn)}, which spoke against it, would no longer stand.`
  return [{ code: 'takes-back', text }]
}

/** A failure that stays one, a report that stays one; what stands instead is of the kind of the slip. */
function isAsBad(instead: RecordedFact, slip: RecordedFact): boolean {
  if (instead.kind === 'tested' && slip.kind === 'tested')
    return speaks(instead) === 'against' && severity(instead.judgement) >= severity(slip.judgement)
  return speaks(instead) === 'against'
}

function holdsEnded({ before, without, after, instead }: Corrected): Way[] {
  const isCleared = instead !== undefined && speaks(instead) === 'for'
  return before.holds
    .filter((hold) => !has(after.holds, hold) && !(isCleared && has(without.holds, hold)))
    .map(({ text }) => ({ code: 'ends-hold', text: `This hold would end: ${text}.` }))
}

function has(holds: readonly Hold[], { code, detail }: Hold): boolean {
  return holds.some((one) => one.code === code && one.detail?.defect === detail?.defect)
}

/** With no hold: a use that is taken back can move its due date. */
function readsFitter({ before, without, after }: Corrected): Way[] {
  if (mayBeUsed(before.status) || !mayBeUsed(without.status) || !mayBeUsed(after.status)) return []
  return [{ code: 'reads-fitter', text: `It would be ${after.status} instead of ${before.status}.` }]
}
