/** Two pieces of work timed against each other, so that whatever else the machine does falls on both. */
import type { Measured } from './figure.ts'

type Work = () => unknown

/** A figure's own piece of work is at least this often done before it is timed, so that it is compiled. */
const leastWarmUp = 3

/** The medians over the rounds: of the ratio within each round, and of the floor. */
export function interleaved(
  floor: Work,
  candidate: Work,
  rounds: number,
  now: () => number = () => performance.now(),
): Measured {
  // results are kept until the end, so that no compiler may leave the work out
  const kept: unknown[] = []
  const timed = (work: Work): number => {
    const started = now()
    kept[0] = work()
    return now() - started
  }
  for (let round = 0; round < Math.max(leastWarmUp, rounds / 4); round++) kept[1] = [floor(), candidate()]
  const times = Array.from({ length: rounds }, () => {
    const atFloor = timed(floor)
    return { atFloor, ratio: timed(candidate) / atFloor }
  })
  if (kept.includes(undefined)) throw new Error('work that gives no result may never have been done')
  return { value: median(times.map((one) => one.ratio)), floor: median(times.map((one) => one.atFloor)) }
}

/** The same of work that tells its own time, as that of another process or of a server does. */
export async function inTurn(
  floor: Told,
  candidate: Told,
  { rounds, warmUp }: { readonly rounds: number; readonly warmUp: number },
): Promise<Measured & { readonly candidate: number }> {
  const times: { atFloor: number; atCandidate: number }[] = []
  for (let round = -warmUp; round < rounds; round++) {
    const time = { atFloor: await floor(), atCandidate: await candidate() }
    if (round >= 0) times.push(time)
  }
  return {
    value: median(times.map(({ atFloor, atCandidate }) => atCandidate / atFloor)),
    floor: median(times.map(({ atFloor }) => atFloor)),
    candidate: median(times.map(({ atCandidate }) => atCandidate)),
  }
}

type Told = () => number | Promise<number>

export function median(numbers: readonly number[]): number {
  const sorted = numbers.toSorted((one, other) => one - other)
  const middle = sorted.length >> 1
  const upper = sorted[middle] ?? Number.NaN
  return sorted.length % 2 === 1 ? upper : ((sorted[middle - 1] ?? Number.NaN) + upper) / 2
}
