/** Reads the journal's bucket, and the names beside it, with the credentials of whoever restores. */
import { addSeconds, type Instant } from '../../shared-domain/calendar.ts'
import { type NamedBucket, type OpenBucket, openBucket } from '../store/bucket.ts'
import { folderOfOrganisations, folderOfSystem, type JournalLine, linesIn, placeInTime } from '../store/journal.ts'
import { keyOfNames, type NamesBeside, readNames } from '../store/journal-names.ts'

/** The clocks of functions differ by less. */
const skewSeconds = 60
const objectsAtOnce = 16

/** Every line that came to the journal since the backup, in no order. An object is named by when it was written. */
export async function journalSince(named: NamedBucket, backupAt: Instant): Promise<JournalLine[]> {
  const bucket = openBucket(named)
  const from = placeInTime(addSeconds(backupAt, -skewSeconds))
  const lines: JournalLine[] = []
  for (const folder of [folderOfSystem, ...(await bucket.folders(folderOfOrganisations))]) {
    const keys = await bucket.keys(folder, `${folder}${from}`)
    for (let i = 0; i < keys.length; i += objectsAtOnce)
      lines.push(...(await linesOf(bucket, keys.slice(i, i + objectsAtOnce))))
  }
  return lines
}

async function linesOf(bucket: OpenBucket, keys: readonly string[]): Promise<JournalLine[]> {
  const texts = await Promise.all(keys.map((key) => bucket.text(key)))
  return texts.flatMap((text) => linesIn(text ?? ''))
}

/** What is left of the names in a line; null where all were erased. */
export type NamesOf = (line: JournalLine) => Promise<NamesBeside | null>

export function namesBeside(named: NamedBucket): NamesOf {
  const bucket = openBucket(named)
  return async (line) => {
    const text = await bucket.text(keyOfNames(line))
    return text === undefined ? null : readNames(text)
  }
}
