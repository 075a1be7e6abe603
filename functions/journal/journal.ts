/**
 * Writes to the journal's bucket what the stream's reader hands on: one object a run and organisation. A message that
 * comes twice makes an object that says the same again, which does no harm.
 */
import type { SQSBatchResponse, SQSRecord } from 'aws-lambda'
import type { WallClock } from '../ground/clock.ts'
import { describe, log } from '../ground/log.ts'
import { type JournalObject, linesIn, objectsOf } from '../store/journal.ts'
import { apart } from '../store/journal-names.ts'

export interface JournalParts {
  readonly put: (object: JournalObject) => Promise<unknown>
  /** where names are kept, which may be erased one day */
  readonly putNames: (object: JournalObject) => Promise<unknown>
  readonly clock: WallClock
}

/** Messages that cannot be read come again, and so do those of an organisation whose object was not taken. */
export async function keepInJournal(parts: JournalParts, records: readonly SQSRecord[]): Promise<SQSBatchResponse> {
  const read = records.map((record) => ({ record, lines: linesOf(record) }))
  const lots = Map.groupBy(
    read.flatMap(({ lines }) => lines ?? []),
    ({ line }) => line.organisation,
  )
  const outcomes = await Promise.all([...lots].map(async ([of, lines]) => ({ of, isKept: await keep(parts, lines) })))
  const missed = new Set(outcomes.filter(({ isKept }) => !isKept).map(({ of }) => of))
  const left = read.filter(
    ({ lines }) => lines === undefined || lines.some(({ line }) => missed.has(line.organisation)),
  )
  return { batchItemFailures: left.map(({ record: { messageId } }) => ({ itemIdentifier: messageId })) }
}

type LineApart = ReturnType<typeof apart>

function linesOf({ messageId, body }: SQSRecord): LineApart[] | undefined {
  try {
    return linesIn(body).map(apart)
  } catch (error) {
    log('error', 'message not handled', { message: messageId, trouble: describe(error) })
    return undefined
  }
}

/** Names go first: a line whose names are nowhere would read as if they had been erased. */
async function keep({ put, putNames, clock }: JournalParts, lines: readonly LineApart[]): Promise<boolean> {
  try {
    await Promise.all(lines.map(async ({ beside }) => beside && putNames(beside)))
    const all = lines.map(({ line }) => line)
    for (const object of objectsOf(all, clock())) await put(object)
    return true
  } catch (error) {
    log('error', 'message not handled', { organisation: lines[0]?.line.organisation, trouble: describe(error) })
    return false
  }
}
