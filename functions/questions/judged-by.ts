/** Tests that are judged by an entry, as they are known by now: a stick at a time. */
import { type CalendarDate, type Instant, localDateAt } from '../../shared-domain/calendar.ts'
import type { EditionCorrection } from '../../shared-domain/fact-bodies.ts'
import type { Pinned, RecordedFact } from '../../shared-domain/facts.ts'
import { asKnownNow } from '../../shared-domain/state/known-now.ts'
import type { Organisation } from '../store/organisation.ts'
import type { Tested } from '../store/sticks.ts'

type Named = EditionCorrection['corrects']

export interface JudgedStick {
  readonly stickId: string
  /** the stick's whole history */
  readonly facts: readonly RecordedFact[]
  /** the tests in it that are judged by the entry */
  readonly tests: readonly Tested[]
}

/**
 * All tests by the entry count, not those alone that name the slip: an edition that stands from another day, or a
 * policy that had no say before, judges other tests than the slip did.
 */
const isBy: { readonly [register in Named['register']]: (one: Named) => (fact: Tested) => boolean } = {
  instrument:
    ({ id }) =>
    ({ test }) =>
      test.instrumentId === id,
  procedure:
    ({ id }) =>
    ({ test }) =>
      test.procedureId === id,
  demonstration:
    ({ id }) =>
    ({ test }) =>
      test.demonstrationId === id,
  policy: () => () => true,
}

/** Answers whether a test names the slip among the editions it was judged by. */
export function isPinned({ register, edition }: Named, { pinned }: { readonly pinned: Pinned }): boolean {
  const of = {
    instrument: pinned.instrumentEditions,
    procedure: [pinned.procedureEdition],
    demonstration: [pinned.demonstrationEdition],
    policy: [pinned.policyEdition],
  }
  return of[register].includes(edition)
}

/** Sticks are found by the instruments that they were tested with. */
export async function* testsJudgedBy(
  { registers, sticks }: Organisation,
  named: Named,
  now: Instant,
): AsyncGenerator<JudgedStick> {
  const today: CalendarDate = localDateAt(now, 'UTC')
  const instruments =
    named.register === 'instrument' ? [named.id] : (await registers.allInForce('instrument', today)).map(({ id }) => id)
  const ids = [...(await sticks.newestTests(instruments)).keys()].sort()
  for (const stickId of ids) {
    const facts = await sticks.facts(stickId)
    const known = asKnownNow(facts).filter((fact) => fact.kind === 'tested')
    const tests = known.filter(isBy[named.register](named))
    if (tests.length > 0) yield { stickId, facts, tests }
  }
}
