/**
 * `npm run simulate -- --years N --sticks N --seed S [--faults] [--plant NAME]`: the whole service in one process, for
 * years.
 */
import { endUnlessClear, readCommandLine } from '../../functions/ground/command-line.ts'
import { chanceOf } from '../../seed/chance.ts'
import { type PlantName, plants } from './plants.ts'
import { type Asked, type Outcome, run } from './run.ts'

const usage = `npm run simulate -- [--years N] [--sticks N] [--seed S] [--faults] [--plant NAME]
  --years   how many years go by (4)
  --sticks  how many sticks there are to begin with (25)
  --seed    by which everything happens: the same seed is the same run (1)
  --faults  calls fail, functions die, batches come doubled and out of order, mail comes back,
            services are away for hours
  --plant   a fault that must be found: ${Object.keys(plants).join(', ')}
  --help    print this`

const takes = { years: 'value', sticks: 'value', seed: 'value', faults: 'nothing', plant: 'value' } as const

function asked(): Asked {
  const { help, textOf, has, words, faults } = readCommandLine(process.argv.slice(2), takes)
  const [years, sticks] = [Number(textOf('years') ?? '4'), Number(textOf('sticks') ?? '25')]
  const plant = textOf('plant')
  const all = [...words.map((word) => `${word} is no flag`), ...faults]
  if (!isCount(years) || !isCount(sticks)) all.push('--years and --sticks: a whole number from 1')
  if (plant !== undefined && !(plant in plants)) all.push(`--plant: no fault has the name ${plant}`)
  endUnlessClear({ help, faults: all }, usage)
  const seed = textOf('seed') ?? '1'
  return { years, sticks, seed, faults: has('faults'), ...(plant === undefined ? {} : { plant: plant as PlantName }) }
}

const isCount = (count: number) => Number.isInteger(count) && count > 0

/** What the functions log would hide what is told here. */
const say = console.log
for (const level of ['info', 'error'] as const) console[level] = () => undefined

/** Waits within a run take no time and come in the order in which they began, and their lengths are of the seed. */
function waitForNothing(seed: string): void {
  Math.random = chanceOf(`${seed} waits`)
  globalThis.setTimeout = ((then: () => void) => setImmediate(then)) as unknown as typeof setTimeout
}

function told({ checked, struck, broken }: Outcome, { years, sticks, seed }: Asked, seconds: number): string {
  const faults = [...struck.values()].reduce((sum, count) => sum + count, 0)
  const counts = Object.entries(checked).map(([what, count]) => `${count} ${what}`)
  return [
    `seed ${seed}: ${sticks} sticks for ${years} years in ${seconds} s, ${faults} faults struck`,
    `  ${counts.join(', ')}`,
    broken === null ? '  nothing broke' : `  BROKEN ${broken}`,
  ].join('\n')
}

async function main(): Promise<void> {
  const what = asked()
  waitForNothing(what.seed)
  // a promise that nobody waits for by then ends the process of a function in the middle of its work
  process.on('unhandledRejection', (error) => {
    say(`seed ${what.seed}: BROKEN a rejection that nobody heard: ${(error as Error).stack}`)
    process.exit(1)
  })
  const began = performance.now()
  const outcome = await run(what)
  say(told(outcome, what, Math.round((performance.now() - began) / 1000)))
  process.exit(outcome.broken === null ? 0 : 1)
}

await main()
