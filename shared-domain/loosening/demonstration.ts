/** An entry of what the employer demonstrates loosens by being there at all, since tests rest on it. */
import type { Demonstration } from '../registers.ts'
import { type FieldRow, never, type Pair, row, type Way, waysBy } from './way.ts'

export function waysOfFirst({ kind, by, grounds }: Demonstration): readonly Way[] {
  const text = `Tests may rest on a demonstration (${kind}), by ${by}: ${grounds}.`
  return [{ code: 'demonstration-relied-on', text }]
}

export const waysOfDemonstration = (edit: Pair<Demonstration>): readonly Way[] => waysBy(fields, edit)

const fields: { readonly [field in keyof Demonstration]-?: FieldRow<Demonstration> } = {
  kind: row(
    'other-demonstration',
    ({ before, after }) => before.kind !== after.kind,
    ({ before, after }) => `It is to show ${after.kind} instead of ${before.kind}.`,
  ),
  by: never,
  grounds: row(
    'other-grounds',
    ({ before, after }) => before.grounds !== after.grounds,
    ({ before, after }) => `Its grounds are “${after.grounds}” instead of “${before.grounds}”.`,
  ),
  until: row(
    'demonstration-lengthened',
    ({ before: { until: was }, after: { until: is } }) => was !== undefined && (is === undefined || is > was),
    ({ before, after }) => `It counts ${untilInWords(after)}; it was ${untilInWords(before)}.`,
  ),
  effectiveFrom: never,
}

const untilInWords = ({ until }: Demonstration) => (until === undefined ? 'without an end' : `until ${until}`)
