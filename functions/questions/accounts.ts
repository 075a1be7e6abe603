/** A bench test of a stick with all that can be said of it, from the stick's own history. */
import { type Analysis, analysisOf } from '../../shared-domain/bench-test/analysis.ts'
import { type Editions, judgedBy } from '../../shared-domain/bench-test/editions.ts'
import type { CalendarDate, Instant } from '../../shared-domain/calendar.ts'
import type { RecordedFact } from '../../shared-domain/facts.ts'
import { asJudgedNow } from '../../shared-domain/state/judged-again.ts'
import { type CorrectedFact, correctionsBySlip } from '../../shared-domain/state/known-now.ts'
import { inOrder } from '../../shared-domain/state/when.ts'
import type { Verdict } from '../../shared-domain/words.ts'
import type { Organisation } from '../store/organisation.ts'
import type { Tested } from '../store/sticks.ts'
import { entryAmong, pinnedEditions } from './pinned.ts'

export interface ToldTest {
  /** the test as it is judged by now */
  readonly fact: Tested
  readonly analysis: Analysis
  /** the editions by which it was judged */
  readonly editions: Editions
  /** every verdict that the test ever had, the first one first */
  readonly judgements: readonly ToldJudgement[]
  /** the correction that says that the test was a slip */
  readonly corrected?: CorrectedFact
}

export interface ToldJudgement {
  readonly recordedAt: Instant
  readonly recordedBy: string
  /** the reason why it was judged again; null of the first verdict */
  readonly reason: string | null
  readonly verdict: Verdict
}

interface Tests {
  readonly facts: readonly RecordedFact[]
  readonly dueOn: CalendarDate | null
}

/** The test with this id, or without an id the newest; undefined where there is none. */
export async function toldTest(
  organisation: Organisation,
  { facts, dueOn }: Tests,
  factId?: string,
): Promise<ToldTest | undefined> {
  const slips = correctionsBySlip(facts)
  // a slip is told where it is asked for by name, and is no part of what is told of others
  const toldOf = asJudgedNow(facts).filter((fact) => !slips.has(fact.factId) || fact.factId === factId)
  const tests = inOrder(toldOf)
    .map(({ fact }) => fact)
    .filter((fact): fact is Tested => fact.kind === 'tested')
  const index = factId === undefined ? tests.length - 1 : tests.findIndex((one) => one.factId === factId)
  const fact = tests[index]
  if (fact === undefined) return undefined
  const history = await Promise.all(
    tests.slice(0, index + 1).map(async (one) => {
      const editions = await pinnedEditions(organisation, entryAmong(facts), one)
      if (editions === undefined) throw new Error(`test ${one.factId}: an edition it was judged by is missing`)
      return { test: one.test, judgement: one.judgement, by: judgedBy(one.test, editions), editions }
    }),
  )
  const editions = history.at(-1)?.editions
  if (editions === undefined) return undefined
  const judgements = judgementsOf(fact.factId, facts)
  const corrected = slips.get(fact.factId)
  return { fact, analysis: analysisOf(history, dueOn), editions, judgements, ...(corrected && { corrected }) }
}

function judgementsOf(factId: string, facts: readonly RecordedFact[]): ToldJudgement[] {
  return [...facts]
    .sort((a, b) => a.seq - b.seq)
    .flatMap((fact): ToldJudgement[] => {
      const { recordedAt, recordedBy } = fact
      if (fact.kind === 'tested' && fact.factId === factId)
        return [{ recordedAt, recordedBy, reason: null, verdict: fact.judgement.verdict }]
      if (fact.kind === 'judged again' && fact.judges === factId)
        return [{ recordedAt, recordedBy, reason: fact.again.reason, verdict: fact.judgement.verdict }]
      return []
    })
}
