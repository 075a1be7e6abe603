/** The editions a test was judged by, fetched again. */
import type { Editions } from '../../shared-domain/bench-test/editions.ts'
import type { RecordedFact } from '../../shared-domain/facts.ts'
import type { StickState } from '../../shared-domain/state/state.ts'
import { employerPolicyId, type Organisation } from '../store/organisation.ts'

export type Tested = RecordedFact & { kind: 'tested' }

/** Undefined where one of them is missing, which would be a fault of the table. */
export async function pinnedEditions(
  { registers }: Organisation,
  state: StickState | undefined,
  { test, pinned }: Tested,
): Promise<Editions | undefined> {
  const [procedures, instruments, policies, demonstrations] = await Promise.all([
    registers.editions('procedure', test.procedureId),
    registers.editions('instrument', test.instrumentId),
    pinned.policyEdition === undefined ? [] : registers.editions('policy', employerPolicyId),
    pinned.demonstrationEdition === undefined || test.demonstrationId === undefined
      ? []
      : registers.editions('demonstration', test.demonstrationId),
  ])
  const stick = state?.registrations.find((one) => one.seq === pinned.stickSeq)?.stick
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
