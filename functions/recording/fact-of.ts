/** The fact that is kept of what came in: when it stands, by whose clocks, who said so. */
import type { CalendarDate } from '../../shared-domain/calendar.ts'
import type { RecordedFact, StandsFor } from '../../shared-domain/facts.ts'
import { staysThrough } from '../../shared-domain/state/when.ts'
import type { Actor } from './actor.ts'
import { clockAfter } from './clock-after.ts'
import type { FactEntry, Remark } from './entry.ts'
import { timeOf, withFaults } from './hours.ts'
import { judged } from './judging.ts'
import type { There } from './outcome.ts'

interface FactAndRemarks {
  readonly fact: RecordedFact
  readonly remarks: readonly Remark[]
}

export async function factOf(by: Actor, entry: FactEntry, there: There): Promise<FactAndRemarks> {
  const { caller, now } = by
  const { kept, zone, today } = there
  const { state } = kept
  const recordedAt = entry.waited?.recordedAt ?? now
  const { when, remarks, faults, standsFor } = timeIn(entry, there, recordedAt)
  const happening = await withFaults(faults, () => entry.happening({ stickId: kept.stickId, state, today, judged }))
  const stood = when.fault === null
  const fact: RecordedFact = {
    factId: entry.factId,
    seq: kept.recorded + 1,
    occurredOn: stood ? (entry.occurredOn as CalendarDate) : when.today, // a date, where there is no fault
    ...(entry.at === undefined || !stood ? {} : { at: entry.at }),
    within: when.within,
    clock: when.zone,
    ...(await clockAfter(by, { happening, state, home: zone })),
    recordedAt,
    recordedBy: entry.waited?.recordedBy ?? entry.approved?.proposer ?? caller.personId,
    ...(entry.approved === undefined ? {} : { approvedBy: caller.personId }),
    ...(entry.waited === undefined ? {} : { placed: { by: caller.personId, at: now } }),
    ...(standsFor === undefined ? {} : { standsFor }),
    ...happening,
  }
  return { fact, remarks }
}

/**
 * The time of an entry. An entry that stands in place of a slip had happened by the time of the slip, unless it is said
 * to have happened later.
 */
function timeIn(entry: FactEntry, { kept: { state }, zone }: There, recordedAt: FactAndRemarks['fact']['recordedAt']) {
  const stays = staysThrough(state.stays, zone, state.last?.instant)
  const { standsFor } = entry
  if (standsFor === undefined) return { ...timeOf(entry, stays, recordedAt), standsFor }
  const byThen = timeOf(entry, stays, standsFor.recordedAt)
  if (byThen.when.fault === null) return { ...byThen, standsFor }
  const since: StandsFor = { ...standsFor, recordedAt }
  return { ...timeOf(entry, stays, recordedAt), standsFor: since }
}
