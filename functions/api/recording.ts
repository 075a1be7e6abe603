/**
 * The room of recording, as the API's doors call it. The room is half of what the API is, and is loaded with the first
 * request that records.
 */
import { describe, log } from '../ground/log.ts'
import type { Asker } from '../questions/asker.ts'
import { editionCorrection } from '../store/edition-corrections.ts'

type Part = typeof import('../recording/part.ts')

const part = () => import('../recording/part.ts')

export const record = (async (...asked: Parameters<Part['record']>) =>
  (await part()).record(...asked)) as Part['record'] // generic in what it is handed
export const editEntry = (async (...asked: Parameters<Part['edit']>) => (await part()).edit(...asked)) as Part['edit'] // generic in the kind of entry
export const wouldFollow: Part['wouldFollow'] = async (...asked) => (await part()).wouldFollow(...asked)
export const registerStick: Part['register'] = async (...asked) => (await part()).register(...asked)
export const approve: Part['approve'] = async (by, id) => {
  const closed = await (await part()).approve(by, id)
  if (closed.corrects !== undefined) await judgeAnewInTime(by, closed.corrects.factId)
  return closed
}
export const decline: Part['decline'] = async (...asked) => (await part()).decline(...asked)
export const correct: Part['correct'] = async (...asked) => (await part()).correct(...asked)
export const correctEdition: Part['correctEdition'] = async (...asked) => (await part()).correctEdition(...asked)
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

/** A door of API Gateway closes after 29 s. */
const mostMillis = 10_000

export const slipFor: Part['slipFor'] = async (...asked) => (await part()).slipFor(...asked)
export const keepUnplaced: Part['keepUnplaced'] = async (...asked) => (await part()).keepUnplaced(...asked)
export const placeReport: Part['placeReport'] = async (...asked) => (await part()).placeReport(...asked)
export const judged: Part['judged'] = async (...asked) => (await part()).judged(...asked)
export const overLimitsFor: Part['overLimitsFor'] = async (...asked) => (await part()).overLimitsFor(...asked)
