/** Proves that every stored state is the replay of its facts, and every stored verdict what its pinned editions say. */
import { isDeepStrictEqual } from 'node:util'
import { judgeOnOtherStick } from '../../shared-domain/bench-test/editions.ts'
import { measuredIn } from '../../shared-domain/bench-test/measuring.ts'
import { undone } from '../../shared-domain/correcting.ts'
import type { RecordedFact } from '../../shared-domain/facts.ts'
import { shapeOfState } from '../../shared-domain/shape-of-state.ts'
import { replay } from '../../shared-domain/state/fold.ts'
import { asJudgedNow } from '../../shared-domain/state/judged-again.ts'
import type { CorrectedFact } from '../../shared-domain/state/known-now.ts'
import { entryAmong, pinnedEditions } from '../questions/pinned.ts'
import type { Organisation } from '../store/organisation.ts'
import type { Tested } from '../store/sticks.ts'

export interface Proof {
  readonly stickId: string
  readonly facts: number
  /** faults in words; empty when all holds */
  readonly faults: readonly string[]
}

export async function proveStick(organisation: Organisation, stickId: string): Promise<Proof> {
  const [stored, facts] = await Promise.all([organisation.sticks.stored(stickId), organisation.sticks.facts(stickId)])
  const faults: string[] = []
  if (stored === undefined) faults.push('facts without a state')
  // a state that an earlier build folded is folded anew before anybody goes by it
  else if (stored.shape === shapeOfState && !same(stored.state, replay(facts, stickId)))
    faults.push('the stored state is not the replay of its facts')
  facts.forEach((fact, i) => {
    if (fact.seq !== i + 1) faults.push(`fact ${i + 1} is missing`)
  })
  for (const fact of facts) {
    if (fact.kind === 'corrected') faults.push(...proveCorrection(fact, facts))
    for (const test of judgedIn(fact, facts)) faults.push(...(await proveVerdict(organisation, facts, test)))
  }
  return { stickId, facts: facts.length, faults }
}

/**
 * Proves of a correction that it corrects one fact of the stick that was recorded before it, alone, and says what it
 * undid.
 */
function proveCorrection(correction: CorrectedFact, facts: readonly RecordedFact[]): string[] {
  const { factId, corrects, seq, undoes } = correction
  const name = `correction ${factId}`
  const slip = facts.find((fact) => fact.factId === corrects)
  const others = facts.filter((fact) => fact.kind === 'corrected' && fact.corrects === corrects)
  const follows = (fact: RecordedFact) =>
    fact.standsFor?.factId === corrects || (fact.kind === 'judged again' && fact.because === factId)
  const before = facts.filter((fact) => fact.seq < seq)
  const by = facts.filter((fact) => fact.seq >= seq && (fact.seq === seq || follows(fact)))
  return [
    ...(slip !== undefined && slip.seq < seq ? [] : [`${name}: what it corrects is missing`]),
    ...(others.length === 1 ? [] : [`${name}: what it corrects was corrected before`]),
    ...(undone(replay(before), replay([...before, ...by])) === undoes
      ? []
      : [`${name}: it does not say what it undid`]),
  ]
}

/**
 * The test as this fact judged it, with the checks known by then; a judgement of no test judges nothing, and is a
 * fault.
 */
function judgedIn(fact: RecordedFact, facts: readonly RecordedFact[]): (Tested | string)[] {
  if (fact.kind === 'tested') return [fact]
  if (fact.kind !== 'judged again') return []
  const byThen = asJudgedNow(facts.filter(({ seq }) => seq <= fact.seq))
  const test = byThen.find((one): one is Tested => one.kind === 'tested' && one.factId === fact.judges)
  return [test ?? `judgement ${fact.factId}: the test it judges is missing`]
}

async function proveVerdict(
  organisation: Organisation,
  facts: readonly RecordedFact[],
  fact: Tested | string,
): Promise<string[]> {
  if (typeof fact === 'string') return [fact]
  const { test, judgement, factId } = fact
  const editions = await pinnedEditions(organisation, entryAmong(facts), fact)
  if (editions === undefined) return [`test ${factId}: an edition it was judged by is missing`]
  const again = judgeOnOtherStick(test, editions)
  const { measured } = fact.pinned
  return [
    ...(same(again, judgement)
      ? []
      : [`test ${factId}: judged again it is ${again.verdict}, stored as ${judgement.verdict}`]),
    // earlier builds kept none
    ...(measured === undefined || same(measured, measuredIn(test, editions))
      ? []
      : [`test ${factId}: its highest readings are not those that are kept with its verdict`]),
  ]
}

/** Answers whether two values are equal once written down: an absent value and one left out are the same fact. */
function same(a: unknown, b: unknown): boolean {
  return isDeepStrictEqual(JSON.parse(JSON.stringify(a)), JSON.parse(JSON.stringify(b)))
}
