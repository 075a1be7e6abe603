/** The bench: what lies there, and all that is needed to test one stick, for those who may record tests. */
import type { BenchSheet, NewestTest } from '../../shared-domain/bench-entry/sheet.ts'
import type { BenchTest } from '../../shared-domain/bench-test/bench-test.ts'
import type { RecordedFact } from '../../shared-domain/facts.ts'
import { earlierTests } from '../../shared-domain/slips/earlier-tests.ts'
import { registrationOn } from '../../shared-domain/state/state.ts'
import { type Status, type SurfaceState, surfaceStates } from '../../shared-domain/words.ts'
import { notFound } from '../ground/errors.ts'
import type { Asker } from './asker.ts'
import { checkMayStick, checkRole } from './rights.ts'
import { type RosterPage, rosterFor } from './roster.ts'
import { type StickSheet, seenStick, sheetFor } from './sticks.ts'

/** More than lies at a bench on a day. */
const mostInQueue = 60

export async function benchQueueFor(asker: Asker): Promise<RosterPage> {
  checkRole(asker.caller, 'record a test')
  return rosterFor(asker, { atBench: true, after: '', limit: mostInQueue })
}

/** Of each register as many are offered. */
export const mostOffered = 60

export interface BenchTask {
  readonly known: StickSheet
  readonly sheet: BenchSheet
  /** there are more procedures or instruments than are offered */
  readonly isCut: boolean
}

/** @throws Refused where the caller may not record a test of the stick, or it has no entry yet */
export async function benchTaskFor(asker: Asker, stickId: string, tester: string): Promise<BenchTask> {
  const known = await sheetFor(asker, stickId)
  const { stick: stored, day: today, last, facts, standing } = known
  checkMayStick(asker.caller, 'record a test', { crewId: stored.state.crewId, depotId: stored.depotId })
  const entry = registrationOn(stored.state, today)?.stick
  if (entry === undefined) throw notFound({ is: 'none: stick', stick: stickId })
  const { registers } = asker.organisation
  const [allProcedures, allInstruments, demonstrations] = await Promise.all([
    registers.allInForce('procedure', today),
    registers.allInForce('instrument', today),
    registers.allInForce('demonstration', today),
  ])
  const [procedureId, instrumentId] = [last?.fact.test.procedureId, last?.fact.test.instrumentId]
  const procedures = offered(proceduresFor(stickId, allProcedures), procedureId)
  const instruments = offered(allInstruments, instrumentId)
  const { organisation, caller } = asker
  const sheet: BenchSheet = {
    ...{ shape: 1, stickId, stick: entry, today, procedures, instruments },
    demonstrations: demonstrations.slice(0, mostOffered).map(({ id, body: { kind } }) => ({ id, kind })),
    newest: newestIn(facts),
    earlier: compared(earlierTests(facts)),
    begins: {
      instrumentId: begun(instruments, instrumentId),
      procedureId: begun(procedures, procedureId),
      reason: reasonFor(standing.status),
      tester,
    },
    who: { organisation: organisation.name, person: caller.personId },
  }
  const isCut =
    allInstruments.length > mostOffered || [allProcedures, demonstrations].some(({ length }) => length > mostOffered)
  return { known, sheet, isCut }
}

/** Why a stick is tested that is held nobody but its tester knows. */
function reasonFor(status: Status): BenchSheet['begins']['reason'] {
  if (status === 'awaiting first test') return 'first issue'
  return status === 'on hold' ? '' : 'periodic'
}

interface Entry {
  readonly id: string
}

/** A stick that procedures name is judged by those alone, and by these no other. */
function proceduresFor<E extends Entry & { readonly body: { readonly sticks?: readonly string[] | undefined } }>(
  stickId: string,
  all: readonly E[],
): readonly E[] {
  const naming = all.filter(({ body }) => body.sticks?.includes(stickId))
  return naming.length > 0 ? naming : all.filter(({ body }) => body.sticks === undefined)
}

/** That of the last test comes first. */
function offered<Body>(all: readonly (Entry & { readonly body: Body })[], last: string | undefined) {
  const sorted = all.toSorted((one, other) => Number(other.id === last) - Number(one.id === last))
  return sorted.slice(0, mostOffered).map(({ id, body }) => ({ id, body }))
}

function begun(all: readonly Entry[], last: string | undefined): string {
  const [only, ...others] = all
  if (only !== undefined && others.length === 0) return only.id
  return all.some(({ id }) => id === last) ? (last ?? '') : ''
}

/** The newest of each kind of measurement. */
function compared(tests: readonly BenchTest[]): BenchTest[] {
  const read = (state: SurfaceState) => tests.find((one) => (one[state]?.readings.length ?? 0) > 0)
  const found = [...surfaceStates.map(read), tests.find((one) => (one.withstand?.length ?? 0) > 0)]
  return [...new Set(found.flatMap((one) => one ?? []))]
}

/** The test that was recorded last, whatever its day. */
function newestIn(facts: readonly RecordedFact[]): NewestTest | null {
  const tests = facts.filter((fact) => fact.kind === 'tested')
  const last = tests.reduce<(typeof tests)[number] | undefined>(
    (so, one) => (so !== undefined && so.seq > one.seq ? so : one),
    undefined,
  )
  return last === undefined ? null : { factId: last.factId, on: last.occurredOn, recordedBy: last.recordedBy }
}

export interface RecordedMeanwhile {
  readonly newest: NewestTest | null
  /** this very test stands already */
  readonly stands: boolean
}

/** @throws Refused where the caller may not record a test of the stick */
export async function recordedMeanwhile(asker: Asker, stickId: string, factId: string): Promise<RecordedMeanwhile> {
  const stored = await seenStick(asker, stickId)
  checkMayStick(asker.caller, 'record a test', { crewId: stored.state.crewId, depotId: stored.depotId })
  const facts = await asker.organisation.sticks.facts(stickId)
  return { newest: newestIn(facts), stands: facts.some((fact) => fact.factId === factId) }
}
