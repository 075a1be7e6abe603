/**
 * Leakage readings whose decimal may have slipped, compared with their neighbours in the same test and with the same
 * places in the test before. All figures are the house's own. A first wet pass that was dried and repeated is not
 * looked at: it is not judged.
 */
import type { BenchTest, Reading } from '../bench-test/bench-test.ts'
import { limitFor } from '../bench-test/limits.ts'
import { placeOf } from '../bench-test/places.ts'
import { millimetres } from '../quantities.ts'
import { type SurfaceState, surfaceStates } from '../words.ts'
import type { OddPlace, Tests } from './question.ts'
import { agree, meantBy, rounded, tenfold } from './tenfold.ts'

/** A slip is tenfold, less what neighbours differ by. */
const far = 7
/** neighbours on either side along the turn */
const neighboursAside = 3
/** The fewest neighbours that are compared with: of fewer, one that slipped itself would be half of their median. */
const fewestNeighbours = 3
/** A share of the limit: below it, figures differ by steps of the instrument. */
const leastShareOfLimit = 0.1
/** The fewest readings that are off alike and asked about as one: fewer are asked about one by one. */
const fewestOfAll = 3

/** A reading with its place in the body. */
interface Typed {
  readonly reading: Reading
  readonly pointer: string
}

/** A surface state of a test. Readings that the bench itself says had not come to rest are passed over. */
interface Survey {
  readonly state: SurfaceState
  readonly typed: readonly Typed[]
  /** two readings that both lie under this differ by nothing that tells */
  readonly leastMicroamps: number
}

function surveysOf(test: BenchTest, tests: Tests): Survey[] {
  return surfaceStates.map((state) => {
    const typed = (test[state]?.readings ?? [])
      .map((reading, i) => ({ reading, pointer: `/${state}/readings/${i}/leakageMicroamps` }))
      .filter(({ reading }) => reading.settled !== false)
    return { state, typed, leastMicroamps: leastMicroamps(state, typed, tests) }
  })
}

/** The usual reading takes the place of the limit where no limit covers the stick. */
function leastMicroamps(state: SurfaceState, typed: readonly Typed[], { by }: Tests): number {
  const limit = limitFor(state, by)
  if (limit !== undefined) return limit.microamps * leastShareOfLimit
  return medianOf(typed.map(({ reading }) => reading.leakageMicroamps)) || Number.POSITIVE_INFINITY
}

export function farFromNeighbours(test: BenchTest, tests: Tests): OddPlace[] {
  return surveysOf(test, tests).flatMap((survey) => {
    const neighboursOf = neighbourhood(survey.typed.map(({ reading }) => reading))
    return survey.typed.flatMap((one) => farFrom(neighboursOf(one.reading), one, survey))
  })
}

function farFrom(neighbours: readonly number[], { reading, pointer }: Typed, survey: Survey): OddPlace[] {
  if (neighbours.length < fewestNeighbours) return []
  const { leakageMicroamps: reads } = reading
  const usual = medianOf(neighbours)
  const [less, more] = reads < usual ? [reads, usual] : [usual, reads]
  if (more < survey.leastMicroamps || more < rounded(far * less)) return []
  const meant = meantBy(reads, usual)
  const figures = { reads, usual: rounded(usual, 2) }
  const says =
    meant === undefined
      ? { is: 'far from its neighbours' as const, ...figures }
      : { is: 'far from its neighbours, meant' as const, ...figures, meant }
  return [{ pointer, says, place: placeOf(survey.state, reading) }]
}

/** The readings beside one on its quarter turn, and those at the same place of the other turns. */
function neighbourhood(readings: readonly Reading[]): (one: Reading) => number[] {
  const turns = Map.groupBy(inOrderAlong(readings), turnKey)
  const places = Map.groupBy(readings, spanKey)
  return (one) => {
    const turn = turns.get(turnKey(one)) ?? []
    const at = turn.indexOf(one)
    const aside = turn.slice(Math.max(0, at - neighboursAside), at + neighboursAside + 1)
    const around = places.get(spanKey(one)) ?? []
    return [...aside, ...around].filter((other) => other !== one).map((other) => other.leakageMicroamps)
  }
}

const inOrderAlong = (readings: readonly Reading[]) =>
  [...readings].sort((one, other) => one.fromMetres - other.fromMetres || one.toMetres - other.toMetres)

const turnKey = ({ section, quarterTurn }: Reading) => JSON.stringify([section ?? null, quarterTurn])
const spanKey = ({ section, fromMetres, toMetres }: Reading) =>
  JSON.stringify([section ?? null, millimetres(fromMetres), millimetres(toMetres)])
const placeKey = (one: Reading) => turnKey(one) + spanKey(one)

/** A reading that ten times or a tenth of it would agree with the last test, where it does not as it was typed. */
interface Slipped extends Typed {
  readonly meant: number
  readonly was: number
}

/**
 * Slipped readings are asked about one by one, or all as one where most of the state is off alike. In that case another
 * unit was used, or the stick itself has changed all along.
 */
export function offFromLastTest(test: BenchTest, tests: Tests): OddPlace[] {
  return surveysOf(test, tests).flatMap((survey): OddPlace[] => {
    const { state, typed, leastMicroamps: least } = survey
    const last = tests.earlier.find((one) => (one[state]?.readings.length ?? 0) > 0)
    if (last === undefined) return []
    const then = new Map(last[state]?.readings.map((one) => [placeKey(one), one.leakageMicroamps]))
    const compared = typed.filter(({ reading }) => then.has(placeKey(reading)))
    const slipped = compared.flatMap((one): Slipped[] => {
      const { leakageMicroamps: reads } = one.reading
      const was = then.get(placeKey(one.reading)) ?? 0
      const meant = Math.max(reads, was) < least ? undefined : tenfold(reads).find((other) => agree(other, was))
      return meant === undefined ? [] : [{ ...one, meant, was }]
    })
    const lastOn = last.testedOn
    const alike = mostAlike(slipped, compared.length)
    if (alike !== undefined) {
      const says = { ...alike, of: compared.length, last: lastOn }
      return [{ pointer: `/${state}/readings`, says, place: { state } }]
    }
    return slipped.map(({ reading, pointer, meant, was }) => ({
      pointer,
      says: { is: 'off from the last test', reads: reading.leakageMicroamps, last: lastOn, was, meant },
      place: placeOf(state, reading),
    }))
  })
}

interface Alike {
  readonly is: 'ten times the last test' | 'a tenth of the last test'
  readonly count: number
}

function mostAlike(slipped: readonly Slipped[], compared: number): Alike | undefined {
  const over = slipped.filter(({ reading, meant }) => reading.leakageMicroamps > meant).length
  const under = slipped.length - over
  const alike: Alike =
    over > under ? { is: 'ten times the last test', count: over } : { is: 'a tenth of the last test', count: under }
  return alike.count >= fewestOfAll && alike.count > compared / 2 ? alike : undefined
}

function medianOf(figures: readonly number[]): number {
  const sorted = [...figures].sort((one, other) => one - other)
  const [one = 0, other = one] = [sorted[Math.ceil(sorted.length / 2) - 1], sorted[Math.floor(sorted.length / 2)]]
  return (one + other) / 2
}
