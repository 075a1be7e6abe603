/**
 * Reports of danger on a number that no stick has are kept as they came, told to the managers, and placed by one of
 * them once it is known which stick is meant. Then the report stands at its own hour, as if it had found its stick at
 * once.
 */
import type { OwedNotice } from '../../shared-domain/notices/notice.ts'
import { owedForUnplaced, reportedIn } from '../../shared-domain/notices/owed.ts'
import { initial } from '../../shared-domain/state/state.ts'
import { shownText } from '../../shared-domain/text.ts'
import { invalid, notFound, Refused, refused } from '../ground/errors.ts'
import { checkRole } from '../questions/rights.ts'
import { standingToday, todayAt } from '../questions/today.ts'
import { bodyHash } from '../store/sticks.ts'
import { owing, writeLeft } from '../store/still-owed.ts'
import { keptWrites, placedWrite, type UnplacedReport, unplacedReport } from '../store/unplaced-reports.ts'
import type { Actor, Sending } from './actor.ts'
import { alreadyUsed } from './already.ts'
import type { FactEntry } from './entry.ts'
import { type FactDoorName, factDoors } from './fact-kinds.ts'
import { judged } from './judging.ts'
import type { Outcome } from './outcome.ts'
import { record } from './record.ts'

const longestNumber = 120

interface Report {
  /** the number as it was sent, whatever it is made of */
  readonly number: string
  readonly door: FactDoorName
  readonly entry: FactEntry
}

/** Keeps the report; answers the number as it can be shown. */
export async function keepUnplaced(sending: Sending<object>, { door, entry, ...sent }: Report): Promise<string> {
  const { organisation, caller, now, body } = sending
  // a number of which nothing can be shown leaves the report as all there is
  const number = shownText(sent.number).text.trim().slice(0, longestNumber) || '?'
  const hash = bodyHash(entry.kind, number, body)
  const known = await organisation.sticks.guard(entry.factId)
  if (known !== undefined) {
    if (known.bodyHash === hash) return number
    throw alreadyUsed(entry.factId)
  }
  const { factId } = entry
  const from = { recordedAt: now, recordedBy: caller.personId }
  const kept = keptWrites(organisation, { factId, number, door, body, bodyHash: hash, ...from, placed: null })
  const notices = await noticesOf(sending, entry, number)
  const { writes, left } = owing(organisation, { always: kept, notices, cause: factId, now })
  const { done } = await organisation.table.transact(writes)
  // somebody sent the same at the same moment: what stands now is looked at
  if (!done) return keepUnplaced(sending, { door, entry, number: sent.number })
  await writeLeft(organisation, left)
  return number
}

async function noticesOf(actor: Actor, entry: FactEntry, unknownNumber: string): Promise<OwedNotice[]> {
  const { organisation, caller } = actor
  const { today: day } = await todayAt(actor, null)
  const people = await organisation.peopleNow(actor.now)
  const reporter = (await organisation.registers.inForce('person', caller.personId, day))?.body.name
  const happening = await entry.happening({ stickId: unknownNumber, state: initial, today: day, judged })
  const { on, at, note, ...what } = reportedIn(happening)
  const said = { ...what, on, ...(at === undefined ? {} : { at }), ...(note ? { note } : {}) }
  const report = { ...said, reportedBy: reporter ?? caller.personId, unknownNumber }
  return owedForUnplaced({ factId: entry.factId, report, day }, people)
}

interface Placing {
  readonly factId: string
  readonly stickId: string
}

export interface PlacedReport extends Pick<Outcome, 'stick' | 'standing' | 'today' | 'remarks'> {
  /** the report had not been placed before */
  readonly isNew: boolean
}

/** Places a report. Of two who place it at once one is first; the other is answered by what stands then. */
export async function placeReport(by: Actor, placing: Placing): Promise<PlacedReport> {
  checkRole(by.caller, 'place a report')
  try {
    return await placeNow(by, placing)
  } catch (error) {
    if (!(error instanceof Refused) || error.refusal.kind !== 'try again') throw error
    return placeNow(by, placing)
  }
}

async function placeNow(by: Actor, { factId, stickId }: Placing): Promise<PlacedReport> {
  const { organisation, caller, now } = by
  const kept = await unplacedReport(organisation, factId)
  if (kept === undefined) throw notFound({ is: 'none: report', report: factId })
  if (kept.placed !== null && kept.placed.stickId !== stickId) {
    throw refused({ code: 'placed-already', refuses: { is: 'refused: placed already', stick: kept.placed.stickId } })
  }
  const present = await organisation.sticks.stored(stickId)
  if (present === undefined)
    throw invalid({ pointer: '/stickId', came: stickId, expected: { is: 'right: stick on the register' } })
  if (kept.placed !== null) {
    const { standing, today } = await standingToday(by, present)
    return { stick: present, standing, today, isNew: false, remarks: [] }
  }
  const entry = await factDoors[doorOf(kept)].entry({ ...by, body: kept.body as never })
  const { recordedAt, recordedBy, bodyHash: hash } = kept
  const placed = placedWrite(organisation, factId, { stickId, by: caller.personId, at: now })
  const waited = { recordedAt, recordedBy, bodyHash: hash, placed }
  const [outcome] = await record(by, stickId, { ...entry, waited })
  return { ...outcome, isNew: true }
}

/** The door that a report names is the one that wrote it. */
const doorOf = ({ door }: UnplacedReport) => door as FactDoorName
