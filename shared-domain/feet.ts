/** Lengths that may have been typed in feet where metres are asked for. */
import { metresPerFoot } from './bench-test/withstand-rule.ts'
import { type Millimetres, metres, millimetres } from './quantities.ts'

/** A foot is called 0.3 m, and places round to a millimetre. */
export const roundingOfFeet = 0.02

/** The house's own figure: what is longer than it can be by less than half was hardly typed in feet. */
const leastBeyond = 1.5

/** The length to the millimetre. */
export const feetInMetres = (feet: number): number => metres(millimetres(feet * metresPerFoot))

/** A place beyond its length, read as feet: 8 feet are 2.438 m. Null where that would not fit either. */
export function feetMeant(came: number, length: Millimetres): { feet: number; inMetres: number } | null {
  const inMetres = feetInMetres(came)
  if (millimetres(came) < length * leastBeyond || millimetres(inMetres) > length * (1 + roundingOfFeet)) return null
  return { feet: came, inMetres }
}

/** Tells whether all else that says how long something is comes out as its length would be if that were in feet. */
export function lengthMayBeFeet(lengthMetres: number, others: readonly number[]): boolean {
  const asFeet = lengthMetres * metresPerFoot
  return others.length > 0 && others.every((other) => Math.abs(other - asFeet) <= roundingOfFeet * asFeet)
}
