/** Edits of owners come one after the other: of two who step down in one moment each would count on the other. */
import { is, isNew, onlyIf } from './change.ts'
import type { Organisation } from './organisation.ts'
import { readerOf } from './reading.ts'
import type { Write } from './table.ts'

const asOwners = readerOf<{ readonly version: number }>('owners', { version: 'number' })

/** The write fails where an owner's entry was edited after this was asked. */
export async function ownersAsTheyAre({ table, keys }: Organisation): Promise<Write> {
  const item = await table.get(keys.owners())
  const version = item === undefined ? 0 : asOwners(item).version
  return table.put(
    { ...keys.owners(), entity: 'owners', version: version + 1 },
    onlyIf(item === undefined ? isNew : is('version', version)),
  )
}

/** The write fails where an owner was ever entered. */
export function firstOwnersWrite({ table, keys }: Organisation): Write {
  return table.putNew({ ...keys.owners(), entity: 'owners', version: 1 })
}
