/**
 * A survey laid out as it was taken: length by quarter turn, every reading against its limit, every place left unread.
 */
import { metres, millimetres } from '../quantities.ts'
import { type QuarterTurn, quarterTurns, type SurfaceState, surfaceStates } from '../words.ts'
import type { BenchTest, Reading } from './bench-test.ts'
import { gapsBetween, inMetres, outermostSpans, type Survey, thinOverlaps } from './coverage.ts'
import type { JudgedBy } from './judge.ts'
import { limitFor, standing } from './limits.ts'
import { type Length, lengthsOf, statesAskedOf } from './places.ts'
import { isSettled } from './trust.ts'

export const marks = [
  'conforms',
  'in guard band',
  'over limit',
  'not settled',
  'no limit',
  'not read',
  'overlap too small',
] as const
export type Mark = (typeof marks)[number]

export interface Cell {
  readonly fromMetres: number
  readonly toMetres: number
  /** null where nothing was read */
  readonly leakageMicroamps: number | null
  readonly mark: Mark
}

export interface Turn {
  readonly quarterTurn: QuarterTurn
  /** cells in order along the stick; readings overlap their neighbours */
  readonly cells: readonly Cell[]
}

/** A surface state of one section, or of the whole stick where the stick has no sections. */
export interface Strip {
  readonly state: SurfaceState
  readonly section?: string
  readonly lengthMetres: number
  /** null where no limit of the procedure covers the stick */
  readonly limitMicroamps: number | null
  /** all four turns, whatever was read */
  readonly turns: readonly Turn[]
}

/** The strips of every state that the stick is asked or was read in; none for a test by the withstand method alone. */
export function stripsOf(test: BenchTest, by: JudgedBy): Strip[] {
  const read = surfaceStates.filter((state) => test[state] !== undefined)
  if (read.length === 0) return []
  const asked = statesAskedOf(by.stick.construction)
  return surfaceStates
    .filter((state) => asked.includes(state) || read.includes(state))

    .map((state): Survey => ({ state, readings: test[state]?.readings ?? [] }))
    .flatMap((survey) => lengthsOf(by.stick).map((length) => stripOf(survey, length, by)))
}

function stripOf({ state, readings }: Survey, one: Length, by: JudgedBy): Strip {
  const limit = limitFor(state, by)
  const rows = readings.filter((row) => row.section === one.section)
  const markOf = (row: Reading): Mark => {
    if (!isSettled(state, row)) return 'not settled'
    if (limit === undefined) return 'no limit'
    return standing(row.leakageMicroamps, limit, by)
  }
  const turns = quarterTurns.map((quarterTurn) => {
    const onTurn = rows.filter((row) => row.quarterTurn === quarterTurn)
    const cells = [
      ...onTurn.map((row) => ({
        fromMetres: row.fromMetres,
        toMetres: row.toMetres,
        leakageMicroamps: row.leakageMicroamps,
        mark: markOf(row),
      })),
      ...unreadCells(onTurn, one, by.procedure.leastOverlapMetres),
    ]
    return { quarterTurn, cells: cells.sort((a, b) => a.fromMetres - b.fromMetres || a.toMetres - b.toMetres) }
  })
  const section = one.section === undefined ? {} : { section: one.section }
  return { state, ...section, lengthMetres: metres(one.length), limitMicroamps: limit?.microamps ?? null, turns }
}

function unreadCells(rows: readonly Reading[], { length }: Length, leastOverlapMetres: number): Cell[] {
  const outermost = outermostSpans(rows, length)
  const gaps = gapsBetween(outermost, length).map((gap) => ({ ...inMetres(gap), mark: 'not read' as const }))
  const thin = thinOverlaps(outermost, millimetres(leastOverlapMetres)).map((shared) => ({
    ...inMetres(shared),
    mark: 'overlap too small' as const,
  }))
  return [...gaps, ...thin].map((cell) => ({ ...cell, leakageMicroamps: null }))
}
