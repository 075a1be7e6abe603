/** The reading at each place, to be set beside the reading there in another test or another state. */
import { metres, millimetres } from '../quantities.ts'
import { type QuarterTurn, quarterTurns, type SurfaceState } from '../words.ts'
import type { Cell, Mark, Strip } from './strip.ts'

/** A span on one turn of one section, or of the whole stick where the stick has no sections. */
export interface SpanOnTurn {
  readonly state: SurfaceState
  readonly section?: string
  readonly quarterTurn: QuarterTurn
  readonly fromMetres: number
  readonly toMetres: number
}

export interface PlaceRead {
  readonly place: SpanOnTurn
  readonly leakageMicroamps: number
  readonly mark: Mark
}

/** A reading not at rest tells nothing of the stick (common practice), and a place that was not read has no reading. */
export function placesRead(strips: readonly Strip[]): PlaceRead[] {
  return strips.flatMap((strip) =>
    quarterTurns.flatMap((quarterTurn) =>
      cellsOn(strip, quarterTurn).flatMap((cell) => read(strip, quarterTurn, cell)),
    ),
  )
}

/** Cells in order along the stick, whatever order they come in. */
export function cellsOn({ turns }: Strip, quarterTurn: QuarterTurn): Cell[] {
  return turns
    .filter((turn) => turn.quarterTurn === quarterTurn)
    .flatMap((turn) => turn.cells)
    .sort(
      (one, other) =>
        one.fromMetres - other.fromMetres ||
        one.toMetres - other.toMetres ||
        (one.leakageMicroamps ?? -1) - (other.leakageMicroamps ?? -1),
    )
}

/** The key is the same for the same span in whole millimetres on the same turn, section and state. */
export function placeKey({ place }: PlaceRead): string {
  const { state, section, quarterTurn, fromMetres, toMetres } = place
  return JSON.stringify([state, section ?? null, quarterTurn, millimetres(fromMetres), millimetres(toMetres)])
}

function read({ state, section }: Strip, quarterTurn: QuarterTurn, cell: Cell): PlaceRead[] {
  const { leakageMicroamps, mark } = cell
  if (leakageMicroamps === null || mark === 'not settled') return []
  const place = {
    state,
    ...(section === undefined ? {} : { section }),
    quarterTurn,
    fromMetres: metres(millimetres(cell.fromMetres)),
    toMetres: metres(millimetres(cell.toMetres)),
  }
  return [{ place, leakageMicroamps, mark }]
}
