/** How fast rows of a file become bodies that their requests take, beside a parser that only tells its cells apart. */
import type { Figure } from './figure.ts'
import { fileOfSticks, parsedAlone, readAsBodies } from './import-rows.ts'
import { inTurn } from './interleaved.ts'

const sticks = 50_000

export const figure: Figure = {
  unit: 'ratio to the rows that csv-parse alone tells apart in the same time, of the same 50,000 rows and no table',
  better: 'higher',
  goal: 0.33,
  async measure(rounds) {
    const file = fileOfSticks(sticks)
    const timed = (work: (file: Uint8Array) => Promise<number>, found: number) => async () => {
      const began = performance.now()
      if ((await work(file)) !== found) throw new Error(`not ${found} rows`)
      return performance.now() - began
    }
    const [alone, asBodies] = [timed(parsedAlone, sticks + 1), timed(readAsBodies, sticks)]
    const { value, floor } = await inTurn(asBodies, alone, { rounds: Math.ceil(rounds / 10), warmUp: 3 })
    return { value, floor: floor * value }
  },
}
