/** `npm run simulate -- --years N --sticks N --seed S [--faults] [--plant NAME]`: the whole service in one process, for years. */
import { parseArgs } from 'node:util'
import { type PlantName, plants } from './plants.ts'
import { type Asked, type Outcome, run } from './run.ts'

const usage = `npm run simulate -- [--years N] [--sticks N] [--seed S] [--faults] [--plant NAME]
  --years   how many years go by (4)
  --sticks  how many sticks there are to begin with (25)
  --seed    by which everything happens: the same seed is the same run (1)
  --faults  calls fail, functions die, batches come doubled and out of order, mail comes back, services are away for hours
  --plant   a fault that must be found: ${Object.keys(plants).join(', ')}`

function asked(): Asked {
  const { values } = parseArgs({
    options: {
      years: { type: 'string', default: '4' },
      sticks: { type: 'string', default: '25' },
      seed: { type: 'string', default: '1' },
      faults: { type: 'boolean', default: false },
      plant: { type: 'string' },
    },
  })
  const { seed, faults, plant } = values
  const [years, sticks] = [Number(values.years), Number(values.sticks)]
  if (!isCount(years) || !isCount(sticks)) throw new Error('--years and --sticks: a whole number from 1')
  if (plant !== undefined && !(plant in plants)) throw new Error(`--plant: no fault has the name ${plant}`)
  return { years, sticks, seed, faults, ...(plant === undefined ? {} : { plant: plant as PlantName }) }
}

const isCount = (count: number) => Number.isInteger(count) && count > 0

/** What the functions log would hide what is told here. */
const say = console.log
for (const level of ['info', 'error'] as const) console[level] = () => undefined

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

try {
  await main()
} catch (error) {
  say(`${(error as Error).message}\n\n${usage}`)
  process.exit(2)
}
