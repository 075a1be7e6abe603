/**
 * How many facts a second come through on different sticks, beside as many requests at a time that only write the same
 * bytes.
 */
import { type Facts, sideBySide, withFacts } from './facts.ts'
import type { Figure } from './figure.ts'
import { inTurn } from './interleaved.ts'

const [few, many] = [8, 32]
const warmUp = 1
const mostRounds = 5
/** Three for each of many writers. */
const mostFactsInARound = 96

export const figure: Figure = {
  unit: 'ratio to the facts a second that an emulated table takes of 8 writers or of 32, whichever is lower',
  better: 'higher',
  goal: 0.7,
  floorIn: 'facts a second',
  measure: (asked) => {
    const size = {
      rounds: Math.min(Math.ceil(asked / 80), mostRounds),
      inARound: Math.max(many, Math.min(asked, mostFactsInARound)),
    }
    return withFacts(2 * (size.rounds + warmUp) * size.inARound, async (facts) => {
      const [ofFew, ofMany] = [await ofWriters(few, facts, size), await ofWriters(many, facts, size)]
      return ofFew.value < ofMany.value ? ofFew : ofMany
    })
  },
}

interface Size {
  readonly rounds: number
  readonly inARound: number
}

function ofWriters(atOnce: number, { record, floor, settle }: Facts, { rounds, inARound }: Size) {
  const perSecond = (work: () => Promise<void>) => async () => {
    const started = performance.now()
    await sideBySide(atOnce, Array.from({ length: inARound }), work)
    const seconds = (performance.now() - started) / 1000
    await settle()
    return inARound / seconds
  }
  return inTurn(perSecond(floor), perSecond(record), { rounds, warmUp })
}
