/**
 * What recording costs beyond writing: a fact through all its doors, beside a request and one transaction of the same
 * bytes.
 */
import { withFacts } from './facts.ts'
import type { Figure } from './figure.ts'
import { inTurn } from './interleaved.ts'

/** A median needs no more. */
const mostRounds = 200

export const figure: Figure = {
  unit: 'ratio to the same bytes by one request and one transaction',
  better: 'lower',
  goal: 2,
  measure: (asked) => {
    const rounds = Math.min(asked, mostRounds)
    // the first are slow until what runs often is compiled
    const warmUp = Math.ceil(rounds / 4)
    return withFacts(rounds + warmUp, ({ record, floor, settle }) =>
      inTurn(
        () => millisOf(floor, settle),
        () => millisOf(record, settle),
        { rounds, warmUp },
      ),
    )
  },
}

async function millisOf(work: () => Promise<void>, settle: () => Promise<void>): Promise<number> {
  const started = performance.now()
  await work()
  const millis = performance.now() - started
  await settle()
  return millis
}
