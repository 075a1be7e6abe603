/**
 * Tests as they are judged by now. The recorded test stays: a judgement is a fact of its own, of the day it was made,
 * and moves no test in time.
 */
import type { BenchTest } from '../bench-test/bench-test.ts'
import type { Judgement } from '../bench-test/judge.ts'
import type { RecordedFact } from '../facts.ts'
import type { Reason } from '../reason.ts'
import { contentAtPlace } from '../said.ts'

type Tested = RecordedFact & { kind: 'tested' }
type Judged = RecordedFact & { kind: 'judged again' }

/**
 * Every test with the newest of its judgements, and with the checks added by them. Applied to its own answer it changes
 * nothing.
 */
export function asJudgedNow(facts: readonly RecordedFact[]): RecordedFact[] {
  const judgements = facts
    .filter((fact): fact is Judged => fact.kind === 'judged again')
    .sort((one, other) => one.seq - other.seq)
  if (judgements.length === 0) return [...facts]
  return facts.map((fact) =>
    fact.kind === 'tested'
      ? judgements
          .filter(({ judges, seq }) => judges === fact.factId && seq > fact.seq)
          .reduce<Tested>(withJudgement, fact)
      : fact,
  )
}

function withJudgement(tested: Tested, { seq, recordedBy, again, pinned, judgement }: Judged): Tested {
  if (tested.judgedAgain !== undefined && tested.judgedAgain.seq >= seq) return tested
  const test = withChecks(tested.test, again.instrumentChecks)
  return { ...tested, test, pinned, judgement, judgedAgain: { seq, recordedBy } }
}

export function withChecks(test: BenchTest, added: BenchTest['instrumentChecks'] = []): BenchTest {
  return { ...test, instrumentChecks: [...test.instrumentChecks, ...added] }
}

/**
 * Reasons why a judgement is not taken; none where it is. A failure was measured in a way that could be trusted then.
 * Judging it milder is a correction, which a second person has to approve, and no matter of one check more.
 */
export function againstJudging(before: Judgement, after: Judgement, checksAdded: boolean): Reason[] {
  if (severity(after) < severity(before)) {
    return [{ code: 'failure-stands', says: { is: 'failure stands' } }]
  }
  if (checksAdded || !isSame(before, after)) return []
  return [{ code: 'nothing-new', says: { is: 'nothing new' } }]
}

/** Only an electrical failure beyond the instrument's uncertainty counts toward removal for good. */
export function severity({ verdict, cause, inGuardBand, removesOnlyAfter }: Judgement): number {
  if (verdict !== 'fail') return 0
  if (cause !== 'electrical') return 1
  if (inGuardBand) return 2
  return removesOnlyAfter === undefined ? 4 : 3
}

function isSame(one: Judgement, other: Judgement): boolean {
  const said = ({ verdict, cause, reasons, asNew, removesOnlyAfter }: Judgement) =>
    JSON.stringify([
      verdict,
      cause,
      asNew === true,
      removesOnlyAfter,
      reasons.map((one) => [one.code, contentAtPlace(one)]),
    ])
  return said(one) === said(other)
}
