/** The limit that holds for a reading, and whether the reading conforms to it. Every limit is the employer's own. */
import { isInBand, millimetres } from '../quantities.ts'
import type { Limit, Procedure, Stick } from '../registers.ts'
import type { SurfaceState } from '../words.ts'

/**
 * The span, voltage and frequency that readings are taken with; the last two where the register of instruments says
 * them.
 */
export interface Applied {
  readonly instrumentSpanMetres: number
  readonly instrumentKilovolts?: number | undefined
  readonly instrumentHertz?: number | undefined
}

interface Read extends Applied {
  readonly procedure: Procedure
  readonly stick: Stick
}

/**
 * The strictest of the procedure's limits that are known to cover the stick and what is applied to it. A limit that
 * leaves something out matches any value of it.
 */
export function limitFor(state: SurfaceState, by: Read): Limit | undefined {
  return strictest(candidates(state, by).filter((limit) => fits(limit, by) === 'yes'))
}

/**
 * The strictest of the limits that name a voltage or frequency of which the register says nothing for the instrument:
 * it may be the one that holds. There is none where a limit that is known to hold is as strict.
 */
export function stricterInDoubt(state: SurfaceState, by: Read): Limit | undefined {
  const inDoubt = strictest(candidates(state, by).filter((limit) => fits(limit, by) === 'unknown'))
  const known = limitFor(state, by)
  return inDoubt === undefined || (known !== undefined && known.microamps <= inDoubt.microamps) ? undefined : inDoubt
}

function candidates(state: SurfaceState, { procedure, stick, instrumentSpanMetres }: Read): Limit[] {
  const span = millimetres(instrumentSpanMetres)
  return procedure.limits
    .filter((limit) => limit.construction === stick.construction && limit.state === state)
    .filter(({ diameterMillimetres: band }) => band === undefined || isInBand(stick.diameterMillimetres, band))
    .filter(({ spanMetres }) => spanMetres === undefined || millimetres(spanMetres) === span)
}

function fits(
  { kilovolts, hertz }: Limit,
  { instrumentKilovolts, instrumentHertz }: Applied,
): 'yes' | 'no' | 'unknown' {
  const stated = [
    { asked: kilovolts, applied: instrumentKilovolts },
    { asked: hertz, applied: instrumentHertz },
  ].filter(({ asked }) => asked !== undefined)
  if (stated.some(({ asked, applied }) => applied !== undefined && applied !== asked)) return 'no'
  return stated.some(({ applied }) => applied === undefined) ? 'unknown' : 'yes'
}

function strictest(limits: readonly Limit[]): Limit | undefined {
  return limits.reduce<Limit | undefined>(
    (so, limit) => (so && so.microamps <= limit.microamps ? so : limit),
    undefined,
  )
}

/** The rule by which a reading is held to its limit, and how sure the instrument is of the reading. */
export interface DecisionRule {
  readonly procedure: Pick<Procedure, 'comparison' | 'decision'>
  /** share of the limit, in % */
  readonly expandedUncertaintyPercent?: number | undefined
}

export type Conformity = 'conforms' | 'in guard band' | 'over limit'

/**
 * Simple acceptance decides at the limit itself, guarded acceptance below it by the expanded uncertainty, taken as a
 * share of the limit (ILAC-G8:09/2019 4.2, w = U). The guide says only "below" and "above": at equality the procedure's
 * own comparison decides, and the reading is compared with the limit exactly as both were written down.
 */
export function standing(
  microamps: number,
  limit: Pick<Limit, 'microamps'>,
  { procedure, expandedUncertaintyPercent }: DecisionRule,
): Conformity {
  const strictly = procedure.comparison === 'less than'
  if (microamps > limit.microamps || (strictly && microamps === limit.microamps)) return 'over limit'
  if (procedure.decision === 'simple' || expandedUncertaintyPercent === undefined) return 'conforms'

  const reading = microamps * 100
  const acceptance = limit.microamps * (100 - expandedUncertaintyPercent)
  if (same(reading, acceptance)) return strictly ? 'in guard band' : 'conforms'
  return reading > acceptance ? 'in guard band' : 'conforms'
}

/** Tells whether figures are equal but for the rounding of binary fractions: 1.1 × 100 is 110.00000000000001. */
function same(one: number, other: number): boolean {
  return Math.abs(one - other) <= Math.abs(other) * 1e-12
}
