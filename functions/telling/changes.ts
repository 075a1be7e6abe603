/**
 * Sticks that stand otherwise than their people know, with no fact that did it: by other rules, or by a day that
 * passed. A person gets one notice for all that stand otherwise in one way and by one cause. Notices are written before
 * the sticks move on, so that what breaks off is told again.
 */
import type { Instant } from '../../shared-domain/calendar.ts'
import { type Cause, changeOwed, importUntold } from '../../shared-domain/notices/change.ts'
import type { Morning, WhoIsWhere } from '../../shared-domain/notices/morning.ts'
import type { OwedNotice } from '../../shared-domain/notices/notice.ts'
import { type ChangedStick, owedForChange } from '../../shared-domain/notices/owed-for-change.ts'
import { onceTold, relisted } from '../../shared-domain/relisting.ts'
import { recalledCode } from '../../shared-domain/state/hold.ts'
import { type Standing, standingOn } from '../../shared-domain/state/standing.ts'
import { log } from '../ground/log.ts'
import { noticeNumber } from '../store/notices.ts'
import { type Organisation, openOrganisation } from '../store/organisation.ts'
import type { StoredStick } from '../store/sticks.ts'
import type { Write } from '../store/table.ts'
import { alarmWords } from '../store/table-shape.ts'
import { writeInPages } from './in-pages.ts'
import { withinRoom } from './room-in-notice.ts'
import { whoIsWhere } from './who-is-where.ts'

/** The organisation whose sticks are told of, and the day and rules that bind where they lie. */
export interface Telling {
  readonly organisation: Organisation
  readonly morning: Morning
  readonly now: Instant
  /** the cause of the change, where it is known */
  readonly cause?: Cause
}

/** Answers whether the stick stands otherwise than its people know. */
export function isUntold(stored: StoredStick, { day, rules }: Morning): boolean {
  return rules.entered && changeOwed(stored, standingOn(stored.state, day, rules)) !== null
}

/**
 * Answers the cause of a change: other rules since the stick was last written, a recall among them, or a day that has
 * come. A recall tells its sticks itself; here are those that its lists did not show.
 */
function causeOf(stored: StoredStick, { holds }: Standing, { day, rules }: Morning): Cause {
  const { untold, writtenUnder } = stored
  const fromFile = importUntold(stored)
  if (fromFile !== undefined) return { by: 'import', import: fromFile }
  if (untold === undefined && writtenUnder === rules.id) return { by: 'day', day }
  return { by: holds.some(({ code }) => code === recalledCode) ? 'recall' : 'rules', rules: rules.id }
}

/**
 * Tells of the sticks that stand otherwise; the others are listed anew and told to nobody. Answers how many notices
 * were written.
 */
export async function tellOfChanges(telling: Telling, sticks: readonly StoredStick[]): Promise<number> {
  let left = sticks
  let notices = 0
  for (let tries = 0; tries < mostTries && left.length > 0; tries++) {
    const outcome = await tryToTell(telling, left)
    notices += outcome.notices
    left = await telling.organisation.sticks.fresh(outcome.lost)
  }
  if (left.length > 0)
    log('info', 'some sticks were being written to and wait for the next run', { sticks: left.length })
  return notices
}

const mostTries = 5

async function tryToTell(telling: Telling, sticks: readonly StoredStick[]) {
  const { organisation: given, morning, now } = telling
  // registers are read anew: whoever wrote meanwhile may have changed them
  const organisation = openOrganisation(given.table, given.name)
  const who = await whoIsWhere(organisation, sticks, { day: morning.day, now })
  const looked = sticks.map((stored) => ({ stored, changed: changedStick(stored, who, morning) }))
  const owed = looked.filter(({ changed }) => changed.kind !== null)
  const byCause = Map.groupBy(owed, (one) => causeFor(one, telling).by)
  const notices = [...byCause.values()].flatMap((some) => noticesOf(some, telling))
  const fresh = await organisation.notices.notYetWritten(notices.map(withinRoom))
  const writes = looked.map(({ stored, changed }) => ({
    stickId: stored.stickId,
    writes:
      changed.kind === null
        ? [organisation.sticks.relistedWrite(stored, relisted(stored, changed.standing, morning))]
        : moveOn(telling, { stored, changed }, notices),
  }))
  return writeInPages(organisation.table, [
    ...fresh.map((one) => ({ stickId: null, writes: [organisation.notices.owedWrite(one, now)] })),
    ...writes.filter((one) => one.writes.length > 0),
  ])
}

const causeFor = ({ stored, changed }: Looked, { cause, morning }: Telling): Cause =>
  cause ?? causeOf(stored, changed.standing, morning)

type Changed = Omit<ChangedStick, 'kind'> & { readonly kind: ChangedStick['kind'] | null }

interface Looked {
  readonly stored: StoredStick
  readonly changed: Changed
}

function changedStick(
  stored: StoredStick,
  { crews, depotNames, people }: WhoIsWhere,
  { day, rules }: Morning,
): Changed {
  const { stickId, state, depotId, version } = stored
  const { crewId } = state
  const crew = (crewId === null ? undefined : crews.get(crewId)) ?? null
  const depotName = (depotId === null ? undefined : depotNames.get(depotId)) ?? null
  const standing = standingOn(state, day, rules)
  return {
    kind: changeOwed(stored, standing),
    belonging: { stickId, crewId, crewName: crew?.name ?? null, depotName },
    standing,
    who: { crew, people, depotId },
    version,
  }
}

function noticesOf(looked: readonly Looked[], telling: Telling): OwedNotice[] {
  const { day, rules } = telling.morning
  const [first] = looked
  if (first === undefined) return []
  const changed = looked.flatMap(({ changed: one }) => (one.kind === null ? [] : [{ ...one, kind: one.kind }]))
  const cause = causeFor(first, telling)
  return owedForChange(changed, { cause, day, answerWithinHours: rules.answerWithinHours })
}

/** A stick of which nobody can be told stays due to be told, and the operators hear of it each time. */
function moveOn(
  { organisation, morning, now }: Telling,
  { stored, changed }: Looked,
  notices: readonly OwedNotice[],
): Write[] {
  const { stickId, version, state } = stored
  const telling = notices.filter(
    ({ kind, lines }) => kind === changed.kind && lines.some((line) => line.stickId === stickId),
  )
  if (telling.length === 0) {
    log('error', alarmWords.nobodyLeft, { stickId, not: 'told' })
    return []
  }
  const about = telling.find(({ answer }) => answer !== undefined)?.answer?.about
  const { standing } = changed
  return organisation.sticks.toldWrites(stored, onceTold(stored, { about, now }, { standing, morning }), {
    day: morning.day,
    notices: telling.map(({ key }) => noticeNumber(organisation, key)),
    filedElsewhere: telling.some(({ lines }) => lines[0]?.crewId !== state.crewId),
    round: `change ${version}`,
    now,
  })
}
