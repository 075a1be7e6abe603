/** Advice on a fleet as sentences with their values, for whoever says them. */
import type { fleet } from '../catalogue/en/fleet.ts'
import type { SaidOf } from '../catalogue/say.ts'
import type { AdviceWord } from './interval-advice.ts'
import type { GroupAdvice } from './reliability.ts'
import type { LotStandingOut } from './standing-out.ts'

type Sentence = SaidOf<typeof fleet>

/** Months are told to a tenth and rounded down: what is advised is never later than what follows. */
const tenthsDown = (months: number) => Math.floor(months * 10) / 10

export function sentenceOfAdvice({ says, of }: Pick<GroupAdvice, 'says' | 'of'>): Sentence {
  if (says.is === 'too few') return { is: 'advice too few', tested: of, needed: says.needed }
  if (says.is === 'shorten') return { is: 'advice shorten', months: tenthsDown(says.months) }
  if (says.is === 'lengthen')
    return { is: says.isCapped ? 'advice lengthen, capped' : 'advice lengthen', months: tenthsDown(says.months) }
  return { is: `advice ${says.is}` }
}

/** A chance is told in per cent to two places and rounded up: never as smaller than it is. */
const percentUp = (chance: number): number => Math.ceil(chance * 10_000) / 100

export function sentenceOfLot(lot: LotStandingOut, looked: number): Sentence {
  return {
    is: 'lot stands out',
    lot: lot.lot,
    failed: lot.found,
    tested: lot.of,
    others: lot.rest.found,
    rest: lot.rest.of,
    percent: percentUp(lot.chancePutRight),
    looked,
  }
}

export function sentenceOfLots({ looked, standingOut }: { looked: number; standingOut: readonly unknown[] }) {
  if (standingOut.length > 0) return null
  return looked === 0 ? ({ is: 'lots none to look at' } as const) : ({ is: 'lots none stand out', looked } as const)
}

export const codeOfAdvice = ({ is }: AdviceWord): string => is.replaceAll(' ', '-')
