/** Facts for which an hour has to be stated. */
import type { CalendarDate } from '../calendar.ts'
import type { RecordedFact } from '../facts.ts'
import type { Expected } from '../fault.ts'
import { stopsOrMends } from './fold.ts'
import { asKnownNow } from './known-now.ts'
import type { StickState } from './state.ts'
import { positionOf } from './when.ts'

/** Everything known of a stick without the fact. */
interface KnownBefore {
  readonly state: StickState
  readonly history: readonly RecordedFact[]
}

/**
 * The hour that would be right in place of none; null where none is needed. A fact that clears a stick is
 * proved to be later than what it clears. A repair typed in on a later day would otherwise stand behind every test of
 * its day.
 */
export function hourAskedFor(
  fact: RecordedFact,
  today: CalendarDate,
  { state: { toBeReleased }, history }: KnownBefore,
): Expected | null {
  if (fact.at !== undefined) return null
  if (fact.kind === 'corrective step' && stopsOrMends(fact)) {
    return fact.occurredOn === today ? null : { is: 'right: hour of the work' }
  }
  if (!clears(fact)) return null
  const { earliest, latest } = fact.within
  const against = asKnownNow(history).some((one) => {
    const { instant } = positionOf(one)
    return stopsOrMends(one) && earliest <= instant && instant <= latest
  })
  if (against) return { is: 'right: hour after what is against it' }
  const passed = fact.kind === 'released' && toBeReleased?.since === fact.occurredOn
  const hour = history.find((one) => one.factId === toBeReleased?.factId)?.at
  return passed && hour !== undefined ? { is: 'right: hour after its test' } : null
}

/**
 * Tells whether something may stand on the day of the fact that it has to come after. What happened then is looked up
 * only if so.
 */
export function mayNeedAnHour(
  { lastAgainst, toBeReleased }: StickState,
  { at, within, kind, occurredOn }: RecordedFact,
): boolean {
  const maySpeakAgainst = lastAgainst !== null && lastAgainst >= within.earliest
  const mayPass = kind === 'released' && toBeReleased?.since === occurredOn
  return at === undefined && (maySpeakAgainst || mayPass)
}

function clears(fact: RecordedFact): boolean {
  switch (fact.kind) {
    case 'tested':
      return fact.judgement.verdict === 'pass'
    case 'corrective step':
    case 'released':
    case 'paper looked at':
      return true
    case 'condition checked':
      return fact.check.sound
    case 'registered':
    // a test from before clears nothing
    case 'tested before':
    case 'test before counted':
    case 'used':
    case 'defect reported':
    case 'moved':
    case 'certificate received':
    case 'judged again':
    case 'corrected':
    case 'removed':
    case 'label changed':
    case 'records restored':
      return false
  }
}
