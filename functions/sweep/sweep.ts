/**
 * The hourly round: every depot whose morning has come, every stick on which somebody must be told by today. What stands
 * otherwise since a day came goes first, as a notice of its own; of all else one digest a person. Digests are written before the sticks move on, and name them: a round that breaks off and runs again finds the
 * digest, leaves it as it is, and moves on the sticks it names. So nothing is told twice and nothing is lost.
 */
import { type CalendarDate, type Instant, localDateAt, localHourAt } from '../../shared-domain/calendar.ts'
import { sameMailbox } from '../../shared-domain/mailbox.ts'
import type { OwedNotice } from '../../shared-domain/notices/notice.ts'
import { digestKey, digestsOwed, dueOnDay } from '../../shared-domain/notices/owed.ts'
import type { Rules } from '../../shared-domain/policy/rules.ts'
import type { Clock } from '../ground/clock.ts'
import { describe, log } from '../ground/log.ts'
import { asNotice, type Notice, noticeNumber } from '../store/notices.ts'
import { type Organisation, openOrganisation } from '../store/organisation.ts'
import { type DepotPointer, depotPointers } from '../store/registers.ts'
import type { StoredStick } from '../store/sticks.ts'
import type { Table, Write } from '../store/table.ts'
import { isUntold, tellOfChanges } from '../telling/changes.ts'
import { type Group, writeInPages } from '../telling/in-pages.ts'
import { withinRoom } from '../telling/room-in-notice.ts'
import { whoIsWhere } from '../telling/who-is-where.ts'

/** Depots of one organisation whose morning comes at the same moment: swept together, so that a person of two gets one mail. */
interface Round {
  readonly organisation: string
  readonly name: string
  readonly day: CalendarDate
  /** null: the sticks that lie at no depot and have no crew */
  readonly depotIds: readonly (string | null)[]
}

export async function sweep(table: Table, clock: Clock): Promise<{ rounds: number; digests: number; failed: number }> {
  const rounds = roundsDue(await depotPointers(table, clock()), clock())
  let digests = 0
  let failed = 0
  for (const round of rounds) {
    try {
      digests += await sweepRound(table, round, clock)
    } catch (error) {
      failed += 1
      log('error', 'a round of the sweep failed', { round: round.name, trouble: describe(error) })
    }
  }
  return { rounds: rounds.length, digests, failed }
}

function roundsDue(pointers: readonly DepotPointer[], now: Instant): Round[] {
  const organisations = [...new Set(pointers.map((pointer) => pointer.organisation))]
  const places = [
    ...pointers,
    ...organisations.map((organisation) => ({ organisation, depotId: null, timeZone: 'UTC', sweepHour: 6 })),
  ]
  const rounds = new Map<string, Round>()
  for (const { organisation, depotId, timeZone, sweepHour } of places) {
    if (localHourAt(now, timeZone) < sweepHour) continue
    const name = `${timeZone} ${sweepHour}`
    const key = `${organisation}|${name}`
    const known = rounds.get(key) ?? { organisation, name, day: localDateAt(now, timeZone), depotIds: [] }
    rounds.set(key, { ...known, depotIds: [...known.depotIds, depotId] })
  }
  return [...rounds.values()]
}

async function sweepRound(table: Table, round: Round, clock: Clock): Promise<number> {
  let organisation = openOrganisation(table, round.organisation)
  const found = await Promise.all(round.depotIds.map((depotId) => organisation.sticks.dueToBeTold(depotId, round.day)))
  // an index may show a stick at two depots while it moves from one to the other
  const all = [...new Map(found.flat().map((stick) => [stick.stickId, stick])).values()]
  const morning = { day: round.day, rules: await organisation.rulesOn(round.day) }
  const changed = all.filter((stored) => isUntold(stored, morning))
  let digests = await tellOfChanges({ organisation, morning, now: clock() }, changed)
  let sticks = all.filter((stored) => !changed.includes(stored))
  for (let tries = 0; tries < 5 && sticks.length > 0; tries++) {
    // whoever wrote meanwhile may have written by newer rules: read anew with each try
    organisation = openOrganisation(table, round.organisation)
    const rules = await organisation.rulesOn(round.day)
    if (!rules.entered) return digests
    const outcome = await tell({ organisation, round, rules, now: clock() }, sticks)
    digests += outcome.notices
    sticks = await organisation.sticks.fresh(outcome.lost)
  }
  if (sticks.length > 0)
    log('info', 'some sticks were being written to and wait for the next hour', { sticks: sticks.length })
  return digests
}

/** One try at a round, by the rules that bind as it begins. */
interface Attempt {
  readonly organisation: Organisation
  readonly round: Round
  readonly rules: Rules
  readonly now: Instant
}

interface Owed {
  readonly stored: StoredStick
  readonly due: ReturnType<typeof dueOnDay>
}

async function tell(attempt: Attempt, sticks: readonly StoredStick[]) {
  const { organisation, round, rules, now } = attempt
  const looked = await lookUp(attempt, sticks)
  const stale = looked.filter(({ due }) => !due.isOwed)
  const owed = looked.filter((one) => !stale.includes(one) && hasHearers(one))
  const existing = await todaysDigests(attempt, owed)
  const ready = owed.filter((one) => !waits(one, existing))
  const digests = digestsOwed(
    ready.map((one) => one.due),
    round.day,
    round.name,
  )
  const fresh = digests.filter((digest) => !existing.has(digest.key)).map(withinRoom)
  const asWritten = digests.map((digest) => existing.get(digest.key) ?? digest)
  const { table, notices, sticks: stored } = organisation
  const morning = { day: round.day, rules }
  const groups: Group[] = [
    ...fresh.map((digest) => ({ stickId: null, writes: [notices.owedWrite(digest, now)] })),
    ...stale.map((one) => ({
      stickId: one.stored.stickId,
      writes: [stored.reindexWrite(one.stored, one.due.standing, morning)],
    })),
    ...ready.map((one) => ({ stickId: one.stored.stickId, writes: moveOn(attempt, one, asWritten) })),
  ]
  return writeInPages(table, groups)
}

/** Nobody can be told: the stick stays due to be told, and the operators hear of it every hour. */
function hasHearers({ stored, due }: Owed): boolean {
  if (due.audience.length > 0) return true
  log('error', 'a stick is due and nobody has a mail address to be told at', { stickId: stored.stickId })
  return false
}

function moveOn(
  { organisation, round, rules, now }: Attempt,
  { stored, due }: Owed,
  digests: readonly OwedNotice[],
): Write[] {
  const { dueOn } = due.standing
  const { date, loan } = due.owed
  const naming = digests.filter((digest) => digest.lines.some((line) => line.stickId === stored.stickId))
  const notices = naming.map((digest) => noticeNumber(organisation.name, digest.key))
  const through = round.day
  return organisation.sticks.toldWrites(stored, {
    // of what was not to be told, what was told before stands
    ...(date && dueOn !== null ? { told: { dueOn, through } } : {}),
    ...(loan === null ? {} : { loanTold: { returnBy: loan.returnBy, through } }),
    standing: due.standing,
    morning: { day: round.day, rules },
    notices,
    filedElsewhere: naming.some((digest) => digest.lines[0]?.crewId !== stored.state.crewId),
    round: round.name,
    now,
  })
}

/**
 * Somebody of its crew has had today's digest already and it is not in it, or under another date: tomorrow, rather than a
 * second mail today.
 */
function waits(
  { stored: { stickId }, due: { audience, standing, owed } }: Owed,
  existing: ReadonlyMap<string, Notice>,
): boolean {
  return audience.some((to) => {
    const digest = [...existing.values()].find((one) => sameMailbox(one.to.email) === sameMailbox(to.email))
    return (
      digest !== undefined &&
      // what it had no room for it counts
      digest.more === undefined &&
      !digest.lines.some(
        (line) =>
          line.stickId === stickId &&
          line.dueOn === standing.dueOn &&
          (owed.loan === null || line.loan?.returnBy === owed.loan.returnBy) &&
          !(line.onlyLoan && owed.date),
      )
    )
  })
}

async function todaysDigests({ organisation, round }: Attempt, owed: readonly Owed[]): Promise<Map<string, Notice>> {
  const emails = new Set(owed.flatMap(({ due }) => due.audience.map((to) => sameMailbox(to.email))))
  const keys = [...emails].map((email) =>
    organisation.keys.notice(noticeNumber(organisation.name, digestKey(email, round.day, round.name))),
  )
  const notices = (await organisation.table.getAll(keys)).map(asNotice)
  return new Map(notices.map((notice) => [notice.key, notice]))
}

async function lookUp({ organisation, round, rules, now }: Attempt, sticks: readonly StoredStick[]): Promise<Owed[]> {
  const who = await whoIsWhere(organisation, sticks, { day: round.day, now })
  return sticks.map((stored) => ({ stored, due: dueOnDay(stored, who, { day: round.day, rules }) }))
}
