/**
 * Lots that fail more often than the rest of the fleet, so that a bad lot is seen before somebody is hurt by it.
 *
 * Each lot is held against all sticks that are not of it (Fisher's exact test), and the chances are put right for how
 * many lots were looked at (Holm). A stick counts once, failed or not, since the tests of one stick are no separate
 * evidence.
 */
import { type Counted, chanceOfAsMany, putRightForMany } from './exact.ts'

/** Sticks of a lot that were tested; `found` failed. */
export interface LotTested extends Counted {
  readonly lot: string
}

export interface LotStandingOut extends LotTested {
  readonly rest: Counted
  /** the probability that chance alone puts so many failures into this lot */
  readonly chance: number
  /** the same, put right for how many lots were looked at */
  readonly chancePutRight: number
}

export interface LotsLookedAt {
  readonly looked: number
  /** the least likely first */
  readonly standingOut: readonly LotStandingOut[]
}

/** The house's own figure: a hundred fleets without a bad lot are told of one at most five times. */
const mostChance = 0.05

/** `all` are the tested sticks, those without a lot among them. */
export function lotsStandingOut(lots: readonly LotTested[], all: Counted): LotsLookedAt {
  const tested = lots.filter(({ of }) => of > 0)
  const held = tested.map((one) => {
    const rest = { found: all.found - one.found, of: all.of - one.of }
    return { ...one, rest, chance: chanceOfAsMany({ lot: one, rest }) }
  })
  const putRight = putRightForMany(held.map(({ chance }) => chance))
  const standingOut = held
    .map((one, i) => ({ ...one, chancePutRight: putRight[i] ?? 1 }))
    .filter(({ chancePutRight }) => chancePutRight <= mostChance)
    .sort((a, b) => a.chance - b.chance || (a.lot < b.lot ? -1 : 1))
  return { looked: tested.length, standingOut }
}
