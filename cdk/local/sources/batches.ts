/** One batch of stream records, from the first try to its end: partial failures, halving, retries, giving up. */
import { setTimeout as pause } from 'node:timers/promises'
import type { DynamoDBRecord } from 'aws-lambda'
import type { RunResult } from '../functions/worker.ts'

export type StreamRecord = DynamoDBRecord & { readonly dynamodb: { readonly SequenceNumber: string } }

export interface BatchRules {
  readonly invoke: (records: readonly StreamRecord[]) => Promise<RunResult>
  readonly giveUp: (
    records: readonly StreamRecord[],
    why: 'RetryAttemptsExhausted' | 'RecordAgeExceeded',
  ) => Promise<void>
  readonly reportsItems: boolean
  readonly halves: boolean
  /** the tries after the first one; −1 is for ever */
  readonly mostRetries: number
  readonly tooOld: (record: StreamRecord) => boolean
}

/** The promise resolves when every record is taken or given up. Nothing behind the batch is read before. */
export async function handleBatch(records: readonly StreamRecord[], rules: BatchRules, tries = 0): Promise<void> {
  const fresh = await withoutOld(records, rules)
  if (fresh.length === 0) return
  const outcome = await rules.invoke(fresh)
  const left = unhandled(fresh, outcome, rules.reportsItems)
  if (left.length === 0) return
  if (left.length === fresh.length && !outcome.ok && rules.halves && fresh.length > 1) return halve(fresh, rules)
  if (rules.mostRetries >= 0 && tries >= rules.mostRetries) return rules.giveUp(left, 'RetryAttemptsExhausted')
  await pause(Math.min(20 * 2 ** tries, 1000))
  return handleBatch(left, rules, tries + 1)
}

/** Halving counts as no retry. */
async function halve(records: readonly StreamRecord[], rules: BatchRules): Promise<void> {
  const middle = Math.ceil(records.length / 2)
  await handleBatch(records.slice(0, middle), rules)
  await handleBatch(records.slice(middle), rules)
}

async function withoutOld(records: readonly StreamRecord[], rules: BatchRules): Promise<readonly StreamRecord[]> {
  const old = records.filter(rules.tooOld)
  if (old.length === 0) return records
  await rules.giveUp(old, 'RecordAgeExceeded')
  return records.filter((record) => !old.includes(record))
}

/**
 * The records to try again: the first one reported as failed and all behind it, whatever became of those. A report that
 * names no record of the batch fails the whole batch. An empty report is success, and so is none.
 */
function unhandled(
  records: readonly StreamRecord[],
  outcome: RunResult,
  reportsItems: boolean,
): readonly StreamRecord[] {
  if (!outcome.ok) return records
  if (!reportsItems) return []
  const failures = (JSON.parse(outcome.payload) as { batchItemFailures?: { itemIdentifier?: unknown }[] } | null)
    ?.batchItemFailures
  if (!Array.isArray(failures) || failures.length === 0) return []
  const places = failures.map(({ itemIdentifier }) =>
    records.findIndex(({ dynamodb }) => dynamodb.SequenceNumber === itemIdentifier),
  )
  const first = Math.min(...places)
  return records.slice(Math.max(first, 0))
}
