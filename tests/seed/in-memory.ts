/** The demo history folded by the domain alone, as the API would record it, without a table. */

import type { SeedRequest } from '../../seed/history.ts'
import { type BenchTest, benchTest } from '../../shared-domain/bench-test/bench-test.ts'
import { judgeByEditions } from '../../shared-domain/bench-test/editions.ts'
import { faultsAgainstStick } from '../../shared-domain/bench-test/faults.ts'
import {
  type CorrectiveStep,
  correctiveStep,
  type Defect,
  defect,
  type Move,
  move,
  type Release,
  release,
  type Use,
  use,
} from '../../shared-domain/fact-bodies.ts'
import type { Happening, RecordedFact } from '../../shared-domain/facts.ts'
import { planSettingsBody } from '../../shared-domain/plan-body.ts'
import type { Reason } from '../../shared-domain/reason.ts'
import {
  crew,
  type Demonstration,
  demonstration,
  depot,
  type Instrument,
  instrument,
  type Procedure,
  person,
  procedure,
  type Stick,
  stick,
} from '../../shared-domain/registers.ts'
import { append, replay } from '../../shared-domain/state/fold.ts'
import { refusals } from '../../shared-domain/state/refusal.ts'
import { standingOn } from '../../shared-domain/state/standing.ts'
import { initial, registrationOn, type StickState } from '../../shared-domain/state/state.ts'
import { recordedFact, usPolicy } from '../support/trade.ts'

export const schemas = {
  bench: planSettingsBody,
  depots: depot,
  crews: crew,
  people: person,
  instruments: instrument,
  procedures: procedure,
  demonstrations: demonstration,
  sticks: stick,
  'bench-tests': benchTest,
  'corrective-steps': correctiveStep,
  uses: use,
  defects: defect,
  moves: move,
  releases: release,
} as const

/** `/v1/sticks/S-0001/uses` is about S-0001 and comes through the door `uses`; `/v1/crews/CR-1` through `crews`. */
export function doorOf({ path }: SeedRequest): { id: string; door: keyof typeof schemas } {
  const [, , register = '', id = '', door] = path.split('/')
  return { id, door: (door ?? register) as keyof typeof schemas }
}

export interface Replayed {
  readonly states: ReadonlyMap<string, StickState>
  readonly facts: ReadonlyMap<string, readonly RecordedFact[]>
  /** what the rules would have refused: nothing, one hopes */
  readonly refused: readonly { request: SeedRequest; reasons: readonly Reason[] }[]
}

export function replayed(history: readonly SeedRequest[]): Replayed {
  const states = new Map<string, StickState>()
  const facts = new Map<string, RecordedFact[]>()
  const refused: { request: SeedRequest; reasons: readonly Reason[] }[] = []
  const registers = registersOf(history)
  for (const request of history) {
    if (!request.path.startsWith('/v1/sticks/')) continue
    const { id } = doorOf(request)
    const before = states.get(id) ?? initial
    const happening = happeningOf(request, before, registers)
    const found = { state: before, standing: standingOn(before, request.on, usPolicy) }
    const fact = factOf(request, before.facts + 1, happening)
    // a use of several days ends after what befell the stick meanwhile
    const state = append(before, fact) ?? replay([...(facts.get(id) ?? []), fact])
    const after = { state, standing: standingOn(state, request.on, usPolicy) }
    const reasons = refusals({ atTheTime: found, now: found, after }, happening, { personId: request.role })
    if (reasons.length > 0) refused.push({ request, reasons })
    states.set(id, state)
    facts.set(id, [...(facts.get(id) ?? []), fact])
  }
  return { states, facts, refused }
}

function factOf({ on: over, body }: SeedRequest, seq: number, happening: Happening): RecordedFact {
  const { factId = `registration ${seq}`, at, occurredOn = over } = body as Partial<Use>
  const recordedAt = `${over}T23:00:00.000Z` as RecordedFact['recordedAt']
  return { ...recordedFact(happening, { seq, on: occurredOn, at, recordedAt }), factId, recordedBy: 'x' }
}

interface Registers {
  readonly instruments: ReadonlyMap<string, readonly Instrument[]>
  readonly procedures: ReadonlyMap<string, Procedure>
  readonly demonstrations: ReadonlyMap<string, Demonstration>
}

function registersOf(history: readonly SeedRequest[]): Registers {
  const of = <T>(door: string) => history.filter((one) => doorOf(one).door === door) as (SeedRequest & { body: T })[]
  const instruments = Map.groupBy(of<Instrument>('instruments'), (one) => doorOf(one).id)
  return {
    instruments: new Map([...instruments].map(([id, all]) => [id, all.map((one) => one.body)])),
    procedures: new Map(of<Procedure>('procedures').map((one) => [doorOf(one).id, one.body])),
    demonstrations: new Map(of<Demonstration>('demonstrations').map((one) => [doorOf(one).id, one.body])),
  }
}

function happeningOf(request: SeedRequest, state: StickState, registers: Registers): Happening {
  const { body } = request
  switch (doorOf(request).door) {
    case 'sticks':
      return { kind: 'registered', stick: body as Stick }
    case 'bench-tests':
      return judged(body as BenchTest, state, registers)
    case 'corrective-steps':
      return { kind: 'corrective step', step: body as CorrectiveStep }
    case 'uses':
      return { kind: 'used', use: body as Use }
    case 'defects':
      return { kind: 'defect reported', defect: body as Defect }
    case 'moves':
      return { kind: 'moved', move: body as Move }
    case 'releases':
      return { kind: 'released', release: body as Release }
    case 'bench':
    case 'depots':
    case 'crews':
    case 'people':
    case 'instruments':
    case 'procedures':
    case 'demonstrations':
      throw new Error(`${request.path} is about no stick`)
  }
}

function judged(test: BenchTest, state: StickState, { instruments, procedures, demonstrations }: Registers): Happening {
  const registration = registrationOn(state, test.testedOn)
  const procedure = procedures.get(test.procedureId)
  if (registration === undefined || procedure === undefined) throw new Error('a test without a stick or a procedure')
  const faults = faultsAgainstStick(test, registration.stick)
  if (faults.length > 0) throw new Error(JSON.stringify(faults))
  const editions = (instruments.get(test.instrumentId) ?? []).map((body) => ({
    effectiveFrom: body.effectiveFrom ?? body.calibratedOn,
    body,
  }))
  const judgement = judgeByEditions(test, {
    stick: registration.stick,
    procedure,
    instruments: editions,
    demonstration: demonstrations.get(test.demonstrationId ?? ''),
  })
  return {
    kind: 'tested',
    test,
    pinned: { stickSeq: registration.seq, procedureEdition: '', instrumentEditions: [] },
    judgement,
  }
}
