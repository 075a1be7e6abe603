/** Addresses to which nothing is sent until a manager clears the mark on them. */
import { type AddressMark, marksOf } from '../store/marked-addresses.ts'
import type { Asker } from './asker.ts'
import { checkRole } from './rights.ts'

export type MarkedAddress = AddressMark

/** Marked addresses, in their order. */
export async function markedAddressesFor({ organisation, caller }: Asker): Promise<readonly MarkedAddress[]> {
  checkRole(caller, 'keep addresses')
  return marksOf(organisation)
}
