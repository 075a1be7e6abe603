/**
 * The part of a reading that is in phase with the voltage, for instruments that tell the size of a reading only.
 *
 * A sound dry stick passes a current that is nearly all capacitive and leads the voltage by a quarter of a cycle. Dirt
 * and moisture add a part in phase. The two add as the sides of a right angle, so a part in phase half as large as the
 * other moves the reading by 12 % only: growth that a reading by itself hides.
 *
 * The stick's own first passing dry reading at the place is taken as capacitive throughout (this product's choice, from
 * no published source). Any part of it that was in phase already is then counted as capacitive. The in-phase part
 * therefore comes out too small and never too large, as long as the span, the voltage, the frequency and the stick's
 * own capacitance are what they were. A rise of one of these since then counts as in phase. Close to the baseline the
 * scatter of the instrument alone makes a figure: 1 % of reading is 14 % in phase.
 */
import type { QuarterTurn } from '../words.ts'
import { placeKey, placesRead } from './read-places.ts'
import type { Strip } from './strip.ts'

/** @lintignore held to worked figures */
export function inPhaseMicroamps(readingMicroamps: number, baselineMicroamps: number): number {
  if (readingMicroamps <= baselineMicroamps) return 0
  // a product, for the difference of two squares loses digits where they are near
  return Math.sqrt((readingMicroamps - baselineMicroamps) * (readingMicroamps + baselineMicroamps))
}

export interface InPhaseShare {
  readonly section?: string
  readonly quarterTurn: QuarterTurn
  readonly fromMetres: number
  readonly toMetres: number
  readonly leakageMicroamps: number
  readonly baselineMicroamps: number
  readonly inPhaseMicroamps: number
}

/**
 * Dry readings alone are compared, for water adds a part in phase by itself. `baseline` is the stick's first passing
 * dry test.
 */
export function inPhaseShares(now: readonly Strip[], baseline: readonly Strip[]): InPhaseShare[] {
  const isDry = ({ state }: Strip) => state === 'dry'
  const first = new Map(placesRead(baseline.filter(isDry)).map((one) => [placeKey(one), one.leakageMicroamps]))
  return placesRead(now.filter(isDry)).flatMap((one) => {
    const { leakageMicroamps } = one
    const baselineMicroamps = first.get(placeKey(one))
    if (baselineMicroamps === undefined) return []
    const { state: _dry, ...place } = one.place
    return [
      {
        ...place,
        leakageMicroamps,
        baselineMicroamps,
        inPhaseMicroamps: inPhaseMicroamps(leakageMicroamps, baselineMicroamps),
      },
    ]
  })
}
