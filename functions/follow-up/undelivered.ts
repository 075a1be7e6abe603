/** Notices that did not reach their readers: the managers hear of it, and the next person up gets them instead. */
import type { DynamoDBBatchResponse, DynamoDBRecord } from 'aws-lambda'
import { addSeconds, type Instant } from '../../shared-domain/calendar.ts'
import { isManager } from '../../shared-domain/notices/answers.ts'
import type { OwedNotice } from '../../shared-domain/notices/notice.ts'
import { owedForUndelivered } from '../../shared-domain/notices/undelivered.ts'
import type { Clock } from '../ground/clock.ts'
import { describe, log } from '../ground/log.ts'
import type { Notice } from '../store/notices.ts'
import { type Organisation, openOrganisation } from '../store/organisation.ts'
import { dueIn } from '../store/queues.ts'
import type { Table } from '../store/table.ts'
import { alarmWords } from '../store/table-shape.ts'
import { aboutCrew, aboutNobodyKnows, aboutStick } from './about-stick.ts'

export interface ToldOf {
  readonly undelivered: number
  readonly failed: number
}

const daySeconds = 24 * 3600

/** Written together: digests are large, and one transaction takes 4 MB. */
const mostTogether = 8

/** As the stream hands them over, at once. */
export async function tellFromStream(
  table: Table,
  clock: Clock,
  records: readonly DynamoDBRecord[],
): Promise<DynamoDBBatchResponse> {
  for (const { dynamodb } of records) {
    const organisation = dynamodb?.NewImage?.organisation?.S ?? ''
    const number = dynamodb?.NewImage?.number?.S ?? ''
    if (!(await toldSafely(table, { organisation, number }, clock())))
      return { batchItemFailures: [{ itemIdentifier: dynamodb?.SequenceNumber ?? '' }] }
  }
  return { batchItemFailures: [] }
}

/** Takes up what the stream missed. */
export async function tellOfUndelivered(table: Table, now: Instant): Promise<ToldOf> {
  const notices = await dueIn(table, 'undelivered', now)
  let failed = 0
  for (const notice of notices) {
    // one lost to the run off the stream is seen as told the second time
    const told = (await toldSafely(table, notice, now)) || (await toldSafely(table, notice, now))
    if (!told) failed += 1
  }
  return { undelivered: notices.length, failed }
}

async function toldSafely(
  table: Table,
  notice: Pick<Notice, 'organisation' | 'number'>,
  now: Instant,
): Promise<boolean> {
  try {
    return await tell(openOrganisation(table, notice.organisation), notice.number, now)
  } catch (error) {
    log('error', 'nobody was told of a notice that was not delivered', {
      notice: notice.number,
      trouble: describe(error),
    })
    return false
  }
}

/** False where somebody else wrote at the same time. */
async function tell(organisation: Organisation, number: string, now: Instant): Promise<boolean> {
  const { table, notices } = organisation
  // the stream's image may be older than what others did since
  const notice = await notices.one(number)
  const seenTo = notice === undefined ? null : notices.seenToWrite(notice, now)
  if (notice === undefined || seenTo === null) return true
  const { owed, isSeenTo } = await owedFor(organisation, notice, now)
  if (owed.length === 0 && !isSeenTo) log('error', alarmWords.nobodyLeft, { notice: number, not: 'delivered' })
  const fresh = await notices.notYetWritten(owed)
  const writes = [...fresh.map((one) => notices.owedWrite(one, now)), seenTo]
  for (let i = 0; i < writes.length; i += mostTogether) {
    if (!(await table.transact(writes.slice(i, i + mostTogether))).done) return false
  }
  return true
}

/** Each crew's sticks by themselves, as they stand now: a digest may hold several. */
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
    const about = await aboutNobodyKnows(organisation, now)
    const circumstances = { day: about.day, isKnown, otherManagersKnow: false }
    return {
      owed: owedForUndelivered(notice, why, [{ ...about, nobodyKnowsWhich: true }], circumstances),
      isSeenTo: isKnown,
    }
  }
  // what has no crew by the depot where it lies
  const groups = [...Map.groupBy(notice.lines, ({ crewId, bringTo }) => crewId ?? `|${bringTo}`).values()]
  const all =
    notice.kind === 'digest'
      ? await Promise.all(groups.map((lines) => aboutCrew(organisation, lines[0]?.crewId ?? null, lines, now)))
      : [await aboutStick(organisation, line, now)]
  const concerned = all.filter((one) => one !== null)
  const [first] = concerned
  if (first === undefined) return { owed: [], isSeenTo: true }
  const otherManagersKnow = await goesToAnotherManager(organisation, notice, line.stickId)
  const circumstances = { day: first.day, isKnown, otherManagersKnow }
  const owed = owedForUndelivered(notice, why, concerned, circumstances)
  return { owed, isSeenTo: isKnown || otherManagersKnow }
}

/** The same word: it is on its way there, or has reached that one. */
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
