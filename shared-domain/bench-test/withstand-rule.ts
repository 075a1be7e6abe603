/**
 * The figures that the rule itself asks a withstand test to hold, and how a figure stated in their place compares with
 * them.
 */
import type { Construction } from '../words.ts'

export type ServiceAge = 'new' | 'in service'

/**
 * The rule's own figures, in feet, as their metric figures are rounded:
 * - in service: 29 CFR 1910.269(j)(2)(iii)(E)(1) and (2), UFC 3-560-01 5-4.10;
 * - new, before first issue, what the tool is designed to withstand: 29 CFR 1910.269(j)(1)(i) and (ii), UFC 3-560-01
 *   5-4.1.
 */
const rules = {
  new: { FRP: { kilovoltsPerFoot: 100, seconds: 300 }, wood: { kilovoltsPerFoot: 75, seconds: 180 } },
  'in service': { FRP: { kilovoltsPerFoot: 75, seconds: 60 }, wood: { kilovoltsPerFoot: 50, seconds: 60 } },
} as const

const material = (construction: Construction) => (construction === 'wood' ? 'wood' : 'FRP')

export const rulesOwn = (construction: Construction, when: ServiceAge) => rules[when][material(construction)]

/**
 * The share by which the rule's own expressions differ: 164,000 V/m and 1,640 V/cm are 0.026 % under 50 kV per foot.
 */
export const roundingOfTheRule = 0.0003

export const metresPerFoot = 0.3048

export type StatedVoltage =
  | { readonly kilovoltsPerFoot: number }
  | { readonly kilovoltsPerMetre: number }
  | { readonly kilovolts: number }
  | { readonly times: number; readonly of: 'line voltage' | 'phase voltage' }

/** The voltage per foot; undefined where the voltage is not stated by length. */
export function perFoot(voltage: StatedVoltage): number | undefined {
  if ('kilovoltsPerFoot' in voltage) return voltage.kilovoltsPerFoot
  return 'kilovoltsPerMetre' in voltage ? voltage.kilovoltsPerMetre * metresPerFoot : undefined
}

interface Stated {
  readonly construction: Construction
  readonly when: ServiceAge
  readonly voltage: StatedVoltage
  readonly seconds: number
}

/**
 * A figure in doubt counts as below the rule too: one not stated by length is below it on a stick that is long enough.
 */
export function isBelowRule({ construction, when, voltage, seconds }: Stated): boolean {
  const rule = rulesOwn(construction, when)
  const kilovolts = perFoot(voltage)
  if (kilovolts === undefined || seconds < rule.seconds) return true
  return kilovolts < rule.kilovoltsPerFoot * (1 - roundingOfTheRule)
}

/** The house's own figures: a figure per foot that was written per metre comes out as about this share of it. */
const shareOfFeetForMetres = 1 / 3.2808
const withinShare = 0.05

export function isFeetForMetres({ construction, voltage }: Omit<Stated, 'when' | 'seconds'>): boolean {
  const kilovolts = perFoot(voltage)
  if (kilovolts === undefined) return false
  return (['new', 'in service'] as const).some((when) => {
    const mistaken = rulesOwn(construction, when).kilovoltsPerFoot * shareOfFeetForMetres
    return Math.abs(kilovolts - mistaken) <= withinShare * mistaken
  })
}
