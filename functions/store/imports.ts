/** Imports in the table: each is one item, written anew with every step, and how columns were understood. */

import type { Instant } from '../../shared-domain/calendar.ts'
import type { ImportKind, LengthUnit } from '../../shared-domain/import/choices.ts'
import type { Import } from '../../shared-domain/import/import.ts'
import { is, isNew, onlyIf } from './change.ts'
import type { OrganisationTable } from './keys.ts'
import { readEach, readerOf } from './reading.ts'
import { importsQueue } from './table-shape.ts'

export interface StoredImport extends Import {
  /** rises with every write, so that of two who go on with it one stops */
  readonly revision: number
}

const asImport = readerOf<StoredImport>('import', {
  id: 'text',
  kind: 'text',
  mode: 'text',
  goodOnly: 'flag',
  by: 'text',
  at: 'text',
  state: 'text',
  said: 'map',
  questions: 'list',
  looked: ['map', 'null'],
  counts: 'map',
  page: 'number',
  faults: 'list',
  refused: ['map', 'null'],
  rest: 'list',
  revision: 'number',
})

export async function importOf({ table, keys }: OrganisationTable, id: string): Promise<StoredImport | undefined> {
  const item = await table.get(keys.import(id))
  return item === undefined ? undefined : asImport(item)
}

/** The newest first; their numbers begin with when they came. */
export async function newestImports({ table, keys }: OrganisationTable, limit: number): Promise<StoredImport[]> {
  const { items } = await table.page({ partition: ['pk', keys.imports()], descending: true, limit })
  return readEach(items, asImport)
}

interface Keeping {
  readonly import: Import
  /** the revision that it was read with; nought for a new one */
  readonly revision: number
  /** hands it on to whoever goes on with it */
  readonly goesOn?: { readonly at: Instant }
}

/** Answers the new revision; undefined where somebody else wrote it meanwhile. */
export async function keepImport(
  { table, keys }: OrganisationTable,
  { import: one, revision, goesOn }: Keeping,
): Promise<number | undefined> {
  // an item that was read names the queue that it once waited in
  const { queue: _, queueAt: __, ...own } = one as Import & { readonly queue?: unknown; readonly queueAt?: unknown }
  const item = {
    ...keys.import(one.id),
    entity: 'import' as const,
    ...own,
    revision: revision + 1,
    ...(goesOn === undefined ? {} : { queue: importsQueue, queueAt: goesOn.at }),
  }
  const condition = revision === 0 ? isNew : is('revision', revision)
  const { done } = await table.transact([table.put(item, onlyIf(condition))])
  return done ? revision + 1 : undefined
}

/** The meaning that somebody gave each heading in files of a kind. */
export interface RememberedMapping {
  readonly fields: Readonly<Record<string, string | null>>
  readonly units: Readonly<Record<string, LengthUnit | undefined>>
}

const asMapping = readerOf<RememberedMapping>('import mapping', { fields: 'map', units: 'map' })

export async function rememberedMapping(
  { table, keys }: OrganisationTable,
  kind: ImportKind,
): Promise<RememberedMapping | undefined> {
  const item = await table.get(keys.importMapping(kind))
  return item === undefined ? undefined : asMapping(item)
}

export async function rememberMapping(
  { table, keys }: OrganisationTable,
  kind: ImportKind,
  mapping: RememberedMapping,
): Promise<void> {
  await table.transact([table.put({ ...keys.importMapping(kind), entity: 'import mapping', ...mapping })])
}
