/** A bench test becomes a fact: judged by the editions in force on its day, which are pinned to it. */
import type { BenchTest } from '../../shared-domain/bench-test/bench-test.ts'
import { hasSay, judgeByEditions } from '../../shared-domain/bench-test/editions.ts'
import { faultsAgainstStick } from '../../shared-domain/bench-test/faults.ts'
import type { Happening } from '../../shared-domain/facts.ts'
import type { Fault } from '../../shared-domain/fault.ts'
import type { Instrument, Procedure } from '../../shared-domain/registers.ts'
import { registrationOn, type StickState } from '../../shared-domain/state/state.ts'
import { invalid } from '../platform/errors.ts'
import { employerPolicyId, type Organisation } from '../platform/organisation.ts'
import type { Edition } from '../platform/registers.ts'

export async function judged(organisation: Organisation, test: BenchTest, state: StickState): Promise<Happening> {
  const registration = registrationOn(state, test.testedOn)
  if (registration === undefined) throw new Error('a stick without a registration')
  const [instruments, procedure, inForce] = await Promise.all([
    allEditions(organisation, test.instrumentId),
    organisation.registers.inForce('procedure', test.procedureId, test.testedOn),
    organisation.registers.inForce('policy', employerPolicyId, test.testedOn),
  ])
  if (instruments.length === 0 || procedure === undefined)
    throw invalid(...unknownReferences(test, instruments, procedure))
  const faults = faultsAgainstStick(test, registration.stick)
  if (faults.length > 0) throw invalid(...faults)

  const policy = inForce !== undefined && hasSay(inForce.body, test) ? inForce : undefined
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
