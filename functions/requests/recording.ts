/**
 * The room of recording, as the API's doors call it. The room is half of what the API is, and is loaded with the first
 * request that records.
 */
import { describe, log } from '../ground/log.ts'
import type { Asker } from '../questions/asker.ts'
import type { Actor } from '../recording/actor.ts'
import { editionCorrection } from '../store/edition-corrections.ts'
import type { Proposal } from '../store/proposals.ts'
import type { KeptRecall } from '../store/recalls.ts'

export const recording = () => import('../recording/part.ts')

/** A correction of an entry has tests judged anew once two persons stand behind it. */
export async function approveAndJudge(by: Actor, id: string): Promise<Proposal> {
  const closed = await (await recording()).approve(by, id)
  if (closed.corrects !== undefined) await judgeAnewInTime(by, closed.corrects.factId)
  return closed
}

/**
 * Tests that a corrected entry had judged are judged anew for as long as a request may last, and the rest by the clock.
 * The answer is whether all are done.
 */
export async function judgeAnewInTime({ organisation, now }: Asker, factId: string): Promise<boolean> {
  const correction = await editionCorrection(organisation, factId)
  if (correction === undefined) return true
  const until = performance.now() + mostMillis
  try {
    const { judgeAnew } = await import('../anew/anew.ts')
    return (await judgeAnew(organisation.table, { correction, now }, () => performance.now() < until)).finished
  } catch (error) {
    // the correction is recorded: the next run of reindex goes on
    log('error', 'tests are still to be judged anew', { correction: factId, trouble: describe(error) })
    return false
  }
}

/** The recall is recorded and binds: what a request has no time for, the next run of reindex does. */
export async function settleInTime({ organisation, now }: Asker, recall: KeptRecall): Promise<KeptRecall> {
  if (recall.settledThrough === null) return recall
  const until = performance.now() + mostMillis
  try {
    const { settle } = await import('../telling/recalls.ts')
    const { finished } = await settle(organisation.table, { recall, now }, () => performance.now() < until)
    return finished ? { ...recall, settledThrough: null } : recall
  } catch (error) {
    log('error', 'a recall is still to be settled', { recall: recall.id, trouble: describe(error) })
    return recall
  }
}

/** A door of API Gateway closes after 29 s. */
const mostMillis = 10_000
