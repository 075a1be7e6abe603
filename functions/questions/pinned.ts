/** The editions a test was judged by, fetched again. */
import type { Editions } from '../../shared-domain/bench-test/editions.ts'
import type { RecordedFact } from '../../shared-domain/facts.ts'
import type { Stick } from '../../shared-domain/registers.ts'
import { employerPolicyId, type Organisation } from '../store/organisation.ts'
import type { Tested } from '../store/sticks.ts'

/** The entry of a stick that is one of its facts, be it a slip by now. */
export function entryAmong(facts: readonly RecordedFact[]): (seq: number) => Stick | undefined {
  return (seq) => facts.flatMap((fact) => (fact.kind === 'registered' && fact.seq === seq ? [fact.stick] : []))[0]
}

/** Answers the editions; undefined where one of them is missing, which would be a fault of the table. */
export async function pinnedEditions(
  { registers }: Organisation,
  stickAt: (seq: number) => Stick | undefined | Promise<Stick | undefined>,
  { test, pinned }: Tested,
): Promise<Editions | undefined> {
  const [stick, procedures, instruments, policies, demonstrations] = await Promise.all([
    stickAt(pinned.stickSeq),
    registers.editions('procedure', test.procedureId),
    registers.editions('instrument', test.instrumentId),
    pinned.policyEdition === undefined ? [] : registers.editions('policy', employerPolicyId),
    pinned.demonstrationEdition === undefined || test.demonstrationId === undefined
      ? []
      : registers.editions('demonstration', test.demonstrationId),
  ])
  const procedure = procedures.find((one) => one.edition === pinned.procedureEdition)?.body
  const known = instruments.filter((one) => pinned.instrumentEditions.includes(one.edition))
  const policy = policies.find((one) => one.edition === pinned.policyEdition)?.body
  const demonstration = demonstrations.find((one) => one.edition === pinned.demonstrationEdition)?.body
  if (pinned.policyEdition !== undefined && policy === undefined) return undefined
  if (pinned.demonstrationEdition !== undefined && demonstration === undefined) return undefined
  if (stick === undefined || procedure === undefined || known.length !== pinned.instrumentEditions.length)
    return undefined
  return {
    stick,
    procedure,
    instruments: known,
    policy,
    demonstration,
  }
}
