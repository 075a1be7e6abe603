/** Which limit holds for a reading and whether the reading conforms to it. Every limit is the employer's own. */
import { isInBand, millimetres } from '../quantities.ts'
import type { Limit, Procedure, Stick } from '../registers.ts'
import type { SurfaceState } from '../words.ts'

/** What readings are taken with; voltage and frequency where the register of instruments says them. */
export interface Applied {
  readonly instrumentSpanMetres: number
  readonly instrumentKilovolts?: number | undefined
  readonly instrumentHertz?: number | undefined
}

/**
 * The strictest of the procedure's limits that cover the stick; what a limit leaves out matches any. Where the register
 * does not say what the instrument applies, a limit stated for a voltage or frequency is taken to be meant for it.
 */
export function limitFor(
  state: SurfaceState,
  { procedure, stick, ...applied }: { procedure: Procedure; stick: Stick } & Applied,
): Limit | undefined {
  const span = millimetres(applied.instrumentSpanMetres)
  return procedure.limits
    .filter((limit) => limit.construction === stick.construction && limit.state === state)
    .filter(({ diameterMillimetres: band }) => band === undefined || isInBand(stick.diameterMillimetres, band))
    .filter(({ spanMetres }) => spanMetres === undefined || millimetres(spanMetres) === span)
    .filter(({ kilovolts }) => fits(kilovolts, applied.instrumentKilovolts))
    .filter(({ hertz }) => fits(hertz, applied.instrumentHertz))
    .reduce<Limit | undefined>((so, limit) => (so && so.microamps <= limit.microamps ? so : limit), undefined)
}

export type Standing = 'conforms' | 'in guard band' | 'over limit'

/**
 * Simple acceptance decides at the limit itself, guarded acceptance below it by the expanded uncertainty, taken as a
 * share of the limit (ILAC-G8:09/2019 4.2, w = U). The guide says only "below" and "above": at equality the procedure's
 * own comparison decides, and the reading is compared with the limit exactly as both were written down.
 */
export function standing(
  microamps: number,
  limit: Limit,
  procedure: Procedure,
  expandedUncertaintyPercent: number | undefined,
): Standing {
  const strictly = procedure.comparison === 'less than'
  if (microamps > limit.microamps || (strictly && microamps === limit.microamps)) return 'over limit'
  if (procedure.decision === 'simple' || expandedUncertaintyPercent === undefined) return 'conforms'

  const reading = microamps * 100
  const acceptance = limit.microamps * (100 - expandedUncertaintyPercent)
  if (same(reading, acceptance)) return strictly ? 'in guard band' : 'conforms'
  return reading > acceptance ? 'in guard band' : 'conforms'
}

/** Equal but for the rounding of binary fractions: 1.1 × 100 is 110.00000000000001. */
function same(one: number, other: number): boolean {
  return Math.abs(one - other) <= Math.abs(other) * 1e-12
}

function fits(stated: number | undefined, applied: number | undefined): boolean {
  return stated === undefined || applied === undefined || stated === applied
}
