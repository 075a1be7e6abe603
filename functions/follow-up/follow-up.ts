/** Holds and removals that nobody confirmed as read in time are passed on to the next person up, until the owners. */
import { addSeconds, type Instant } from '../../shared-domain/calendar.ts'
import { sameMailbox } from '../../shared-domain/mailbox.ts'
import { isManager, owedForSilence } from '../../shared-domain/notices/answers.ts'
import type { StickLine } from '../../shared-domain/notices/notice.ts'
import { mostAnswerHours } from '../../shared-domain/policy/packs.ts'
import { describe, log } from '../ground/log.ts'
import type { Notice } from '../store/notices.ts'
import { type Organisation, openOrganisation } from '../store/organisation.ts'
import { dueIn } from '../store/queues.ts'
import { mostInOneTransaction, type Table } from '../store/table.ts'
import { alarmWords } from '../store/table-shape.ts'
import { type About, aboutStick } from './about-stick.ts'

export interface FollowedUp {
  readonly silent: number
  readonly passedOn: number
  readonly failed: number
}

/** Each thing by itself: what fails here is taken up by the next run. */
export async function followUp(table: Table, now: Instant): Promise<FollowedUp> {
  const silent = await dueIn(table, 'unanswered', now)
  const things = Map.groupBy(silent, ({ organisation, answer }) => `${organisation}|${answer?.about}`)
  let passedOn = 0
  let failed = 0
  for (const [about, notices] of things) {
    try {
      passedOn += await passOn(openOrganisation(table, notices[0]?.organisation ?? ''), notices, now)
    } catch (error) {
      failed += 1
      log('error', 'a notice that nobody answered was not passed on', { about, trouble: describe(error) })
    }
  }
  return { silent: silent.length, passedOn, failed }
}

async function passOn(organisation: Organisation, silent: readonly Notice[], now: Instant): Promise<number> {
  const { table, notices } = organisation
  const line = silent[0]?.lines[0]
  const found = line === undefined ? null : await aboutStick({ organisation, now }, line)
  if (line === undefined || found === null) return 0
  const since = await toldSince(organisation, silent, { stickId: line.stickId, audience: found.audience })
  const stands = found.mustNotBeUsed && !since.cameBack
  const owed = stands ? owedForSilence(silent, { ...found, aManagerKnows: since.aManagerKnows }) : []
  if (stands && owed.length === 0 && !silent.every(since.aManagerKnows)) {
    log('error', alarmWords.nobodyLeft, { stickId: line.stickId, not: 'confirmed' })
  }
  const fresh = await notices.notYetWritten(owed)
  const writes = [
    ...silent.flatMap((notice) => notices.passOnWrite(notice, now) ?? []),
    ...fresh.map((notice) => notices.owedWrite(notice, now)),
  ]
  // a crew of 40 and more than 60 managers: the rest of the silent wait for the next run
  const room = writes.slice(Math.max(0, writes.length - mostInOneTransaction))
  const { done } = await table.transact(room)
  return done ? fresh.length : 0
}

/** The hold itself was told before its silence began to climb, by at most three steps of the longest time there is. */
const longestClimbSeconds = 3 * mostAnswerHours * 3600

async function toldSince(
  { notices }: Organisation,
  silent: readonly Notice[],
  { stickId, audience }: Pick<StickLine, 'stickId'> & Pick<About, 'audience'>,
) {
  const [since = ''] = silent.map(({ owedAt }) => owedAt).sort()
  const [about] = silent.map(({ answer }) => answer?.about)
  const told = await notices.ofStick(stickId, addSeconds(since as Instant, -longestClimbSeconds))
  const above = new Set(audience.filter((one) => isManager(one) || one.owns).map(({ email }) => sameMailbox(email)))
  const confirmed = told.filter(
    ({ to, answer, answeredAt }) =>
      answeredAt !== undefined && answer?.about === about && above.has(sameMailbox(to.email)),
  )
  return {
    // held, back in service and held again: this silence is about the first, and the newer notices ask for themselves
    cameBack: told.some(({ kind, owedAt }) => kind === 'return' && owedAt > since),
    // who confirmed the hold before its silence was told need not know of the silence
    aManagerKnows: ({ kind, owedAt }: Notice) =>
      confirmed.some((one) => kind !== 'unanswered' || one.kind === 'unanswered' || (one.answeredAt ?? '') > owedAt),
  }
}
