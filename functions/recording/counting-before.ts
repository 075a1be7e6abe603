/**
 * Tests from before the service was used are to count for the due dates of their sticks: a manager says why, and a
 * second person approves. Each stick gets a fact of its own; what was recorded by an approval that was cut off is
 * recorded no second time.
 */
import { canonical } from '../../shared-domain/canonical.ts'
import type { CountingBefore } from '../../shared-domain/fact-bodies.ts'
import { handsIn, isSecondPerson } from '../../shared-domain/loosening/proposal.ts'
import type { Way } from '../../shared-domain/loosening/way.ts'
import { shapeOfState } from '../../shared-domain/shape-of-state.ts'
import { replay } from '../../shared-domain/state/fold.ts'
import type { KnownBefore } from '../../shared-domain/state/state.ts'
import { idFrom } from '../ground/derived-id.ts'
import { invalid, notAllowed, Refused, refused } from '../ground/errors.ts'
import { checkMayStick } from '../questions/rights.ts'
import { todayAt } from '../questions/today.ts'
import { type Proposal, proposal } from '../store/proposals.ts'
import type { StoredStick } from '../store/sticks.ts'
import type { Actor } from './actor.ts'
import type { FactEntry } from './entry.ts'
import { slipOf } from './instead.ts'
import { type Proposed, propose, proposedAlready } from './proposals.ts'
import { record } from './record.ts'

export interface Counting {
  readonly factId: string
  readonly stickIds: readonly string[]
  readonly reason: string
}

/** What waits: the tests as they were known when it was asked for. */
interface TestsToCount extends Counting {
  readonly tests: readonly TestToCount[]
}

interface TestToCount extends Pick<KnownBefore, 'factId' | 'on'> {
  readonly stickId: string
}

export async function proposeCounting(by: Actor, asked: Counting): Promise<Proposed> {
  const { factId: proposalId, reason } = asked
  const stickIds = [...new Set(asked.stickIds)]
  const known = await proposal(by.organisation, proposalId)
  if (known !== undefined) return sentAgain(by, known, { ...asked, stickIds })
  const tests = await Promise.all(stickIds.map((stickId, place) => toCount(by, stickId, place)))
  const none = tests.flatMap((one, i) => (one === null ? [stickIds[i] ?? ''] : []))
  if (none.length > 0) throw refused(...none.map(nothingToCount))
  const counted = tests.filter((one) => one !== null)
  const body: TestsToCount = { factId: proposalId, stickIds, reason, tests: counted }
  const ways = counted.map(wayOf)
  return propose(by, { kind: 'tests before', id: stickIds[0] ?? '', body, ways, editions: 0, proposalId })
}

const nothingToCount = (stick: string) => ({
  code: 'nothing-to-count',
  refuses: { is: 'refused: nothing to count' as const, stick },
})

const wayOf = ({ stickId: stick, on }: TestToCount): Way => ({
  code: 'counts-before',
  says: { is: 'counts before', stick, on },
})

async function sentAgain(by: Actor, { kind, body, id }: Proposal, asked: Counting): Promise<Proposed> {
  const { tests: _, ...was } = body as TestsToCount // of this kind, or it is not the same
  if (kind !== 'tests before' || canonical(was) !== canonical(asked))
    throw refused({ code: 'fact-id-used', refuses: { is: 'refused: fact id used', fact: id } })
  return proposedAlready(by, id)
}

/** The stick's last test from before; null where it cannot count, or does already. */
async function toCount(by: Actor, stickId: string, place: number): Promise<TestToCount | null> {
  const stored = await by.organisation.sticks.stored(stickId)
  if (stored === undefined)
    throw invalid({ pointer: `/stickIds/${place}`, came: stickId, expected: { is: 'right: stick on the register' } })
  checkMayStick(by.caller, 'count a test from before', { crewId: stored.state.crewId, depotId: stored.depotId })
  const state = await stateOf(by, stored)
  const { testedBefore, lastPass, removed, scrapped, holds, failure } = state
  const isClear = removed === null && scrapped === null && holds.length === 0 && failure === null
  if (testedBefore === undefined || !testedBefore.passed || testedBefore.countsFrom === testedBefore.on) return null
  return isClear && lastPass === null ? { stickId, factId: testedBefore.factId, on: testedBefore.on } : null
}

async function stateOf({ organisation }: Actor, { state, shape, stickId }: StoredStick) {
  return shape === shapeOfState ? state : replay(await organisation.sticks.facts(stickId), stickId)
}

/** A person who tested one of them, or brought its record here, does not say too that it counts. */
export async function checkHadNoHandInTests(by: Actor, { body }: Proposal): Promise<void> {
  const { organisation, caller } = by
  const { today } = await todayAt(by, null)
  const name = (await organisation.registers.inForce('person', caller.personId, today))?.body.name
  for (const { factId } of testsIn(body)) {
    const { slip } = await slipOf(organisation, factId)
    if (!isSecondPerson({ personId: caller.personId, name }, handsIn(slip)))
      throw notAllowed({ is: 'not allowed: hand in the tests' })
  }
}

// the body was made above
const testsIn = (body: object) => (body as TestsToCount).tests

/** Records for each stick that its test counts. A stick that is gone for good meanwhile has nothing to count. */
export async function countApproved(by: Actor, { id, body, by: proposer }: Proposal): Promise<void> {
  const { reason } = body as TestsToCount
  for (const { stickId, factId: counts } of testsIn(body)) {
    const counting: CountingBefore = { factId: idFrom(id, counts), counts, reason }
    try {
      await record(by, stickId, await entryOf(by, { stickId, counting, proposer }))
    } catch (error) {
      if (!(error instanceof Refused) || error.refusal.kind !== 'refused') throw error
    }
  }
}

async function entryOf(
  by: Actor,
  { stickId, counting, proposer }: { stickId: string; counting: CountingBefore; proposer: string },
): Promise<FactEntry> {
  const stored = await by.organisation.sticks.stored(stickId)
  const { today } = await todayAt(by, stored?.depotId ?? null)
  return {
    factId: counting.factId,
    occurredOn: today,
    dateField: 'occurredOn',
    kind: 'test before counted',
    body: counting,
    // what is long past mails nobody; whoever asked for it is told of the approval
    quiet: true,
    approved: { proposer, also: [] },
    happening: async () => ({ kind: 'test before counted', counting }),
  }
}
