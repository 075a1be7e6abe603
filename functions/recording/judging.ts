/** A bench test becomes a fact: judged by the editions in force on its day, which are pinned to it. */
import type { BenchTest } from '../../shared-domain/bench-test/bench-test.ts'
import { hasSay, judgeByEditions, judgeOnOtherStick } from '../../shared-domain/bench-test/editions.ts'
import { faultsAgainstStick } from '../../shared-domain/bench-test/faults.ts'
import { measuredIn } from '../../shared-domain/bench-test/measuring.ts'
import { calibrationDoubts } from '../../shared-domain/bench-test/trust.ts'
import { canonical } from '../../shared-domain/canonical.ts'
import type { Happening } from '../../shared-domain/facts.ts'
import { either, type Fault } from '../../shared-domain/fault.ts'
import { notTakenBack } from '../../shared-domain/in-force.ts'
import type { CalibrationCap } from '../../shared-domain/policy/rule-pack.ts'
import { rulesFrom } from '../../shared-domain/policy/rules.ts'
import type { Instrument, Procedure } from '../../shared-domain/registers.ts'
import { registrationOn, type StickState } from '../../shared-domain/state/state.ts'
import { invalid } from '../ground/errors.ts'
import { employerPolicyId, type Organisation } from '../store/organisation.ts'
import type { Edition } from '../store/registers.ts'
import { referenceFaults } from './references.ts'

interface Stick {
  readonly stickId: string
  readonly state: StickState
}

export type Judged = Happening & { kind: 'tested' }

export const judged = (organisation: Organisation, test: BenchTest, stick: Stick): Promise<Judged> =>
  judgedBy(organisation, test, { ...stick, isAnew: false })

/**
 * Judges a test anew, since what it was judged by was a slip. What does not fit any more proves nothing, and is refused
 * by nobody.
 */
export const judgedAnew = (organisation: Organisation, test: BenchTest, stick: Stick): Promise<Judged> =>
  judgedBy(organisation, test, { ...stick, isAnew: true })

/** Answers whether the verdict is another, or has other reasons. */
export function isOtherwise(is: Pick<Judged, 'judgement'> | undefined, was: Pick<Judged, 'judgement'>): boolean {
  return is !== undefined && canonical(is.judgement) !== canonical(was.judgement)
}

async function judgedBy(
  organisation: Organisation,
  test: BenchTest,
  { stickId, state, isAnew }: Stick & { readonly isAnew: boolean },
): Promise<Judged> {
  const registration = registrationOn(state, test.testedOn)
  if (registration === undefined) throw new Error('a stick without a registration')
  const inForce = await organisation.registers.inForce('policy', employerPolicyId, test.testedOn)
  const policy = inForce !== undefined && hasSay(inForce.body, test) ? inForce : undefined
  const cap = policy === undefined ? undefined : rulesFrom(policy.body).calibrationCap
  const { demonstrationId } = test
  const [instruments, procedure, demonstration, naming, unknown] = await Promise.all([
    editionsThatCount(organisation, test, cap),
    organisation.registers.inForce('procedure', test.procedureId, test.testedOn),
    demonstrationId === undefined
      ? undefined
      : organisation.registers.inForce('demonstration', demonstrationId, test.testedOn),
    proceduresNaming(organisation, stickId, test),
    referenceFaults(organisation, 'bench-tests', test),
  ])
  const notItsOwn =
    procedure === undefined ? [] : proceduresFaults(test, { stickId, procedure: procedure.body, naming })
  const faults = isAnew ? [] : [...unknown, ...notItsOwn, ...faultsAgainstStick(test, registration.stick)]
  if (faults.length > 0 || procedure === undefined) throw invalid(...faults)

  const editions = {
    stick: registration.stick,
    procedure: procedure.body,
    instruments,
    policy: policy?.body,
    demonstration: demonstration?.body,
  }
  const judgement = (isAnew ? judgeOnOtherStick : judgeByEditions)(test, editions)
  const pinned = {
    stickSeq: registration.seq,
    procedureEdition: procedure.edition,
    instrumentEditions: instruments.map(({ edition }) => edition),
    ...(policy === undefined ? {} : { policyEdition: policy.edition }),
    ...(demonstration === undefined ? {} : { demonstrationEdition: demonstration.edition }),
    measured: measuredIn(test, editions),
  }
  return { kind: 'tested', test, pinned, judgement }
}

/** Procedures that name the stick on the day of the test. */
async function proceduresNaming({ registers }: Organisation, stickId: string, { testedOn }: BenchTest) {
  const all = await registers.allInForce('procedure', testedOn)
  return all.filter(({ body }) => body.sticks?.includes(stickId)).map(({ id }) => id)
}

/** A procedure may name the sticks it is for: those are judged by no other, and by it no others. */
function proceduresFaults(
  { procedureId: came }: BenchTest,
  { stickId, procedure, naming }: { stickId: string; procedure: Procedure; naming: readonly string[] },
): Fault[] {
  const pointer = '/procedureId'
  if (naming.length > 0) return naming.includes(came) ? [] : [{ pointer, came, expected: whichNames(naming, stickId) }]
  if (procedure.sticks === undefined) return []
  return [{ pointer, came, expected: { is: 'right: procedure for it', stick: stickId } }]
}

const whichNames = (naming: readonly string[], stick: string): Fault['expected'] => ({
  is: 'right: procedure that names it',
  procedures: either(naming),
  stick,
})

/**
 * Editions of the instrument that have their say. Calibration periods add up, so all have, unless that of the day is
 * the last one and leaves no doubt by itself.
 */
async function editionsThatCount(
  organisation: Organisation,
  test: BenchTest,
  cap: CalibrationCap | undefined,
): Promise<Edition<Instrument>[]> {
  const { registers } = organisation
  const [present, ...later] = await registers.inForceFrom('instrument', test.instrumentId, test.testedOn)
  if (present === undefined) return []
  const isEnough = later.length === 0 && calibrationDoubts(test, [present.body], cap).length === 0
  return isEnough ? [present] : notTakenBack(await registers.editions('instrument', test.instrumentId))
}
