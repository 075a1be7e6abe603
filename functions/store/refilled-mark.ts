/** The mark of an organisation that is filled from its archive: by which seal, and whether that is done. */
import type { Instant } from '../../shared-domain/calendar.ts'
import { changeIf, isThere } from './change.ts'
import type { OrganisationTable } from './keys.ts'
import { readerOf } from './reading.ts'

interface RefilledMark {
  readonly seal: string
  readonly begunAt: Instant
  /** absent while it is being filled */
  readonly filledAt?: Instant
}

const asMark = readerOf<RefilledMark>('refilled', { seal: 'text', begunAt: 'text', filledAt: ['text', 'absent'] })

async function refilledMarkOf({ table, keys }: OrganisationTable): Promise<RefilledMark | undefined> {
  const item = await table.get(keys.refilled())
  return item === undefined ? undefined : asMark(item)
}

interface Beginning {
  readonly seal: string
  readonly now: Instant
  readonly isEmpty: () => Promise<boolean>
}

/** Begins, or goes on with the archive that was begun with. */
export async function beginToRefill(
  place: OrganisationTable,
  { seal, now, isEmpty }: Beginning,
): Promise<'begun' | 'not empty' | 'filled before'> {
  const { table, keys } = place
  const mark = await refilledMarkOf(place)
  if (mark === undefined) {
    if (!(await isEmpty())) return 'not empty'
    const item = { ...keys.refilled(), entity: 'refilled' as const, seal, begunAt: now }
    return (await table.transact([table.putNew(item)])).done ? 'begun' : 'not empty'
  }
  if (mark.seal !== seal) return 'not empty'
  return mark.filledAt === undefined ? 'begun' : 'filled before'
}

export function noteRefilled({ table, keys }: OrganisationTable, filledAt: Instant): Promise<boolean> {
  return table.update(keys.refilled(), changeIf({ set: { filledAt } }, isThere('pk')))
}
