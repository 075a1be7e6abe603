/** A bench test of a stick with all that can be said of it, from the stick's own history. */
import { type Account, accountOf } from '../../shared-domain/bench-test/account.ts'
import { type Editions, judgedBy } from '../../shared-domain/bench-test/editions.ts'
import type { CalendarDate } from '../../shared-domain/calendar.ts'
import type { RecordedFact } from '../../shared-domain/facts.ts'
import { inOrder } from '../../shared-domain/state/fold.ts'
import type { StickState } from '../../shared-domain/state/state.ts'
import type { Organisation } from './organisation.ts'
import { pinnedEditions, type Tested } from './pinned.ts'

export interface ToldTest {
  readonly fact: Tested
  readonly account: Account
  /** by which it was judged */
  readonly editions: Editions
}

/** The test of that fact, or without one the newest; undefined where there is none. */
export async function toldTest(
  organisation: Organisation,
  state: StickState,
  facts: readonly RecordedFact[],
  dueOn: CalendarDate | null,
  factId?: string,
): Promise<ToldTest | undefined> {
  const tests = inOrder(facts)
    .map(({ fact }) => fact)
    .filter((fact): fact is Tested => fact.kind === 'tested')
  const index = factId === undefined ? tests.length - 1 : tests.findIndex((one) => one.factId === factId)
  const fact = tests[index]
  if (fact === undefined) return undefined
  const history = await Promise.all(
    tests.slice(0, index + 1).map(async (one) => {
      const editions = await pinnedEditions(organisation, state, one)
      if (editions === undefined) throw new Error(`test ${one.factId}: an edition it was judged by is missing`)
      return { test: one.test, judgement: one.judgement, by: judgedBy(one.test, editions), editions }
    }),
  )
  const editions = history.at(-1)?.editions
  return editions === undefined ? undefined : { fact, account: accountOf(history, dueOn), editions }
}
