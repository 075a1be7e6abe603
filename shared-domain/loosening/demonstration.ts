/** An entry of what the employer demonstrates loosens by being there at all, since tests rest on it. */
import type { Demonstration } from '../registers.ts'
import { type FieldRow, type Milder, never, type Pair, row, type Way, waysBy } from './way.ts'

export function waysOfFirst({ kind, by, grounds }: Demonstration): readonly Way[] {
  return [{ code: 'demonstration-relied-on', says: { is: `demonstration relied on, ${kind}`, by, grounds } }]
}

export const waysOfDemonstration = (edit: Pair<Demonstration>): readonly Way[] => waysBy(fields, edit)

const fields: { readonly [field in keyof Demonstration]-?: FieldRow<Demonstration> } = {
  kind: row(
    'other-demonstration',
    ({ before, after }) => before.kind !== after.kind,
    ({ before, after }) => ({ is: 'other demonstration', from: before.kind, to: after.kind }),
  ),
  by: never,
  grounds: row(
    'other-grounds',
    ({ before, after }) => before.grounds !== after.grounds,
    ({ before, after }) => ({ is: 'other grounds', from: before.grounds, to: after.grounds }),
  ),
  until: ({ before: { until: from }, after: { until: to } }) => {
    if (from === undefined || (to !== undefined && to <= from)) return []
    const says: Milder =
      to === undefined ? { is: 'demonstration without an end', from } : { is: 'demonstration lengthened', from, to }
    return [{ code: 'demonstration-lengthened', says }]
  },
  effectiveFrom: never,
}
