/** A fact as it is hashed into the tree: with the editions by which a test was judged. */
import type { BenchTest } from '../../shared-domain/bench-test/bench-test.ts'
import type { RecordedFact } from '../../shared-domain/facts.ts'
import type { EditionRecord, EditionRecords, FactRecord } from '../../shared-domain/proof/record.ts'
import { employerPolicyId, type Organisation } from '../store/organisation.ts'

export async function factRecord(organisation: Organisation, stickId: string, fact: RecordedFact): Promise<FactRecord> {
  const editions = await editionsBehind(organisation, fact)
  return { organisation: organisation.name, stickId, fact, ...(editions === undefined ? {} : { editions }) }
}

async function editionsBehind(organisation: Organisation, fact: RecordedFact): Promise<EditionRecords | undefined> {
  if (fact.kind !== 'tested' && fact.kind !== 'judged again') return undefined
  const test = fact.kind === 'tested' ? fact.test : await testJudged(organisation, fact.judges)
  if (test === undefined) return undefined
  const { procedureEdition, instrumentEditions, policyEdition, demonstrationEdition } = fact.pinned
  const { registers } = organisation
  const editions = async (kind: 'procedure' | 'instrument' | 'policy' | 'demonstration', id: string) =>
    (await registers.editions(kind, id)).map(({ edition, body }): EditionRecord => ({ id, edition, body }))
  const [procedures, instruments, policies, demonstrations] = await Promise.all([
    editions('procedure', test.procedureId),
    editions('instrument', test.instrumentId),
    policyEdition === undefined ? [] : editions('policy', employerPolicyId),
    test.demonstrationId === undefined ? [] : editions('demonstration', test.demonstrationId),
  ])
  const policy = policies.find(({ edition }) => edition === policyEdition)
  const demonstration = demonstrations.find(({ edition }) => edition === demonstrationEdition)
  return {
    procedure: procedures.find(({ edition }) => edition === procedureEdition) ?? null,
    instruments: instruments.filter(({ edition }) => instrumentEditions.includes(edition)),
    ...(policy === undefined ? {} : { policy }),
    ...(demonstration === undefined ? {} : { demonstration }),
  }
}

/** The test may have been recorded on another stick, as a slip. */
async function testJudged({ sticks }: Organisation, factId: string): Promise<BenchTest | undefined> {
  const guard = await sticks.guard(factId)
  if (guard?.stickId === undefined || guard.seq === undefined) return undefined
  const fact = await sticks.fact(guard.stickId, guard.seq)
  return fact?.kind === 'tested' ? fact.test : undefined
}
