/**
 * A round is for the depots of an organisation whose morning has come together, and for every stick there on which
 * somebody must be told by today. A change that a day alone brought is told by itself. All else is told in one digest a
 * person.
 * Digests are written before the sticks move on, and name them. A round that breaks off and runs again finds the
 * digest, leaves it as it is, and moves on the sticks it names. So nothing is told twice and nothing is lost.
 */
import type { CalendarDate, Instant } from '../../shared-domain/calendar.ts'
import { sameMailbox } from '../../shared-domain/mailbox.ts'
import { digestKey, dueOnDay, gatherDigests } from '../../shared-domain/notices/digest.ts'
import type { Addressee, OwedNotice } from '../../shared-domain/notices/notice.ts'
import type { Rules } from '../../shared-domain/policy/rules.ts'
import { onceTold, relisted } from '../../shared-domain/relisting.ts'
import type { WallClock } from '../ground/clock.ts'
import { log } from '../ground/log.ts'
import { asNotice, type Notice, noticeNumber } from '../store/notices.ts'
import { type Organisation, openOrganisation } from '../store/organisation.ts'
import { plannedSticks } from '../store/planned-sticks.ts'
import type { StoredStick } from '../store/sticks.ts'
import type { Table, Write } from '../store/table.ts'
import { alarmWords } from '../store/table-shape.ts'
import { isUntold, tellOfChanges } from '../telling/changes.ts'
import { writeInPages } from '../telling/in-pages.ts'
import { roomInDigest } from '../telling/room-in-notice.ts'
import { whoIsWhere } from '../telling/who-is-where.ts'
import { tellOfBeginnings } from './beginnings.ts'
import { tellOfCalibrations } from './calibrations.ts'

/**
 * Depots of one organisation whose morning comes at the same moment: swept together, so that a person of two gets one
 * mail.
 */
export interface Round {
  readonly organisation: string
  readonly name: string
  readonly day: CalendarDate
  /** null: the sticks that lie at no depot and have no crew */
  readonly depotIds: readonly (string | null)[]
}

export interface RoundRun {
  readonly table: Table
  readonly clock: WallClock
  readonly round: Round
  /** `mayLook` answers whether there is time to look at more, `mayGoOn` whether there is time to tell more */
  readonly mayLook: () => boolean
  readonly mayGoOn: () => boolean
  /** the last go at the round in this run: what was found by then is told */
  readonly isLastGo: boolean
}

type Pages = AsyncIterable<readonly StoredStick[]>

export async function sweepRound({
  table,
  clock,
  round,
  ...time
}: RoundRun): Promise<{ digests: number; finished: boolean }> {
  let lost: readonly string[] | null = null
  let digests = 0
  for (let tries = 0; tries < 5; tries++) {
    // rules are read anew with each try: whoever wrote meanwhile may have written by newer ones
    const organisation = openOrganisation(table, round.organisation)
    const rules = await organisation.rulesOn(round.day)
    // people and instruments belong to the round of no depot; people are told whether or not there are rules
    const isOfNoDepot = lost === null && round.depotIds.includes(null)
    if (isOfNoDepot) digests += await tellOfBeginnings(organisation, clock())
    if (!rules.entered) return { digests, finished: true }
    if (isOfNoDepot) digests += await tellOfCalibrations(organisation, round.day, clock())
    const attempt = { organisation, round, rules, now: clock(), ...time }
    const left: readonly string[] | null = lost
    const pages = () =>
      left === null ? organisation.sticks.dueToBeTold(round.depotIds, round.day) : these(organisation, left)
    const outcome = await tell(attempt, pages)
    digests += outcome.notices
    lost = outcome.lost
    if (!outcome.finished) return { digests, finished: false }
    if (lost.length === 0) return { digests, finished: true }
  }
  log('info', 'some sticks were being written to and wait for the next hour', { sticks: lost?.length })
  return { digests, finished: true }
}

async function* these({ sticks }: Organisation, ids: readonly string[]): Pages {
  for (let i = 0; i < ids.length; i += idsOnPage) yield await sticks.fresh(ids.slice(i, i + idsOnPage))
}

const idsOnPage = 100

/** A try at a round, by the rules that bind as it begins. */
interface Attempt extends Pick<RoundRun, 'round' | 'mayLook' | 'mayGoOn' | 'isLastGo'> {
  readonly organisation: Organisation
  readonly rules: Rules
  readonly now: Instant
}

interface Owed {
  readonly stored: StoredStick
  readonly due: ReturnType<typeof dueOnDay>
}

interface Told {
  readonly notices: number
  /** sticks that somebody else wrote to meanwhile */
  readonly lost: string[]
  readonly finished: boolean
}

/**
 * The findings of a first look at all that is due. Where the sticks are many, none of them is kept, so that memory
 * holds what is said of them and no more.
 */
interface Found extends Told {
  readonly digests: readonly OwedNotice[]
  /** the version in which each stick was looked at */
  readonly versions: ReadonlyMap<string, number>
  /** the sticks themselves, where they are so few that they need not be read again */
  readonly few: readonly Owed[] | null
}

/** A thousand sticks of 20 KB each take a small part of the function's memory. */
const mostFew = 1000

/**
 * Sticks are looked through twice where they are many: digests are whole before the first stick moves on, and no stick
 * is kept meanwhile.
 */
async function tell(attempt: Attempt, pages: () => Pages): Promise<Told> {
  const found = await lookThrough(attempt, pages())
  if (!found.finished && !attempt.isLastGo) return found
  const { organisation, now } = attempt
  const existing = await written(attempt, found.digests)
  const fresh = found.digests.filter(({ key }) => !existing.has(key))
  const groups = fresh.map((digest) => ({ stickId: null, writes: [organisation.notices.owedWrite(digest, now)] }))
  const outcome = await writeInPages(organisation.table, groups)
  const notices = found.notices + outcome.notices
  // a concurrent run writes the same digests: this one begins anew with what is left
  if (outcome.notices < fresh.length)
    return { notices, lost: [...found.lost, ...found.versions.keys()], finished: true }
  const firstCrews = new Map(
    [...found.digests, ...existing.values()].map(({ key, lines }) => [key, lines[0]?.crewId ?? null]),
  )
  const again = found.few === null ? lookedAgain(attempt, pages(), found.versions) : inPages(found.few)
  const moved = await moveAllOn(attempt, again, { existing, firstCrews })
  return { notices, lost: [...found.lost, ...moved.lost], finished: found.finished && moved.finished }
}

async function lookThrough(attempt: Attempt, pages: Pages): Promise<Found> {
  const { organisation, round, rules, now, mayLook } = attempt
  const morning = { day: round.day, rules }
  const digests = gatherDigests(round.day, round.name, roomInDigest)
  const versions = new Map<string, number>()
  const lost: string[] = []
  let few: Owed[] | null = []
  let changed: StoredStick[] = []
  let notices = 0
  let finished = true
  async function tellChanges(): Promise<void> {
    notices += await tellOfChanges({ organisation, morning, now }, changed)
    changed = []
  }
  for await (const page of pages) {
    if (!mayLook()) finished = false
    if (!finished) break
    const [untold, others] = parted(page, (stored) => isUntold(stored, morning))
    changed.push(...untold)
    if (changed.length >= mostChanged) await tellChanges()
    const looked = await lookUp(
      attempt,
      others.filter(({ stickId }) => !versions.has(stickId)),
    )
    const stale = looked.filter(({ due }) => !due.isOwed)
    lost.push(...(await listAnew(attempt, stale)))
    for (const { stored, due } of looked) {
      if (!due.isOwed || !hasHearers({ stored, due })) continue
      versions.set(stored.stickId, stored.version)
      digests.add(due)
      few?.push({ stored, due })
    }
    if (few !== null && few.length > mostFew) few = null
  }
  await tellChanges()
  return { notices, lost, finished, digests: digests.owed(), versions, few }
}

/**
 * The most changed sticks that are told of together, so that a person gets one mail. The states of more would not fit
 * in memory.
 */
const mostChanged = 1000

function parted<T>(all: readonly T[], isFirst: (one: T) => boolean): [T[], T[]] {
  return [all.filter(isFirst), all.filter((one) => !isFirst(one))]
}

async function listAnew({ organisation, round, rules }: Attempt, stale: readonly Owed[]): Promise<string[]> {
  const groups = stale.map(({ stored, due }) => ({
    stickId: stored.stickId,
    writes: [organisation.sticks.relistedWrite(stored, relisted(stored, due.standing, { day: round.day, rules }))],
  }))
  return (await writeInPages(organisation.table, groups)).lost
}

/**
 * Sticks as the digests name them. A stick that was not looked at, or was written to since, is named by no digest as it
 * is now, and is left out.
 */
async function* lookedAgain(
  attempt: Attempt,
  pages: Pages,
  versions: Found['versions'],
): AsyncGenerator<readonly Owed[]> {
  const seen = new Set<string>()
  for await (const page of pages) {
    const known = page.filter(({ stickId, version }) => !seen.has(stickId) && versions.get(stickId) === version)
    for (const { stickId } of known) seen.add(stickId)
    yield await lookUp(attempt, known)
  }
}

async function* inPages(few: readonly Owed[]): AsyncGenerator<readonly Owed[]> {
  for (let i = 0; i < few.length; i += idsOnPage) yield few.slice(i, i + idsOnPage)
}

interface Named {
  /** digests of today that were there before this try, by their keys */
  readonly existing: ReadonlyMap<string, Notice>
  /** the crew under which each digest is filed */
  readonly firstCrews: ReadonlyMap<string, string | null>
}

async function moveAllOn(
  attempt: Attempt,
  pages: AsyncIterable<readonly Owed[]>,
  named: Named,
): Promise<Omit<Told, 'notices'>> {
  const lost: string[] = []
  for await (const page of pages) {
    if (!attempt.mayGoOn()) return { lost, finished: false }
    const ready = page.filter((one) => !waits(attempt, one, named))
    const groups = ready.map((one) => ({ stickId: one.stored.stickId, writes: moveOn(attempt, one, named) }))
    lost.push(...(await writeInPages(attempt.organisation.table, groups)).lost)
  }
  return { lost, finished: true }
}

const keyFor = ({ round }: Attempt, { email }: Pick<Addressee, 'email'>) =>
  digestKey(sameMailbox(email), round.day, round.name)

/**
 * Answers whether anybody can be told. Where nobody can, the stick stays due to be told, and the operators hear of it
 * every hour.
 */
function hasHearers({ stored, due }: Owed): boolean {
  if (due.audience.length > 0) return true
  log('error', alarmWords.nobodyToTell, { stickId: stored.stickId })
  return false
}

function moveOn(attempt: Attempt, { stored, due }: Owed, { firstCrews }: Named): Write[] {
  const { organisation, round, rules, now } = attempt
  const { dueOn } = due.standing
  const { date, loan } = due.owed
  const naming = due.audience.map((to) => keyFor(attempt, to))
  const through = round.day
  const told = {
    // a date or a loan that was not to be told keeps what was told of it before
    ...(date && dueOn !== null ? { told: { dueOn, through } } : {}),
    ...(loan === null ? {} : { loanTold: { returnBy: loan.returnBy, through } }),
    now,
  }
  const by = { standing: due.standing, morning: { day: round.day, rules } }
  return organisation.sticks.toldWrites(stored, onceTold(stored, told, by), {
    day: round.day,
    notices: naming.map((key) => noticeNumber(organisation, key)),
    filedElsewhere: naming.some((key) => firstCrews.get(key) !== stored.state.crewId),
    round: round.name,
    now,
  })
}

/**
 * Answers whether the stick waits until tomorrow, rather than bring a second mail today: somebody who is to be told of
 * it has had today's digest already, and the stick is not in it, or is there under another date.
 */
function waits(
  attempt: Attempt,
  { stored: { stickId }, due: { audience, standing, owed } }: Owed,
  { existing }: Named,
): boolean {
  return audience.some((to) => {
    const digest = existing.get(keyFor(attempt, to))
    return (
      digest !== undefined &&
      // a digest counts the sticks for which it had no room
      digest.more === undefined &&
      !digest.lines.some(
        (line) =>
          line.stickId === stickId &&
          line.dueOn === standing.dueOn &&
          (owed.loan === null || line.loan?.returnBy === owed.loan.returnBy) &&
          (!owed.label || line.wrongLabel === standing.label?.shows) &&
          !((line.onlyLoan || line.onlyLabel) && owed.date),
      )
    )
  })
}

/** Digests of today that an earlier try or run has written. */
async function written({ organisation }: Attempt, digests: readonly OwedNotice[]): Promise<Map<string, Notice>> {
  const keys = digests.map(({ key }) => organisation.keys.notice(noticeNumber(organisation, key)))
  const notices = (await organisation.table.getAll(keys)).map(asNotice)
  return new Map(notices.map((notice) => [notice.key, notice]))
}

async function lookUp({ organisation, round, rules, now }: Attempt, sticks: readonly StoredStick[]): Promise<Owed[]> {
  const depotIds = [...new Set(sticks.flatMap(({ depotId }) => depotId ?? []))]
  const [known, plans] = await Promise.all([
    whoIsWhere(organisation, sticks, { day: round.day, now }),
    plannedSticks(organisation, depotIds),
  ])
  const who = { ...known, plans }
  return sticks.map((stored) => ({ stored, due: dueOnDay(stored, who, { day: round.day, rules }) }))
}
