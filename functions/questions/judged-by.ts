/** Which tests were judged by an edition of an entry, as they are known by now: a stick at a time. */
import { type CalendarDate, type Instant, localDateAt } from '../../shared-domain/calendar.ts'
import type { EditionCorrection } from '../../shared-domain/fact-bodies.ts'
import type { Pinned, RecordedFact } from '../../shared-domain/facts.ts'
import { asKnownNow } from '../../shared-domain/state/known-now.ts'
import type { Organisation } from '../store/organisation.ts'
import type { Tested } from './pinned.ts'

type Named = EditionCorrection['corrects']

export interface JudgedStick {
  readonly stickId: string
  /** its whole history */
  readonly facts: readonly RecordedFact[]
  /** of it the tests that were judged by that edition */
  readonly tests: readonly Tested[]
}

const wasBy: { readonly [register in Named['register']]: (one: Named) => (fact: Tested) => boolean } = {
  instrument:
    ({ id, edition }) =>
    ({ test, pinned }) =>
      test.instrumentId === id && pinned.instrumentEditions.includes(edition),
  procedure:
    ({ id, edition }) =>
    ({ test, pinned }) =>
      test.procedureId === id && pinned.procedureEdition === edition,
  demonstration:
    ({ id, edition }) =>
    ({ test, pinned }) =>
      test.demonstrationId === id && pinned.demonstrationEdition === edition,
  policy:
    ({ edition }) =>
    ({ pinned }: { readonly pinned: Pinned }) =>
      pinned.policyEdition === edition,
}

/** Sticks are found by the instruments that they were tested with. */
export async function* judgedBy(
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
    const tests = known.filter(wasBy[named.register](named))
    if (tests.length > 0) yield { stickId, facts, tests }
  }
}
