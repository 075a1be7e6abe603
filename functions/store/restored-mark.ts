/**
 * The mark of a table that was filled from a backup: how far that is, and whether mail waits for a person. Whoever
 * sends reads it first.
 */
import type { Instant } from '../../shared-domain/calendar.ts'
import { changeIf, is, isAbsent, isThere } from './change.ts'
import { restoredMark } from './keys.ts'
import { readerOf } from './reading.ts'
import type { Table } from './table.ts'

interface RestoredMark {
  /** the backup that the table is filled from */
  readonly backupAt: Instant
  readonly pausedSince?: Instant
  /** absent while the table is being filled */
  readonly filledAt?: Instant
}

const asMark = readerOf<RestoredMark>('restored', {
  backupAt: 'text',
  pausedSince: ['text', 'absent'],
  filledAt: ['text', 'absent'],
})

export async function restoredMarkOf(table: Table): Promise<RestoredMark | undefined> {
  const item = await table.get(restoredMark)
  return item === undefined ? undefined : asMark(item)
}

/** Mail waits from before the first item is filled in until a person lets it go on. */
export async function isMailPaused(table: Table): Promise<boolean> {
  return (await restoredMarkOf(table))?.pausedSince !== undefined
}

/**
 * Pauses mail before the first item is filled in, and answers since when it is: begun again, that of the first time.
 * Undefined where the table was filled before: what lies there may be newer than the journal that is at hand.
 */
export async function beginToFill(table: Table, backupAt: Instant, now: Instant): Promise<Instant | undefined> {
  const set = { entity: 'restored', backupAt, pausedSince: now }
  if (await table.update(restoredMark, changeIf({ set }, isAbsent('pk')))) return now
  const mark = await restoredMarkOf(table)
  return mark?.filledAt === undefined && mark?.backupAt === backupAt ? mark.pausedSince : undefined
}

export function noteFilled(table: Table, filledAt: Instant): Promise<boolean> {
  return table.update(restoredMark, changeIf({ set: { filledAt } }, isThere('pk')))
}

/** False where mail was not paused, or the table is not filled yet. */
export function letMailGoOn(table: Table): Promise<boolean> {
  return table.update(
    restoredMark,
    changeIf({ remove: ['pausedSince'] }, isThere('pausedSince'), isThere('filledAt'), is('entity', 'restored')),
  )
}
