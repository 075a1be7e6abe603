/** A test judged by the editions it is pinned to: the same call when it comes in and when it is proved years later. */
import type { CalendarDate } from '../calendar.ts'
import type { EmployerPolicy } from '../policy/policy.ts'
import { rulesFrom } from '../policy/rules.ts'
import type { Demonstration, Instrument, Procedure, Stick } from '../registers.ts'
import type { BenchTest } from './bench-test.ts'
import { reliesOnExamination } from './examination.ts'
import { faultsAgainstStick, type Misfit } from './faults.ts'
import { type JudgedBy, type Judgement, judge } from './judge.ts'

export interface Editions {
  readonly stick: Stick
  readonly procedure: Procedure
  /** every edition of the instrument known at the time, in order of effect; their calibration periods add up */
  readonly instruments: readonly { readonly effectiveFrom: CalendarDate; readonly body: Instrument }[]
  /** the policy of the day of the test, where it has a say in the verdict */
  readonly policy?: EmployerPolicy | undefined
  /** the demonstration that the test names, as it was on its day */
  readonly demonstration?: Demonstration | undefined
}

export function judgeByEditions(test: BenchTest, editions: Editions): Judgement {
  return judge(test, judgedBy(test, editions))
}

/**
 * Judges a test whose stick may be another than it was entered as. A test that does not fit the stick is refused when
 * it comes in, but the stick's entry may turn out to be a slip. A failure stands all the same.
 */
export function judgeOnOtherStick(test: BenchTest, editions: Editions): Judgement {
  const judgement = judgeByEditions(test, editions)
  const misfits = judgement.verdict === 'fail' ? [] : faultsAgainstStick(test, editions.stick)
  return misfits.length > 0 ? provesNothing(misfits) : judgement
}

function provesNothing(misfits: readonly Misfit[]): Judgement {
  const reasons = misfits.map(({ pointer, expected }) => ({
    code: 'test-does-not-fit',
    says: { is: 'test that does not fit' as const, pointer, right: expected },
  }))
  return { verdict: 'invalid', cause: null, reasons, worst: null }
}

/**
 * Tells whether the policy has a say in the verdict:
 * - an examination is to stand in place of a test;
 * - a rule ends calibrations sooner;
 * - the policy narrows which failures count.
 */
export function hasSay(policy: EmployerPolicy, test: BenchTest): boolean {
  const { calibrationCap, removesOnlyAfter } = rulesFrom(policy)
  return reliesOnExamination(test) || calibrationCap !== undefined || removesOnlyAfter !== undefined
}

export function judgedBy(test: BenchTest, editions: Editions): JudgedBy {
  const { stick, procedure, instruments, policy, demonstration } = editions
  const inForce = instruments.findLast((one) => one.effectiveFrom <= test.testedOn) ?? instruments[0]
  if (inForce === undefined) throw new RangeError('a test is judged by at least one edition of its instrument')
  const inPolicy = policy === undefined ? undefined : rulesFrom(policy)
  return {
    stick,
    procedure,
    calibrations: instruments.map(({ body }) => body),
    calibrationCap: inPolicy?.calibrationCap,
    instrumentSpanMetres: inForce.body.spanMetres,
    instrumentKilovolts: inForce.body.kilovolts,
    instrumentHertz: inForce.body.hertz,
    examinationOnlyAllowed: inPolicy?.examinationOnly ?? false,
    ...(demonstration === undefined || test.demonstrationId === undefined
      ? {}
      : { demonstrated: { id: test.demonstrationId, on: test.testedOn, body: demonstration } }),
    removesOnlyAfter: inPolicy?.removesOnlyAfter,
    expandedUncertaintyPercent: inForce.body.expandedUncertaintyPercent,
  }
}
