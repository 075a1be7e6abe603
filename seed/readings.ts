/**
 * Invented surveys that behave like leakage readings: level along a sound stick, higher wet than dry, a little more at
 * the handled end, drifting slowly over the years, and telling a fault by its place: at a joint on every quarter turn,
 * on the surface on one.
 */
import type { Reading } from '../shared-domain/bench-test/bench-test.ts'
import { lengthsOf } from '../shared-domain/bench-test/places.ts'
import { millimetres } from '../shared-domain/quantities.ts'
import { type QuarterTurn, quarterTurns, type SurfaceState } from '../shared-domain/words.ts'
import { type Chance, chanceOf, drawBetween } from './chance.ts'
import { type DemoStick, leastOverlapMetres } from './fleet.ts'

/** Something wrong with a stick, as its readings show it. */
export interface Blemish {
  /** place along the whole stick, from 0 at the working end to 1 */
  readonly at: number
  /** the one quarter turn that shows it; every turn shows it where this is left out */
  readonly quarterTurn?: QuarterTurn
  readonly dryMicroamps: number
  readonly wetMicroamps: number
}

export interface SurveyPlan {
  readonly stick: DemoStick
  readonly state: SurfaceState
  readonly spanMetres: number
  /** text that tells this survey from every other one */
  readonly key: string
  readonly yearsInService: number
  readonly blemishes: readonly Blemish[]
}

interface Place {
  readonly section?: string
  readonly quarterTurn: QuarterTurn
  /** millimetres within the section */
  readonly from: number
  readonly to: number
  /** middle of the span along the whole stick, metres */
  readonly along: number
}

export function readingsOf(survey: SurveyPlan): Reading[] {
  const { stick, state } = survey
  const grain = chanceOf(`grain ${stick.id} ${state}`)
  const level = levelOf(survey, grain)
  const noise = chanceOf(`noise ${survey.key} ${state}`)
  return placesOn(survey).map((place) => {
    const microamps = level + drawBetween(grain, -0.3, 0.3) + drawBetween(noise, -0.2, 0.2) + extraAt(place, survey)
    return {
      ...(place.section === undefined ? {} : { section: place.section }),
      quarterTurn: place.quarterTurn,
      fromMetres: place.from / 1000,
      toMetres: place.to / 1000,
      leakageMicroamps: Math.round(microamps * 10) / 10,
      ...(state === 'wet' ? { settled: true } : {}),
    }
  })
}

/** Dry 4 to 6 µA, wet 7.6 to 12, and up to 0.25 µA more with every year of service. */
function levelOf({ stick, state, yearsInService }: SurveyPlan, grain: Chance): number {
  const fresh = state === 'wet' ? drawBetween(grain, 7.8, 11.2) : drawBetween(grain, 4.3, 5.2)
  const moist = stick.construction === 'wood' ? 1.4 : 0
  return fresh + moist + Math.min(1, drawBetween(grain, 0, 0.25) * yearsInService)
}

function extraAt(place: Place, { stick, state, blemishes }: SurveyPlan): number {
  const share = place.along / stick.workingLengthMetres
  const handled = share > 0.85 ? 0.3 : 0
  return blemishes
    .filter(({ quarterTurn }) => quarterTurn === undefined || quarterTurn === place.quarterTurn)
    .map((one) => (state === 'wet' ? one.wetMicroamps : one.dryMicroamps) * nearness(place, one, stick))
    .reduce((sum, microamps) => sum + microamps, handled)
}

/** All of it where the span takes it in, fading to nothing a hand's breadth or two beyond. */
function nearness({ along, from, to }: Place, { at }: Blemish, { workingLengthMetres }: DemoStick): number {
  const beyond = Math.abs(along - at * workingLengthMetres) - (to - from) / 2000
  if (beyond <= 0) return 1
  return beyond > 0.3 ? 0 : Math.exp(-((beyond / 0.12) ** 2))
}

function placesOn({ stick, spanMetres }: SurveyPlan): Place[] {
  const span = millimetres(spanMetres)
  const step = span - millimetres(leastOverlapMetres)
  const lengths = lengthsOf(stick)
  return lengths.flatMap(({ section, length }, i) => {
    const before = lengths.slice(0, i).reduce((sum, one) => sum + one.length, 0)
    return quarterTurns.flatMap((quarterTurn) =>
      startsOf(length, span, step).map((from) => ({
        ...(section === undefined ? {} : { section }),
        quarterTurn,
        from,
        to: from + span,
        along: (before + from + span / 2) / 1000,
      })),
    )
  })
}

function startsOf(length: number, span: number, step: number): number[] {
  const count = Math.ceil((length - span) / step) + 1
  return Array.from({ length: count }, (_, i) => Math.min(i * step, length - span))
}
