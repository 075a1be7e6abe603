/**
 * An edit loosens where, by the new edition, any stick could read fitter, be due later or be judged more mildly than by
 * the edition it stands in place of. In doubt it loosens. The table for each kind of entry is total by its fields, so
 * that a new field does not compile before somebody has said how it loosens.
 *
 * A new edition stands in place of the one that is in force on its day, also where that day lies back, and until the
 * next edition. The next edition stays and binds from its day as it did, so the new one is compared only with the one
 * it stands in place of. A first entry stands in place of nothing.
 *
 * An entry of a person is about rights, which loosen nothing that a stick is judged by: no way is known for it.
 */
import type { CalendarDate } from '../calendar.ts'
import { inForce } from '../in-force.ts'
import type { EmployerPolicy } from '../policy/policy.ts'
import type { Requirement } from '../policy/requirement.ts'
import type {
  Crew,
  Demonstration,
  Depot,
  Instrument,
  OrganisationEntry,
  Person,
  Procedure,
  Stick,
} from '../registers.ts'
import { waysOfDemonstration, waysOfFirst } from './demonstration.ts'
import { waysOfInstrument } from './instrument.ts'
import { waysOfFirstPolicy, waysOfOrganisation } from './organisation.ts'
import { waysOfPolicy } from './policy.ts'
import { waysOfFirstProcedure, waysOfProcedure } from './procedure.ts'
import { waysOfStick } from './stick.ts'
import type { Dated, Pair, Way } from './way.ts'
import { waysOfClock } from './zones.ts'

interface Editing<Kind extends string, Body> {
  readonly kind: Kind
  readonly id: string
  /** every edition there is under this id, in the order in which they take effect; none where it is new */
  readonly before: readonly Dated<Body>[]
  readonly after: Dated<Body>
}

interface KnowingOthers extends Editing<'procedure', Procedure> {
  /** the organisation's other procedures, those in force or to come */
  readonly known: { readonly others: readonly Procedure[] }
}

interface KnowingWhatIsAsked extends Editing<'stick', Stick> {
  readonly known: {
    /** requirements of every policy in force or to come, opened up */
    readonly requirements: readonly Requirement[]
    /** all procedures in force or to come */
    readonly procedures: readonly Procedure[]
  }
}

interface KnowingToday extends Editing<'depot', Depot> {
  readonly known: { readonly today: CalendarDate }
}

interface KnowingZones extends Editing<'crew', Crew> {
  readonly known: {
    readonly today: CalendarDate
    /** the time zones of each depot, those in force or to come; a depot that is not named leaves it in doubt */
    readonly zones: ReadonlyMap<string, readonly string[]>
  }
}

interface KnowingJurisdiction extends Editing<'policy', EmployerPolicy> {
  /** the packs that the organisation's own entry pins; none where it has no entry */
  readonly known: { readonly pinned: readonly string[] }
}

export type Edit =
  | KnowingJurisdiction
  | Editing<'organisation', OrganisationEntry>
  | Editing<'demonstration', Demonstration>
  | KnowingOthers
  | Editing<'instrument', Instrument>
  | KnowingToday
  | KnowingZones
  | Editing<'person', Person>
  | KnowingWhatIsAsked

/** The ways in which the edit loosens; none where it does not. */
export function waysOfLoosening(edit: Edit): readonly Way[] {
  switch (edit.kind) {
    case 'policy':
      if (edit.before.length === 0) return waysOfFirstPolicy(edit.after.body.packs, edit.known.pinned)
      return ofPair(edit, waysOfPolicy)
    case 'organisation':
      return ofPair(edit, waysOfOrganisation)
    case 'demonstration':
      if (edit.before.length === 0) return waysOfFirst(edit.after.body)
      return ofPair(edit, waysOfDemonstration)
    case 'procedure':
      if (edit.before.length === 0) return waysOfFirstProcedure(edit.after.body, edit.known.others)
      return ofPair(edit, (pair) => waysOfProcedure(pair, edit.known.others))
    case 'instrument':
      return ofPair(edit, (pair) => waysOfInstrument(pair, edit))
    case 'stick':
      return ofPair(edit, (pair) => waysOfStick(pair, { ...edit.known, earlier: edit.before }))
    case 'depot':
      return ofPair(edit, ({ before, after }) =>
        waysOfClock({ before: [before.timeZone], after: [after.timeZone] }, clockOf(edit, '/timeZone')),
      )
    case 'crew':
      return ofPair(edit, ({ before, after }) =>
        before.depotId === after.depotId
          ? []
          : waysOfClock(
              { before: edit.known.zones.get(before.depotId), after: edit.known.zones.get(after.depotId) },
              clockOf(edit, '/depotId'),
            ),
      )
    case 'person':
      return []
  }
}

function clockOf({ after, known }: KnowingToday | KnowingZones, pointer: string) {
  return { from: after.effectiveFrom, today: known.today, pointer }
}

/** The ways in which the new edition is milder than the one it stands in place of. */
function ofPair<Body>(
  { before, after }: Pick<Editing<string, Body>, 'before' | 'after'>,
  ways: (pair: Pair<Body>) => readonly Way[],
): readonly Way[] {
  const displaced = inForce(before, after.effectiveFrom)
  return displaced === undefined ? [] : ways({ before: displaced.body, after: after.body })
}
