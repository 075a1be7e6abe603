/** Tells whether readings reach every millimetre of the stick, on every quarter turn, with the least overlap. */
import { type Millimetres, metres, millimetres } from '../quantities.ts'
import type { Reason } from '../reason.ts'
import type { Stick } from '../registers.ts'
import { type QuarterTurn, quarterTurns, type SurfaceState } from '../words.ts'
import type { Reading } from './bench-test.ts'
import { type Length, lengthsOf, reasonAt } from './places.ts'

export interface Span {
  readonly from: Millimetres
  readonly to: Millimetres
}

interface Row {
  readonly fromMetres: number
  readonly toMetres: number
}

/**
 * The spans that lie inside no other, in order along the stick. A short reading inside a longer one adds nothing and
 * takes nothing away, so coverage and overlap are measured between these alone; both ends rise from each to the next.
 */
export function outermostSpans(rows: readonly Row[], length: Millimetres): Span[] {
  const spans = rows
    .map((row) => ({
      from: millimetres(row.fromMetres),
      to: Math.min(millimetres(row.toMetres), length) as Millimetres,
    }))
    .filter((span) => span.from < span.to)
    .sort((one, other) => one.from - other.from || other.to - one.to)
  let reached = 0
  return spans.filter((span) => {
    if (span.to <= reached) return false
    reached = span.to
    return true
  })
}

export function gapsBetween(outermost: readonly Span[], length: Millimetres): Span[] {
  const starts = [...outermost.map((span) => span.from), length]
  const ends = [0 as Millimetres, ...outermost.map((span) => span.to)]
  return starts.map((start, index) => ({ from: ends[index] ?? length, to: start })).filter((gap) => gap.from < gap.to)
}

/** Places where one span meets the next with less than `least` in common; from = to where they only touch. */
export function thinOverlaps(outermost: readonly Span[], least: Millimetres): Span[] {
  return outermost
    .slice(1)
    .map((span, index) => ({ from: span.from, to: outermost[index]?.to ?? span.from }))
    .filter((shared) => shared.from <= shared.to && shared.to - shared.from < least)
}

/** The readings of one surface state. */
export interface Survey {
  readonly state: SurfaceState
  readonly readings: readonly Reading[]
}

/**
 * The unread parts of one surface state. Readings cover the whole working length (29 CFR 1910.269(j)(2)(iii)(D)) on
 * four quarter turns, each overlapping the next (UFC 3-560-01 5-4.12.4, 5-4.12.5).
 */
export function unread(survey: Survey, stick: Stick, leastOverlapMetres: number): Reason[] {
  const least = millimetres(leastOverlapMetres)
  return lengthsOf(stick).flatMap((one) =>
    quarterTurns.flatMap((quarterTurn) => unreadTurn(survey, { ...one, quarterTurn }, least)),
  )
}

/** A quarter turn of a length that is read from end to end. */
interface TurnOfLength extends Length {
  readonly quarterTurn: QuarterTurn
}

function unreadTurn(
  { state, readings }: Survey,
  { section, length, quarterTurn }: TurnOfLength,
  least: Millimetres,
): Reason[] {
  const rows = readings.filter((row) => row.quarterTurn === quarterTurn && row.section === section)
  const turn = { state, ...(section === undefined ? {} : { section }), quarterTurn }
  if (rows.length === 0) return [reasonAt(turn, 'turn-missing', { is: 'turn missing' })]

  const outermost = outermostSpans(rows, length)
  const gaps = gapsBetween(outermost, length).map((gap) =>
    reasonAt({ ...turn, ...inMetres(gap) }, 'gap', { is: 'gap', whole: metres(length) }),
  )
  const thin = thinOverlaps(outermost, least).map((shared) => {
    const says = { is: 'overlap too small' as const, shared: shared.to - shared.from, least }
    return reasonAt({ ...turn, ...inMetres(shared) }, 'overlap-too-small', says)
  })
  return [...gaps, ...thin]
}

/**
 * Sections that add up to less than the stick's working length leave a part of it that no test of the sections reaches,
 * so the entire working length (29 CFR 1910.269(j)(2)(iii)(D)) cannot be shown until the register is put right.
 */
export function sectionsTooShort(stick: Stick): Reason[] {
  const together = lengthsOf(stick).reduce((sum, { length }) => sum + length, 0) as Millimetres
  const working = millimetres(stick.workingLengthMetres)
  if (together >= working) return []
  const says = { is: 'sections too short' as const, together: metres(together), working: metres(working) }
  return [{ code: 'sections-too-short', says }]
}

export function inMetres({ from, to }: Span): { fromMetres: number; toMetres: number } {
  return { fromMetres: metres(from), toMetres: metres(to) }
}
