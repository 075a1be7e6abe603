/** Imports, as those who may send files see them. */
import type { CalendarDate } from '../../shared-domain/calendar.ts'
import type { Import } from '../../shared-domain/import/import.ts'
import { hasBegun, hasEnded, rightsOf } from '../../shared-domain/people.ts'
import { mayAtAll } from '../../shared-domain/rights.ts'
import { notFound } from '../ground/errors.ts'
import { importOf, newestImports, type StoredImport } from '../store/imports.ts'
import type { Organisation } from '../store/organisation.ts'
import type { Asker } from './asker.ts'
import type { Caller } from './identity.ts'
import { checkRole } from './rights.ts'

/** Nobody looks for older ones: their files are gone. */
const mostShown = 50

/** A file of people names who may do what, and is shown to those who may read that. */
const sees = ({ caller }: Asker, { by, kind }: Pick<Import, 'by' | 'kind'>) =>
  kind !== 'people' || by === caller.personId || mayAtAll(caller.role, 'read people')

export async function importsFor(asker: Asker): Promise<StoredImport[]> {
  checkRole(asker.caller, 'import')
  return (await newestImports(asker.organisation, mostShown)).filter((one) => sees(asker, one))
}

export async function importFor(asker: Asker, id: string): Promise<StoredImport> {
  checkRole(asker.caller, 'import')
  const found = await importOf(asker.organisation, id)
  if (found === undefined || !sees(asker, found))
    throw notFound({ is: 'none: name', name: JSON.stringify(id), things: 'imports' })
  return found
}

/** The sender of a file, with the rights that they have by now; undefined where they are here no more. */
export async function senderOf(
  organisation: Organisation,
  personId: string,
  today: CalendarDate,
): Promise<Caller | undefined> {
  const entry = await organisation.registers.inForce('person', personId, today)
  if (entry === undefined || !hasBegun(entry, today) || hasEnded(entry.body, today)) return undefined
  return { personId, ...rightsOf(entry.body) }
}
