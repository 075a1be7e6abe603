/** The place of a stick that is read next at the bench, by the geometry of coverage: no reading is forgotten. */
import { type Millimetres, metres, millimetres } from '../quantities.ts'
import type { Instrument, Procedure, Stick } from '../registers.ts'
import { type QuarterTurn, quarterTurns, type SurfaceState } from '../words.ts'
import type { BenchTest } from './bench-test.ts'
import { gapsBetween, outermostSpans, type Span, thinOverlaps } from './coverage.ts'
import { type Length, lengthsOf, statesAskedOf } from './places.ts'

export interface NextPlace {
  readonly state: SurfaceState
  readonly section?: string
  /** left out by the withstand method, which tests all round at once */
  readonly quarterTurn?: QuarterTurn
  readonly fromMetres: number
  readonly toMetres: number
}

/** No sequence of readings meets the procedure: the span is not longer than what each is to share with the next. */
export const spanTooShort = 'span too short'

/** The measured part of a test, done or under way. */
export type MeasuredSoFar = Pick<BenchTest, 'dry' | 'wet' | 'withstand'>

export interface AtTheBench {
  readonly stick: Stick
  readonly procedure: Pick<Procedure, 'leastOverlapMetres'>
  readonly instrument: Pick<Instrument, 'spanMetres'>
}

/** Millimetres: how long a place is, and what it has in common with the one before it. */
interface Step {
  readonly span: Millimetres
  readonly overlap: Millimetres
}

/**
 * The first place that coverage still misses: dry before wet, section by section, turn by turn, from nought on. Null
 * once nothing is missing; readings that are in doubt for another reason are no matter of this.
 * @lintignore the places of a sheet come from the same step
 */
export function nextPlace(test: MeasuredSoFar, at: AtTheBench): NextPlace | typeof spanTooShort | null {
  for (const state of statesAskedOf(at.stick.construction)) {
    const next = nextPlaceIn(state, test, at)
    if (next !== null) return next
  }
  return null
}

/** The same of one state alone: wet is read at times while dry still has gaps. */
export function nextPlaceIn(
  state: SurfaceState,
  test: MeasuredSoFar,
  at: AtTheBench,
): NextPlace | typeof spanTooShort | null {
  const tested = (test.withstand ?? []).filter((row) => row.state === state)
  const byWithstand = () => nextToWithstand(state, tested, at)
  if (test[state] === undefined && test.withstand !== undefined) return byWithstand()
  // a state is shown by either method alone
  if (tested.length > 0 && byWithstand() === null) return null
  return nextToRead(state, test, at)
}

function nextToRead(state: SurfaceState, test: MeasuredSoFar, at: AtTheBench) {
  const step = stepOf(at)
  const readings = test[state]?.readings ?? []
  for (const one of lengthsOf(at.stick)) {
    for (const quarterTurn of quarterTurns) {
      const rows = readings.filter((row) => row.quarterTurn === quarterTurn && row.section === one.section)
      const next = nextSpan(outermostSpans(rows, one.length), one, step)
      if (next === null) continue
      return next === spanTooShort ? next : { state, ...sectionOf(one), quarterTurn, ...next }
    }
  }
  return null
}

/** Voltages are withstood all round, and the rule asks for no overlap of them. */
function nextToWithstand(
  state: SurfaceState,
  rows: NonNullable<MeasuredSoFar['withstand']>,
  { stick, instrument }: AtTheBench,
) {
  const step = { span: millimetres(instrument.spanMetres), overlap: 0 as Millimetres }
  for (const one of lengthsOf(stick)) {
    const tested = rows.filter((row) => row.section === one.section)
    const next = nextSpan(outermostSpans(tested, one.length), one, step)
    if (next === null) continue
    return next === spanTooShort ? next : { state, ...sectionOf(one), ...next }
  }
  return null
}

const sectionOf = ({ section }: Length) => (section === undefined ? {} : { section })

/** The places of one quarter turn of which nothing is read yet, in the order in which they are asked for. */
export function placesOfTurn(one: Length, at: Omit<AtTheBench, 'stick'>): Along[] | typeof spanTooShort {
  const step = stepOf(at)
  const places: Along[] = []
  for (;;) {
    const next = nextSpan(outermostSpans(places, one.length), one, step)
    if (next === null || next === spanTooShort) return next ?? places
    places.push(next)
  }
}

const stepOf = ({ procedure, instrument }: Omit<AtTheBench, 'stick'>): Step => ({
  span: millimetres(instrument.spanMetres),
  overlap: millimetres(procedure.leastOverlapMetres),
})

type Along = Pick<NextPlace, 'fromMetres' | 'toMetres'>

/** A place as far along as the overlap allows: each one further back would make one reading more of it. */
function nextSpan(outermost: readonly Span[], { length }: Length, { span, overlap }: Step) {
  const gaps = gapsBetween(outermost, length).map((gap) => gap.from)
  const thin = thinOverlaps(outermost, overlap).map((shared) => shared.to)
  // metres that the readings reach without a fault
  const reached = Math.min(...gaps, ...thin)
  if (reached === Number.POSITIVE_INFINITY) return null
  if (span <= overlap && span < length) return spanTooShort
  // the last span is laid back from the end, whose electrode would hang in the air otherwise
  const from = Math.max(0, Math.min(reached - overlap, length - span)) as Millimetres
  return { fromMetres: metres(from), toMetres: metres(Math.min(from + span, length) as Millimetres) }
}
