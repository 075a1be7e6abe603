/** An edit of the organisation's own entry loosens by leaving a rule pack that binds where it works. */
import type { OrganisationEntry } from '../registers.ts'
import { type FieldRow, never, type Pair, type Way, waysBy } from './way.ts'

export const waysOfOrganisation = (edit: Pair<OrganisationEntry>): readonly Way[] => waysBy(fields, edit)

const fields: { readonly [field in keyof OrganisationEntry]-?: FieldRow<OrganisationEntry> } = {
  name: never,
  packs: ({ before, after }) =>
    before.packs
      .filter((id) => !after.packs.includes(id))
      .map((pack) => ({ code: 'pack-left', says: { is: 'pack left', pack } })),
  effectiveFrom: never,
}

/** A first policy loosens where it leaves out a pinned pack. A later policy is told by what it drops. */
export function waysOfFirstPolicy(packs: readonly string[], pinned: readonly string[]): readonly Way[] {
  return pinned
    .filter((id) => !packs.includes(id))
    .map((pack) => ({ code: 'pack-dropped', says: { is: 'pinned pack dropped', pack }, pointer: '/packs' }))
}
