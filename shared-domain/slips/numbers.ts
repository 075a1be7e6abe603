/**
 * Sticks that may be meant instead: the number is one slip away, and the stick lies at the bench where the one named
 * does not.
 */
import type { Happening } from '../facts.ts'
import type { StickState } from '../state/state.ts'
import type { Asked, OddPlace, SlipContext } from './question.ts'

/** The most numbers looked up: one read of the table takes as many. */
const mostLikeNumbers = 100

const isDigit = (letter: string | undefined) => letter !== undefined && letter >= '0' && letter <= '9'

/**
 * The numbers that one slip makes of this one: first two neighbouring digits swapped, then one digit typed for another.
 * Digits are tried from the right, where the numbers of one purchase differ. Letters stand for a kind or a place, and
 * are seldom mistyped into another that exists.
 */
export function likeNumbers(stickId: string): string[] {
  const letters = [...stickId]
  const places = letters.flatMap((letter, at) => (isDigit(letter) ? [at] : [])).reverse()
  const swaps = places.flatMap((at) => {
    const [one, next] = [letters[at], letters[at + 1]]
    return isDigit(next) && one !== next
      ? [
          letters
            .with(at, next ?? '')
            .with(at + 1, one ?? '')
            .join(''),
        ]
      : []
  })
  const others = places.flatMap((at) =>
    [...'0123456789'].filter((digit) => digit !== letters[at]).map((digit) => letters.with(at, digit).join('')),
  )
  return [...swaps, ...others].slice(0, mostLikeNumbers)
}

/** Work that is done to a stick at the bench. */
export function isBenchWork({ kind }: Pick<Happening, 'kind'>): boolean {
  return kind === 'tested' || kind === 'corrective step' || kind === 'released'
}

export function liesAtBench({ custody, missing, scrapped }: StickState): boolean {
  return custody !== null && 'bench' in custody && !missing && scrapped === null
}

/** The question is about the fact as a whole: the number stands in no field of it. */
export function anotherNumber({ stickId, happening }: Asked, { isAtBench, alikeAtBench }: SlipContext): OddPlace[] {
  if (isAtBench || !isBenchWork(happening)) return []
  const [one, two, three] = alikeAtBench
  if (one === undefined) return []
  if (two === undefined) return [{ pointer: '', says: { is: 'another is there', stickId, other: one } }]
  if (three === undefined) return [{ pointer: '', says: { is: 'two others are there', stickId, one, two } }]
  // a fourth would be no likelier than any stick at the bench
  return [{ pointer: '', says: { is: 'three others are there', stickId, one, two, three } }]
}
