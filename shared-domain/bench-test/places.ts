/** The lengths and surface states in which a stick is to be shown sound, and the places on it. */
import { type Millimetres, millimetres } from '../quantities.ts'
import type { Reason } from '../reason.ts'
import type { Stick } from '../registers.ts'
import { type Construction, type SurfaceState, surfaceStates } from '../words.ts'
import type { Reading } from './bench-test.ts'

export interface Length {
  readonly section?: string
  readonly length: Millimetres
}

/** A telescoping stick is tested section by section, every other stick from end to end. */
export function lengthsOf(stick: Stick): Length[] {
  if (stick.sections === undefined) return [{ length: millimetres(stick.workingLengthMetres) }]
  return stick.sections.map(({ name, lengthMetres }) => ({ section: name, length: millimetres(lengthMetres) }))
}

/** Wet integrity is asked of FRP only (29 CFR 1910.269(j)(2)(iii)(D)). */
export function statesAskedOf(construction: Construction): readonly SurfaceState[] {
  return construction === 'wood' ? ['dry'] : surfaceStates
}

export type Place = Pick<Reason, 'state' | 'section' | 'quarterTurn' | 'fromMetres' | 'toMetres'>

/** The place of a row of a test, without the keys the row leaves out. */
export function placeOf(
  state: SurfaceState,
  row: {
    section?: string | undefined
    quarterTurn?: Reason['quarterTurn'] | undefined
    fromMetres: number
    toMetres: number
  },
): Place {
  return {
    state,
    ...(row.section === undefined ? {} : { section: row.section }),
    ...(row.quarterTurn === undefined ? {} : { quarterTurn: row.quarterTurn }),
    fromMetres: row.fromMetres,
    toMetres: row.toMetres,
  }
}

/** A reason at a place: whoever says it begins with the place, so that it can be read alone. */
export function reasonAt(place: Place, code: string, says: NonNullable<Reason['says']>): Reason {
  return { code, says, ...place }
}

/** A reason that a single reading gives: at its place, with its figure. */
export function reasonOnReading(
  state: SurfaceState,
  reading: Reading,
  { code, says }: Required<Pick<Reason, 'code' | 'says'>>,
): Reason {
  return { ...reasonAt(placeOf(state, reading), code, says), leakageMicroamps: reading.leakageMicroamps }
}

/**
 * The order of places is the same whatever order the rows came in: the whole test, then dry, wet, then along the stick.
 */
export function comparePlaces(stick: Stick): (one: Place, other: Place) => number {
  const names = stick.sections?.map((section) => section.name) ?? []
  return (one, other) =>
    stateRank(one) - stateRank(other) ||
    names.indexOf(one.section ?? '') - names.indexOf(other.section ?? '') ||
    compareText(one.section ?? '', other.section ?? '') ||
    (one.quarterTurn ?? -1) - (other.quarterTurn ?? -1) ||
    (one.fromMetres ?? -1) - (other.fromMetres ?? -1) ||
    (one.toMetres ?? -1) - (other.toMetres ?? -1)
}

/** Text is compared by code unit: the order of a locale would differ from machine to machine. */
export function compareText(one: string, other: string): number {
  if (one === other) return 0
  return one < other ? -1 : 1
}

function stateRank({ state }: Place): number {
  if (state === undefined) return 0
  return state === 'dry' ? 1 : 2
}
