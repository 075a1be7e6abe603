/** Holds and removals that nobody confirmed as read in time are passed on to the next person up, until the managers. */
import type { Instant } from '../../shared-domain/calendar.ts'
import { owedForSilence } from '../../shared-domain/notices/answers.ts'
import { passOnWrite, silentBy } from '../platform/awaited.ts'
import { describe, log } from '../platform/log.ts'
import { type Notice, noticesOfStick, noticeWrite, notYetWritten } from '../platform/notices.ts'
import { type Organisation, openOrganisation } from '../platform/organisation.ts'
import { mostInOneTransaction } from '../platform/sticks.ts'
import type { Table } from '../platform/table.ts'
import { aboutStick } from './about-stick.ts'

export interface FollowedUp {
  readonly silent: number
  readonly passedOn: number
  readonly failed: number
}

/** Each thing by itself: what fails here is taken up by the next run. */
export async function followUp(table: Table, now: Instant): Promise<FollowedUp> {
  const silent = await silentBy(table, now)
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
  const { table, keys, name } = organisation
  const line = silent[0]?.lines[0]
  const found = line === undefined ? null : await aboutStick(organisation, line, now)
  if (line === undefined || found === null) return 0
  const { audience, day, mustNotBeUsed } = found
  const stands = mustNotBeUsed && !(await cameBackSince(organisation, silent, line.stickId))
  const owed = stands ? owedForSilence(silent, audience, day) : []
  if (stands && owed.length === 0) {
    log('info', 'a notice was not confirmed, and nobody is above to be told', { stickId: line.stickId })
  }
  const fresh = await notYetWritten(table, keys, name, owed)
  const writes = [
    ...silent.map((notice) => passOnWrite(table, notice, now)),
    ...fresh.map((notice) => noticeWrite(table, keys, name, notice, now)),
  ]
  // a crew of 40 and more than 60 managers: the rest of the silent wait for the next run
  const room = writes.slice(Math.max(0, writes.length - mostInOneTransaction))
  const { done } = await table.transact(room)
  return done ? fresh.length : 0
}

/** Held, back in service and held again: what is silent now is about the first, and the newer notices ask for themselves. */
async function cameBackSince(
  { table, keys }: Organisation,
  silent: readonly Notice[],
  stickId: string,
): Promise<boolean> {
  const [since = '0'] = silent.map(({ owedAt }) => owedAt).sort()
  const told = await noticesOfStick(table, keys, stickId, since)
  return told.some(({ kind, owedAt }) => kind === 'return' && owedAt > since)
}
