/** Proves that every stored state is the replay of its facts, and every stored verdict what its pinned editions say. */
import { isDeepStrictEqual } from 'node:util'
import { judgeByEditions } from '../../shared-domain/bench-test/editions.ts'
import type { RecordedFact } from '../../shared-domain/facts.ts'
import { replay } from '../../shared-domain/state/fold.ts'
import type { StickState } from '../../shared-domain/state/state.ts'
import { employerPolicyId, type Organisation } from '../platform/organisation.ts'

export interface Proof {
  readonly stickId: string
  readonly facts: number
  /** what does not hold, in words; empty when all does */
  readonly faults: readonly string[]
}

export async function proveStick(organisation: Organisation, stickId: string): Promise<Proof> {
  const [stored, facts] = await Promise.all([organisation.sticks.stored(stickId), organisation.sticks.facts(stickId)])
  const faults: string[] = []
  if (stored === undefined) faults.push('facts without a state')
  else if (!same(stored.state, replay(facts))) faults.push('the stored state is not the replay of its facts')
  facts.forEach((fact, i) => {
    if (fact.seq !== i + 1) faults.push(`fact ${i + 1} is missing`)
  })
  for (const fact of facts) {
    if (fact.kind === 'tested') faults.push(...(await proveVerdict(organisation, stored?.state, fact)))
  }
  return { stickId, facts: facts.length, faults }
}

async function proveVerdict(
  organisation: Organisation,
  state: StickState | undefined,
  { test, pinned, judgement, factId }: RecordedFact & { kind: 'tested' },
): Promise<string[]> {
  const stick = state?.registrations.find((one) => one.seq === pinned.stickSeq)?.stick
  const procedures = await organisation.registers.editions('procedure', test.procedureId)
  const instruments = await organisation.registers.editions('instrument', test.instrumentId)
  const procedure = procedures.find((one) => one.edition === pinned.procedureEdition)?.body
  const known = instruments.filter((one) => pinned.instrumentEditions.includes(one.edition))
  if (stick === undefined || procedure === undefined || known.length !== pinned.instrumentEditions.length) {
    return [`test ${factId}: an edition it was judged by is missing`]
  }
  const policies =
    pinned.policyEdition === undefined ? [] : await organisation.registers.editions('policy', employerPolicyId)
  const policy = policies.find((one) => one.edition === pinned.policyEdition)?.body
  const again = judgeByEditions(test, { stick, procedure, instruments: known, policy })
  return same(again, judgement)
    ? []
    : [`test ${factId}: judged again it is ${again.verdict}, stored as ${judgement.verdict}`]
}

/** Equal once written down: an absent value and one left out are the same fact. */
function same(a: unknown, b: unknown): boolean {
  return isDeepStrictEqual(JSON.parse(JSON.stringify(a)), JSON.parse(JSON.stringify(b)))
}
