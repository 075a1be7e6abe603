/**
 * Hints from the places that stand out on a survey, for whoever looks at the stick next, and never a verdict.
 *
 * The cause that each pattern points to is common practice and proves nothing, as every text says. The figures that
 * tell one pattern from another are this product's own.
 */
import { type Millimetres, millimetres } from '../quantities.ts'
import type { Reason } from '../reason.ts'
import { type QuarterTurn, quarterTurns } from '../words.ts'
import { inMetres, type Span } from './coverage.ts'
import { type Place, placeOf, reasonAt } from './places.ts'
import { cellsOn, placeKey, placesRead, type SpanOnTurn } from './read-places.ts'
import type { Cell, Strip } from './strip.ts'

type Code = 'one-turn-only' | 'one-place-every-turn' | 'everywhere-alike' | 'wet-only' | 'rising-since-last-test'

export interface Likely extends Place {
  readonly code: Code
  readonly says: Hint
}

type Hint = Extract<NonNullable<Reason['says']>, { readonly is: `likely ${string}` }>

/** Nearly all of a turn, not all: one place of eight read with some overlap may still conform. */
const nearlyAll = 0.9
/** Fewer places on a turn cannot tell everywhere from one place. */
const fewestPlaces = 3
/** The most of the length that is still called one place. */
const mostOfOnePlace = 0.5
/** The most that the highest of readings that are alike is to the lowest. */
const alike = 1.5
/** The share of its limit from which a reading has come near it. */
const nearLimit = 0.8
/**
 * Half as much again: were the last reading capacitive throughout, more than as much in phase has come on top of it.
 */
const muchHigher = 1.5

/** Likely causes by a test and the one before it. A section of a telescoping stick is looked at by itself. */
export function likelyCauses(now: readonly Strip[], before: readonly Strip[] | null): Likely[] {
  return now.flatMap((strip) => [
    ...aroundTheStick(strip),
    ...wetOnly(strip, now),
    ...(before === null ? [] : rising(strip, before)),
  ])
}

/**
 * Patterns that tell nothing for sure are passed over:
 * - a place on two or three turns may be either, wide dirt or a fault inside off the middle;
 * - a stick may stand out over most of its length but not alike;
 * - a stick may be too short to tell everywhere from one place.
 */
function aroundTheStick(strip: Strip): Likely[] {
  const high = quarterTurns.map((quarterTurn) => spansOf(strip, quarterTurn, standsOut))
  const length = millimetres(strip.lengthMetres)
  const everyTurn = onEveryTurn(high)
  return [
    ...(isEverywhere(strip, high, length) ? [everywhere(strip, length)] : []),
    ...(lengthOf(everyTurn) > mostOfOnePlace * length ? [] : everyTurn.map((place) => insideOrJoint(strip, place))),
    ...quarterTurns.flatMap((quarterTurn) => onOneTurn(strip, quarterTurn)),
  ]
}

function isEverywhere(strip: Strip, high: readonly Span[][], length: Millimetres): boolean {
  const reaches = high.every((spans) => spans.length >= fewestPlaces && lengthOf(spans) >= nearlyAll * length)
  return reaches && isAlike(strip)
}

function isAlike(strip: Strip): boolean {
  const readings = placesRead([strip])
    .filter(standsOut)
    .map((one) => one.leakageMicroamps)
  return Math.max(...readings) <= alike * Math.min(...readings)
}

function everywhere(strip: Strip, length: Millimetres): Likely {
  const place = at(strip, { from: 0 as Millimetres, to: length })
  return likely('everywhere-alike', place, {
    is: strip.state === 'wet' ? 'likely contamination, moisture or too much water' : 'likely contamination or moisture',
  })
}

function insideOrJoint(strip: Strip, place: Span): Likely {
  return likely('one-place-every-turn', at(strip, place), { is: 'likely inside or at a joint' })
}

/** The parts that spans of all four turns have in common; where they only touch, the spans that do. */
function onEveryTurn(high: readonly Span[][]): Span[] {
  const [first = [], ...others] = high.map(joined)
  return others.reduce(inCommon, first).map((shared) => {
    if (shared.from < shared.to) return shared
    const meeting = high.flat().filter((span) => touches(span, shared))
    return {
      from: Math.min(...meeting.map((span) => span.from)) as Millimetres,
      to: Math.max(...meeting.map((span) => span.to)) as Millimetres,
    }
  })
}

/**
 * A place is on one turn only where the other three were read and conform: a turn that was not read may stand out as
 * well.
 */
function onOneTurn(strip: Strip, quarterTurn: QuarterTurn): Likely[] {
  const others = quarterTurns.filter((other) => other !== quarterTurn)
  return joined(spansOf(strip, quarterTurn, standsOut))
    .filter((place) => others.every((other) => conformsAt(strip, other, place)))
    .map((place) => likely('one-turn-only', at(strip, place, quarterTurn), { is: 'likely on the surface' }))
}

/**
 * A place is wet only where dry was read over the same place and conforms, and stands out on no turn there. Another
 * place that stands out dry tells nothing of this one.
 */
function wetOnly(wet: Strip, now: readonly Strip[]): Likely[] {
  const dry = now.find((strip) => strip.state === 'dry' && strip.section === wet.section)
  if (wet.state !== 'wet' || dry === undefined) return []

  const high = quarterTurns.flatMap((quarterTurn) =>
    spansOf(wet, quarterTurn, standsOut).map((span) => ({ quarterTurn, span })),
  )
  return joined(high.map(({ span }) => span)).flatMap((place) => {
    const there = high.filter(({ span }) => touches(span, place))
    const stoodOutDry = quarterTurns.some((turn) => spansOf(dry, turn, standsOut).some((span) => touches(span, place)))
    if (stoodOutDry || !there.every(({ quarterTurn, span }) => conformsAt(dry, quarterTurn, span))) return []

    const [turn, ...more] = new Set(there.map(({ quarterTurn }) => quarterTurn))
    const where = at(wet, place, more.length === 0 ? turn : undefined)
    return [likely('wet-only', where, { is: 'likely holding water' })]
  })
}

/**
 * A rising reading stands out or has come to four fifths of its limit, and is at least half as much again as at the
 * same place in the last test. Places that touch are told as one, with the figures of the highest.
 */
function rising(strip: Strip, before: readonly Strip[]): Likely[] {
  const earlier = new Map(placesRead(before).map((one) => [placeKey(one), one.leakageMicroamps]))
  const limit = strip.limitMicroamps
  const risen = placesRead([strip]).flatMap((one) => {
    const { leakageMicroamps } = one
    const wasMicroamps = earlier.get(placeKey(one))
    if (wasMicroamps === undefined || leakageMicroamps < muchHigher * wasMicroamps) return []
    const isNear = limit !== null && leakageMicroamps >= nearLimit * limit
    return standsOut(one) || isNear ? [{ ...one, wasMicroamps, span: spanOf(one.place) }] : []
  })
  return quarterTurns.flatMap((quarterTurn) => {
    const onTurn = risen.filter(({ place }) => place.quarterTurn === quarterTurn)
    return joined(onTurn.map(({ span }) => span)).flatMap((run) => {
      const [highest] = onTurn
        .filter(({ span }) => touches(span, run))
        .sort((one, other) => other.leakageMicroamps - one.leakageMicroamps)
      if (highest === undefined) return []
      const { leakageMicroamps: microamps, wasMicroamps: was } = highest
      return [
        likely('rising-since-last-test', at(strip, run, quarterTurn), { is: 'likely getting worse', microamps, was }),
      ]
    })
  })
}

function likely(code: Code, place: Place, says: Hint): Likely {
  return { ...reasonAt(place, code, says), code, says }
}

function at({ state, section }: Strip, span: Span, quarterTurn?: QuarterTurn): Place {
  return placeOf(state, { section, quarterTurn, ...inMetres(span) })
}

function standsOut({ mark }: Pick<Cell, 'mark'>): boolean {
  return mark === 'over limit' || mark === 'in guard band'
}

function spansOf(strip: Strip, quarterTurn: QuarterTurn, wanted: (cell: Cell) => boolean): Span[] {
  return cellsOn(strip, quarterTurn).filter(wanted).map(spanOf)
}

function spanOf({ fromMetres, toMetres }: Pick<SpanOnTurn, 'fromMetres' | 'toMetres'>): Span {
  return { from: millimetres(fromMetres), to: millimetres(toMetres) }
}

/** Tells whether the span was read from end to end, and nothing that so much as touches it stands out. */
function conformsAt(strip: Strip, quarterTurn: QuarterTurn, span: Span): boolean {
  if (spansOf(strip, quarterTurn, standsOut).some((high) => touches(high, span))) return false
  const conforming = joined(spansOf(strip, quarterTurn, ({ mark }) => mark === 'conforms'))
  return conforming.some((one) => one.from <= span.from && span.to <= one.to)
}

function touches(one: Span, other: Span): boolean {
  return one.from <= other.to && other.from <= one.to
}

function inCommon(ones: readonly Span[], others: readonly Span[]): Span[] {
  return ones.flatMap((one) =>
    others
      .filter((other) => touches(one, other))
      .map((other) => ({
        from: Math.max(one.from, other.from) as Millimetres,
        to: Math.min(one.to, other.to) as Millimetres,
      })),
  )
}

/** Spans that touch or overlap made one, in order along the stick. */
function joined(spans: readonly Span[]): Span[] {
  const runs: Span[] = []
  for (const span of [...spans].sort((one, other) => one.from - other.from)) {
    const last = runs.at(-1)
    if (last === undefined || last.to < span.from) runs.push(span)
    else runs.splice(-1, 1, { from: last.from, to: Math.max(last.to, span.to) as Millimetres })
  }
  return runs
}

function lengthOf(spans: readonly Span[]): number {
  return joined(spans).reduce((sum, { from, to }) => sum + (to - from), 0)
}
