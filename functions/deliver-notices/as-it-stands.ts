/** The newest mail must never say that a stick may be used which may not by now. */
import type { Instant } from '../../shared-domain/calendar.ts'
import type { NoticeKind, StickLine } from '../../shared-domain/notices/notice.ts'
import { stickLine } from '../../shared-domain/notices/stick-line.ts'
import { stillHolds } from '../../shared-domain/notices/undelivered.ts'
import { mayBeUsed, mustNotBeUsed } from '../../shared-domain/state/use.ts'
import type { Status } from '../../shared-domain/words.ts'
import { standingToday } from '../questions/today.ts'
import { factIn, type Notice } from '../store/notices.ts'
import type { Organisation } from '../store/organisation.ts'

/** Those that tell somebody until when a stick may be used; a hold that is over does no harm. */
const tellOfUse: readonly NoticeKind[] = ['return', 'digest', 'date brought forward', 'put right', 'reminder']

/** Without the sticks of which it is no longer true; null where none is left. */
export async function asItStands(organisation: Organisation, notice: Notice, now: Instant): Promise<Notice | null> {
  const { kind, lines } = notice
  if (tellOfFact.includes(kind)) {
    const slip = await slipIn(organisation, notice)
    if (slip !== null) return slipAsItStands(organisation, { notice, slip }, now)
  }
  if (kind === 'report') return reportAsItStands(organisation, notice, now)
  if (!tellOfUse.includes(kind)) return notice
  const standings = await standingsOf(organisation, notice, now)
  const left = lines.filter((line) => {
    const status = standings.get(line.stickId)?.status
    if (status === undefined) return true
    if (kind === 'reminder' && saidToBeUnfit(line, status)) return false
    return stillHolds(kind, { ...line, status }) && !saidToBeFit(line, status)
  })
  if (left.length === 0) return null
  return left.length === lines.length ? notice : { ...notice, lines: left }
}

/** Those that a fact owes, and that speak of it. */
const tellOfFact: readonly NoticeKind[] = ['hold', 'removal', 'report', 'used while unfit']

/** What it tells of was a slip: the correction, where there is one. */
async function slipIn({ sticks }: Organisation, notice: Notice) {
  const factId = factIn(notice)
  const guard = factId === undefined ? undefined : await sticks.guard(factId)
  if (guard?.correctedBy === undefined || guard.stickId === undefined) return null
  const correction = await sticks.guard(guard.correctedBy)
  const fact = await sticks.fact(guard.stickId, correction?.seq ?? 0)
  return fact?.kind === 'corrected' ? { stickId: guard.stickId, correction: fact } : null
}

interface OfSlip {
  readonly notice: Notice
  readonly slip: NonNullable<Awaited<ReturnType<typeof slipIn>>>
}

/**
 * Nobody is told of a slip as if it stood: the correction has told its own. But a hold that stands all the same is
 * told.
 */
async function slipAsItStands(
  organisation: Organisation,
  { notice, slip: { stickId, correction } }: OfSlip,
  now: Instant,
): Promise<Notice | null> {
  const { kind, lines, day } = notice
  const [line] = lines
  const standing = (await standingsOf(organisation, notice, now)).get(line?.stickId ?? '')
  if (line === undefined || standing === undefined) return notice
  const standsHere = correction.instead?.stickId === stickId
  const isToldStill = kind === 'report' || kind === 'used while unfit' ? standsHere : mustNotBeUsed(standing.status)
  if (!isToldStill) return null
  const { crewId, crewName, bringTo: depotName } = line
  const asNow = stickLine({ belonging: { stickId: line.stickId, crewId, crewName, depotName }, standing }, day)
  return { ...notice, lines: [asNow] }
}

/** A report is told whatever became of the stick; but not that the stick stays in use where it does not. */
async function reportAsItStands(organisation: Organisation, notice: Notice, now: Instant): Promise<Notice> {
  const [line] = notice.lines
  const standing = line === undefined ? undefined : (await standingsOf(organisation, notice, now)).get(line.stickId)
  if (line === undefined || standing === undefined || !saidToBeFit(line, standing.status)) return notice
  const { passedSince: _, ...report } = notice.report ?? {}
  const { stickId, crewId, crewName, bringTo: depotName } = line
  const asNow = stickLine({ belonging: { stickId, crewId, crewName, depotName }, standing }, notice.day)
  return { ...notice, report: report as NonNullable<Notice['report']>, lines: [asNow] }
}

async function standingsOf(organisation: Organisation, { lines }: Notice, now: Instant) {
  const stored = await organisation.sticks.fresh([...new Set(lines.map(({ stickId }) => stickId))])
  const found = stored.map(async (one) => {
    const { standing } = await standingToday({ organisation, now }, one)
    return [one.stickId, standing] as const
  })
  return new Map(await Promise.all(found))
}

/** A loan is told of whatever the status; but none that this mail would call fit and that is not. */
function saidToBeFit({ status }: StickLine, now: Status): boolean {
  return mayBeUsed(status) && !mayBeUsed(now) && now !== 'overdue'
}

/** Nobody is reminded to stop using a stick that was tested since. */
function saidToBeUnfit({ status }: StickLine, now: Status): boolean {
  return !mayBeUsed(status) && mayBeUsed(now)
}
