/** Look-ups for the questions about likely slips in a fact that nobody has recorded yet. Nothing is decided here. */
import { judgedBy } from '../../shared-domain/bench-test/editions.ts'
import { isCalendarDate } from '../../shared-domain/calendar.ts'
import type { RecordedFact } from '../../shared-domain/facts.ts'
import { may } from '../../shared-domain/rights.ts'
import { earlierTests } from '../../shared-domain/slips/earlier-tests.ts'
import { isBenchWork, liesAtBench, likeNumbers } from '../../shared-domain/slips/numbers.ts'
import type { Question, Tests } from '../../shared-domain/slips/question.ts'
import { questionsAbout } from '../../shared-domain/slips/slips.ts'
import { registrationOn } from '../../shared-domain/state/state.ts'
import { pinnedEditions } from '../questions/pinned.ts'
import type { Actor } from './actor.ts'
import type { FactEntry } from './entry.ts'
import type { There } from './outcome.ts'

interface Supposed {
  readonly entry: FactEntry
  readonly fact: RecordedFact
  /** the stick as it is today */
  readonly there: There
}

export async function slipsIn(by: Actor, { entry, fact, there }: Supposed): Promise<Question[]> {
  const { kept, today } = there
  const { occurredOn: on, dateField } = entry
  // a report of danger is taken with any date, and stands at its recording then
  if (!isCalendarDate(on)) return []
  const isAtBench = liesAtBench(kept.state)
  const [tests, alikeAtBench] = await Promise.all([
    testsFor(by, fact, there),
    isAtBench || !isBenchWork(fact) ? [] : alikeAt(by, kept.stickId),
  ])
  const known = { today, stick: registrationOn(kept.state, on)?.stick, tests, isAtBench, alikeAtBench }
  return questionsAbout({ stickId: kept.stickId, happening: fact, on, dateField }, known)
}

async function testsFor({ organisation }: Actor, fact: RecordedFact, { kept }: There): Promise<Tests | undefined> {
  if (fact.kind !== 'tested') return undefined
  const [editions, facts] = await Promise.all([
    pinnedEditions(organisation, (seq) => organisation.sticks.entry(kept.stickId, seq), fact),
    organisation.sticks.facts(kept.stickId),
  ])
  if (editions === undefined) return undefined
  return { by: judgedBy(fact.test, editions), earlier: earlierTests(facts) }
}

/** Sticks at the bench under like numbers. A stick that the caller may not see is not named. */
async function alikeAt({ organisation, caller }: Actor, stickId: string): Promise<string[]> {
  const ids = likeNumbers(stickId)
  const found = (await organisation.sticks.known(ids))
    .filter(({ state }) => liesAtBench(state))
    .filter(({ state: { crewId }, depotId }) => may(caller, 'read a stick', { crewId, depotId }))
    .map((one) => one.stickId)
  return ids.filter((id) => found.includes(id))
}
