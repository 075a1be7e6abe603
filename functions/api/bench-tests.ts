/** The door of the main job: a bench test comes in, a verdict with reasons and the stick's standing go out. */
import { type BenchTest, benchTest } from '../../shared-domain/bench-test/bench-test.ts'
import { judgeByEditions } from '../../shared-domain/bench-test/editions.ts'
import { faultsAgainstStick } from '../../shared-domain/bench-test/faults.ts'
import type { Happening } from '../../shared-domain/facts.ts'
import type { Fault } from '../../shared-domain/fault.ts'
import type { Instrument, Procedure } from '../../shared-domain/registers.ts'
import { registrationOn, type StickState } from '../../shared-domain/state/state.ts'
import { toldTest } from '../platform/accounts.ts'
import { invalid, notFound } from '../platform/errors.ts'
import { employerPolicyId, type Organisation } from '../platform/organisation.ts'
import type { Edition } from '../platform/registers.ts'
import { testAnswer, toldTestAnswer } from './answers.ts'
import { record } from './record.ts'
import { benchAndAbove, everybody, type Request, type Route, route } from './request.ts'
import { stickView } from './stick-view.ts'
import { seen, standingToday } from './sticks.ts'

export const benchTestRoutes: Route[] = [
  route({
    method: 'POST',
    path: '/v1/sticks/:id/bench-tests',
    summary: 'Record a bench test: the verdict with every reason, and where the stick stands now',
    allowed: benchAndAbove,
    body: benchTest,
    answer: testAnswer,
    handle: recordBenchTest,
  }),
  route({
    method: 'GET',
    path: '/v1/sticks/:id/bench-tests/:factId',
    summary: 'A bench test with its readings as strips, what they are likely to mean, and where they tend',
    allowed: everybody,
    answer: toldTestAnswer,
    handle: tellBenchTest,
  }),
]

async function recordBenchTest(request: Request<BenchTest>) {
  const { id, body, organisation } = request
  const outcome = await record(request, id, {
    factId: body.factId,
    occurredOn: body.testedOn,
    dateField: 'testedOn',
    at: body.at,
    kind: 'tested',
    body,
    happening: ({ state }) => judged(organisation, body, state),
  })
  if (outcome.fact.kind !== 'tested') throw new Error('a guard of a bench test led to another fact')
  const { verdict, reasons, worst } = outcome.fact.judgement
  const stick = stickView(outcome.stick, outcome.standing, outcome.today)
  return { status: outcome.news ? 201 : 200, body: { verdict, reasons, worst, stick } }
}

async function tellBenchTest(request: Request) {
  const { organisation, factId, now } = request
  const known = await seen(request)
  const [facts, standing] = await Promise.all([
    organisation.sticks.facts(known.stickId),
    standingToday(organisation, known, now),
  ])
  const found = await toldTest(organisation, known.state, facts, standing.dueOn, factId)
  if (found === undefined) throw notFound()
  const { fact, account } = found
  const { verdict, reasons, worst } = fact.judgement
  const { occurredOn, at, recordedAt, recordedBy, test } = fact
  const when = { factId, occurredOn, at: at ?? null, recordedAt, recordedBy }
  return { status: 200, body: { ...when, verdict, reasons, worst, ...account, test } }
}

async function judged(organisation: Organisation, test: BenchTest, state: StickState): Promise<Happening> {
  const registration = registrationOn(state, test.testedOn)
  if (registration === undefined) throw new Error('a stick without a registration')
  const [instruments, procedure, policy] = await Promise.all([
    allEditions(organisation, test.instrumentId),
    organisation.registers.inForce('procedure', test.procedureId, test.testedOn),
    test.demonstration === undefined
      ? undefined
      : organisation.registers.inForce('policy', employerPolicyId, test.testedOn),
  ])
  if (instruments.length === 0 || procedure === undefined)
    throw invalid(...unknownReferences(test, instruments, procedure))
  const faults = faultsAgainstStick(test, registration.stick)
  if (faults.length > 0) throw invalid(...faults)

  const judgement = judgeByEditions(test, {
    stick: registration.stick,
    procedure: procedure.body,
    instruments,
    policy: policy?.body,
  })
  const pinned = {
    stickSeq: registration.seq,
    procedureEdition: procedure.edition,
    instrumentEditions: instruments.map(({ edition }) => edition),
    ...(policy === undefined ? {} : { policyEdition: policy.edition }),
  }
  return { kind: 'tested', test, pinned, judgement }
}

/** Calibration periods add up, so every edition of an instrument has its say. */
async function allEditions(organisation: Organisation, id: string): Promise<Edition<Instrument>[]> {
  const head = await organisation.registers.head('instrument', id)
  if (head === undefined) return []
  return head.count === 1 ? [head.newest] : organisation.registers.editions('instrument', id)
}

function unknownReferences(
  test: BenchTest,
  instruments: readonly unknown[],
  procedure: Edition<Procedure> | undefined,
): Fault[] {
  const faults: Fault[] = []
  if (instruments.length === 0)
    faults.push({ pointer: '/instrumentId', came: test.instrumentId, expected: 'an instrument on the register' })
  if (procedure === undefined)
    faults.push({ pointer: '/procedureId', came: test.procedureId, expected: 'a procedure on the register' })
  return faults
}
