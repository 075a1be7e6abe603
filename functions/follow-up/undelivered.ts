/** Notices that did not reach their readers: the managers hear of it, and the next person up gets them instead. */
import type { SQSBatchResponse, SQSRecord } from 'aws-lambda'
import { addSeconds, type Instant } from '../../shared-domain/calendar.ts'
import { isManager } from '../../shared-domain/notices/confirmations.ts'
import type { OwedNotice } from '../../shared-domain/notices/notice.ts'
import { owedForUndelivered } from '../../shared-domain/notices/undelivered.ts'
import type { WallClock } from '../ground/clock.ts'
import { describe, log } from '../ground/log.ts'
import { takeEach } from '../store/handed-on.ts'
import { keysOf } from '../store/keys.ts'
import { asNotice, type Notice } from '../store/notices.ts'
import { type Organisation, openOrganisation } from '../store/organisation.ts'
import { dueIn } from '../store/queues.ts'
import type { Key, Table } from '../store/table.ts'
import { alarmWords } from '../store/table-shape.ts'
import { aboutCrew, aboutNobodyKnows, aboutStick } from './about-stick.ts'

export interface ToldOf {
  readonly undelivered: number
  readonly failed: number
}

const daySeconds = 24 * 3600

/** The most writes in one transaction: digests are large, and it takes 4 MB. */
const mostTogether = 8

/**
 * Tells of notices at once, as their queue hands them over. A message comes again where one of its notices is not done;
 * those that were told of are known as told by then.
 */
export const tellFromQueue = (
  table: Table,
  clock: WallClock,
  records: readonly SQSRecord[],
): Promise<SQSBatchResponse> =>
  takeEach(records, async (keys) => {
    let isDone = true
    for (const key of keys) isDone = (await toldSafely(table, key, clock())) && isDone
    return isDone
  })

/** Takes up the notices that came through no queue. */
export async function tellOfUndelivered(table: Table, now: Instant): Promise<ToldOf> {
  const notices = await dueIn(table, 'undelivered', now)
  let failed = 0
  for (const { organisation, number } of notices) {
    if (!(await toldSafely(table, keysOf(organisation).notice(number), now))) failed += 1
  }
  return { undelivered: notices.length, failed }
}

/** Tries twice: a try lost to another run sees the notice as told the second time. */
const toldSafely = async (table: Table, key: Key, now: Instant) =>
  (await triedOnce(table, key, now)) || (await triedOnce(table, key, now))

async function triedOnce(table: Table, key: Key, now: Instant): Promise<boolean> {
  try {
    return await tell(table, key, now)
  } catch (error) {
    log('error', 'nobody was told of a notice that was not delivered', { notice: key.pk, trouble: describe(error) })
    return false
  }
}

/** Tells of one notice; false where somebody else wrote at the same time. */
async function tell(shared: Table, key: Key, now: Instant): Promise<boolean> {
  const item = await shared.get(key)
  if (item === undefined) return true
  const notice = asNotice(item)
  const organisation = openOrganisation(shared, notice.organisation)
  const { table, notices } = organisation
  const seenTo = notices.seenToWrite(notice, now)
  if (seenTo === null) return true
  const { owed, isSeenTo } = await owedFor(organisation, notice, now)
  if (owed.length === 0 && !isSeenTo) log('error', alarmWords.nobodyLeft, { notice: notice.number, not: 'delivered' })
  const fresh = await notices.notYetWritten(owed)
  const writes = [...fresh.map((one) => notices.owedWrite(one, now)), seenTo]
  for (let i = 0; i < writes.length; i += mostTogether) {
    if (!(await table.transact(writes.slice(i, i + mostTogether))).done) return false
  }
  return true
}

/**
 * Answers what is owed for the sticks of each crew by themselves, as they stand now: a digest may hold several crews'
 * sticks.
 */
async function owedFor(
  organisation: Organisation,
  notice: Notice,
  now: Instant,
): Promise<{ owed: OwedNotice[]; isSeenTo: boolean }> {
  const [line] = notice.lines
  const why = notice.undeliveredWhy
  if (why === undefined) return { owed: [], isSeenTo: true }
  const isKnown = notice.answeredAt !== undefined || notice.passedOnAt !== undefined
  if (line === undefined) {
    const about = await aboutNobodyKnows({ organisation, now })
    const circumstances = { day: about.day, isKnown, otherManagersKnow: false }
    return {
      owed: owedForUndelivered({ notice, why }, [{ ...about, nobodyKnowsWhich: true }], circumstances),
      isSeenTo: isKnown,
    }
  }
  // sticks without a crew go by the depot where they lie
  const groups = [...Map.groupBy(notice.lines, ({ crewId, bringTo }) => crewId ?? `|${bringTo}`).values()]
  const all =
    notice.kind === 'digest' || notice.lines.length > 1
      ? await Promise.all(groups.map((lines) => aboutCrew({ organisation, now }, lines[0]?.crewId ?? null, lines)))
      : [await aboutStick({ organisation, now }, line)]
  const concerned = all.filter((one) => one !== null)
  const [first] = concerned
  if (first === undefined) return { owed: [], isSeenTo: true }
  const otherManagersKnow = await goesToAnotherManager(organisation, notice, line.stickId)
  const circumstances = { day: first.day, isKnown, otherManagersKnow }
  const owed = owedForUndelivered({ notice, why }, concerned, circumstances)
  return { owed, isSeenTo: isKnown || otherManagersKnow }
}

/** Answers whether another manager gets the same word: it is on its way there, or has arrived. */
async function goesToAnotherManager(
  { notices }: Organisation,
  { kind, day, number, answer, missed, owedAt }: Notice,
  stickId: string,
): Promise<boolean> {
  const told = await notices.ofStick(stickId, addSeconds(owedAt, -daySeconds))
  return told.some(
    (one) =>
      one.number !== number &&
      one.kind === kind &&
      one.day === day &&
      one.answer?.about === answer?.about &&
      one.missed?.email === missed?.email &&
      isManager(one.to) &&
      one.undeliveredWhy === undefined,
  )
}
