/**
 * Holds and removals that nobody confirmed as read in time. A confirmation by one of the crew is enough. Where there is
 * none, the next person up is told, until the owners: once a day each, in one list for all sticks.
 */
import {
  addDays,
  addSeconds,
  type CalendarDate,
  type Instant,
  localDateAt,
  startOfDay,
} from '../../shared-domain/calendar.ts'
import { sameMailbox } from '../../shared-domain/mailbox.ts'
import {
  aboutOf,
  isManager,
  isOfCrew,
  nextOf,
  owedForSilence,
  type SilentNotice,
  silenceKey,
} from '../../shared-domain/notices/confirmations.ts'
import type { OwedNotice, StickLine } from '../../shared-domain/notices/notice.ts'
import { mostConfirmHours } from '../../shared-domain/policy/packs.ts'
import { mustNotBeUsed } from '../../shared-domain/state/use.ts'
import { describe, log } from '../ground/log.ts'
import { type Notice, noticeNumber } from '../store/notices.ts'
import { type Organisation, openOrganisation } from '../store/organisation.ts'
import { dueIn } from '../store/queues.ts'
import type { StoredStick } from '../store/sticks.ts'
import { mostInOneTransaction, type Table } from '../store/table.ts'
import { alarmWords } from '../store/table-shape.ts'
import { withinRoom } from '../telling/room-in-notice.ts'
import { type About, aboutThose } from './about-stick.ts'

export interface FollowedUp {
  readonly silent: number
  readonly passedOn: number
  readonly failed: number
}

/** Follows up each organisation by itself: what fails here is taken up by the next run. */
export async function followUp(table: Table, now: Instant): Promise<FollowedUp> {
  const silent = await dueIn(table, 'unanswered', now)
  let passedOn = 0
  let failed = 0
  for (const [name, notices] of Map.groupBy(silent, ({ organisation }) => organisation)) {
    try {
      passedOn += await passOn({ organisation: openOrganisation(table, name), now }, notices)
    } catch (error) {
      failed += 1
      log('error', 'notices that nobody answered were not passed on', { organisation: name, trouble: describe(error) })
    }
  }
  return { silent: silent.length, passedOn, failed }
}

interface Run {
  readonly organisation: Organisation
  readonly now: Instant
}

/** A silent notice with what is known of it by now. */
interface Looked extends SilentNotice {
  readonly notice: Notice
  readonly open: readonly About[]
}

async function passOn(run: Run, notices: readonly Notice[]): Promise<number> {
  const { organisation, now } = run
  const stored = new Map(
    (await organisation.sticks.known(notices.flatMap(({ lines }) => lines.map(({ stickId }) => stickId)))).map(
      (one) => [one.stickId, one],
    ),
  )
  const looked = await Promise.all(notices.map((notice) => look(run, notice, stored)))
  let told = 0
  // notices are grouped by the day where their sticks lie: at two depots it may not be the same
  for (const [day, some] of Map.groupBy(looked, ({ open }) => open[0]?.day ?? localDateAt(now, 'UTC'))) {
    told += await tell(run, { silent: some, day, stored })
  }
  return told
}

/** Looks up what the notice's people still do not know of it, as the sticks stand by now. */
async function look(run: Run, notice: Notice, stored: ReadonlyMap<string, StoredStick>): Promise<Looked> {
  const known = await Promise.all(
    notice.lines.map(async (line) => {
      const one = stored.get(line.stickId)
      const about = aboutOf(line, notice)
      const isKnown = one === undefined || about === undefined || (await isSettled(run, one, { notice, about }))
      return isKnown ? [] : [[{ ...line, about }, one] as const]
    }),
  )
  const open = (await aboutThose(run, known.flat()))
    .map((about) => ({ ...about, lines: about.lines.filter(({ status }) => mustNotBeUsed(status)) }))
    .filter(({ lines }) => lines.length > 0)
  return { notice, open, aManagerKnows: await aManagerKnows(run, notice, open) }
}

/**
 * Answers whether the notice's silence about the stick is over:
 * - somebody of the crew has confirmed the same hold, or what was told of the stick last;
 * - or the stick was back in service since, and a new hold asks for itself.
 * A stick told of worse meanwhile settles nothing: else each new report would put off that anybody hears of the
 * silence.
 */
async function isSettled(
  { organisation }: Run,
  { stickId, held }: StoredStick,
  { notice, about }: { readonly notice: Notice; readonly about: string },
): Promise<boolean> {
  if (held?.confirmed) return true
  if (held?.about === about) return false
  const told = await organisation.notices.ofStick(stickId, addSeconds(notice.owedAt, -longestClimbSeconds))
  return told.some(
    (one) =>
      (one.kind === 'return' && one.owedAt > notice.owedAt) ||
      (one.answeredAt !== undefined && isOfCrew(one.to) && saysOf(one, stickId, about)),
  )
}

const saysOf = (notice: Notice, stickId: string, about: string | undefined) =>
  notice.lines.some((line) => line.stickId === stickId && aboutOf(line, notice) === about)

/**
 * The longest that a silence climbs: the hold itself was told at most three steps before, each of the longest time
 * there is.
 */
const longestClimbSeconds = 3 * mostConfirmHours * 3600

const noticesAtOnce = 10

interface Telling {
  readonly silent: readonly Looked[]
  readonly day: CalendarDate
  readonly stored: ReadonlyMap<string, StoredStick>
}

async function tell(run: Run, { silent, day, stored }: Telling): Promise<number> {
  const lists = owedForSilence(silent, day).map(withinRoom)
  const fresh = await run.organisation.notices.notYetWritten(lists)
  // a run that broke off between a list and the notices it is about knows by the list what it told
  for (const list of fresh) if (!(await writeList(run, list, stored))) return 0
  const outToday = await listsOf(
    run,
    lists.filter((list) => !fresh.includes(list)),
  )
  for (let i = 0; i < silent.length; i += noticesAtOnce) {
    await Promise.all(silent.slice(i, i + noticesAtOnce).map((one) => settle(run, one, { outToday, day })))
  }
  return fresh.length
}

/**
 * Writes the list, and a pointer to it beside each of its sticks but the first, by which it is filed itself. False
 * where another run writes it.
 */
async function writeList({ organisation, now }: Run, list: OwedNotice, stored: Telling['stored']): Promise<boolean> {
  const { table, notices, sticks } = organisation
  const number = noticeNumber(organisation, list.key)
  const pointers = list.lines.slice(1).flatMap(({ stickId }) => {
    const one = stored.get(stickId)
    return one === undefined ? [] : [sticks.silenceWrite(one, { day: list.day, number, now })]
  })
  for (let i = 0; i < pointers.length; i += mostInOneTransaction) {
    if (!(await table.transact(pointers.slice(i, i + mostInOneTransaction))).done) return false
  }
  return (await table.transact([notices.owedWrite(list, now)])).done
}

/** Today's lists that were written before, by their keys, which name whom they go to. */
async function listsOf({ organisation }: Run, lists: readonly OwedNotice[]): Promise<ReadonlyMap<string, Notice>> {
  const found = await Promise.all(lists.map(({ key }) => organisation.notices.one(noticeNumber(organisation, key))))
  return new Map(found.flatMap((list) => (list === undefined ? [] : [[list.key, list] as const])))
}

interface Today {
  readonly day: CalendarDate
  /** lists that went out before this run, by their keys */
  readonly outToday: ReadonlyMap<string, Notice>
}

/**
 * Settles the notice: it is told of, known to those above, or to be told tomorrow. A person who had today's list hears
 * of no other silence today.
 */
async function settle({ organisation, now }: Run, one: Looked, { outToday, day }: Today): Promise<void> {
  const { notice, open, aManagerKnows: isKnown } = one
  const { notices } = organisation
  const next = open.flatMap(({ lines, audience }) =>
    nextOf(one, audience).map((to) => ({ lines, list: outToday.get(silenceKey(sameMailbox(to.email), day)) })),
  )
  const isToWait = next.some(
    ({ lines, list }) => list !== undefined && !lines.every((line) => list.lines.some((told) => isSame(told, line))),
  )
  if (isToWait) {
    const zone = await organisation.zoneAt(open[0]?.depotId ?? null, now)
    await notices.askLater(notice, startOfDay(addDays(day, 1), zone))
    return
  }
  if (next.length === 0 && !isKnown && open.length > 0) {
    log('error', alarmWords.nobodyLeft, { stickId: open[0]?.lines[0]?.stickId, not: 'confirmed' })
  }
  await notices.passOn(notice, now)
}

const isSame = (a: StickLine, b: StickLine) => a.stickId === b.stickId && a.about === b.about

/**
 * Answers whether those above the crew know already, for a notice to one of them: one has confirmed each of these
 * sticks for the same cause.
 */
async function aManagerKnows({ organisation }: Run, notice: Notice, open: readonly About[]): Promise<boolean> {
  if (notice.to.role !== 'manager' && !isManager(notice.to)) return false
  const lines = open.flatMap((one) => one.lines.map((line) => ({ line, audience: one.audience })))
  const known = lines.map(async ({ line, audience }) => {
    const above = new Set(audience.filter((one) => isManager(one) || one.owns).map(({ email }) => sameMailbox(email)))
    const told = await organisation.notices.ofStick(line.stickId, addSeconds(notice.owedAt, -longestClimbSeconds))
    return told.some(
      (one) =>
        one.answeredAt !== undefined && above.has(sameMailbox(one.to.email)) && saysOf(one, line.stickId, line.about),
    )
  })
  return (await Promise.all(known)).every((isKnown) => isKnown) && lines.length > 0
}
