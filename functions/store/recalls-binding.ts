/** All recalls that bind, in one item, so that every read of the rules takes them in with one get. */
import type { Recall } from '../../shared-domain/recall/recall.ts'
import type { OrganisationTable } from './keys.ts'
import { readerOf } from './reading.ts'

/** A recall as it binds, without what the register of instruments says since. */
export type BindingRecall = Omit<Recall, 'goodAgainOn'>

const asBinding = readerOf<{ readonly version: number; readonly recalls: readonly BindingRecall[] }>(
  'recalls binding',
  {
    version: 'number',
    recalls: 'list',
  },
)

export interface AllBinding {
  readonly version: number
  readonly recalls: readonly BindingRecall[]
}

/** Every recall that binds; a table of an earlier build has none. */
export async function recallsBinding({ table, keys }: OrganisationTable): Promise<AllBinding> {
  const item = await table.get(keys.recallsBinding())
  return item === undefined ? { version: 0, recalls: [] } : asBinding(item)
}
