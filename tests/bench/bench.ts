/**
 * `npm run bench -- [NAME …] [--json] [--rounds N]`: figures of speed, each a ratio to a floor measured in the same run.
 * A new figure is a new file `NAME.figure.ts` beside this one.
 */
import { readdirSync } from 'node:fs'
import { availableParallelism, cpus, totalmem } from 'node:os'
import { parseArgs } from 'node:util'
import type { Figure, Measured } from './figure.ts'

const ending = '.figure.ts'
const names = readdirSync(import.meta.dirname)
  .filter((file) => file.endsWith(ending))
  .map((file) => file.slice(0, -ending.length))
  .sort()

const usage = `npm run bench -- [NAME …] [--json] [--rounds N]\nNAME is one of: ${names.join(', ')}`

interface Line extends Omit<Figure, 'measure' | 'floorIn'>, Measured {
  readonly name: string
}

function asked(): { chosen: readonly string[]; json: boolean; rounds: number } {
  const options = { json: { type: 'boolean', default: false }, rounds: { type: 'string', default: '400' } } as const
  const { values, positionals } = parseArgs({ options, allowPositionals: true })
  const unknown = positionals.filter((name) => !names.includes(name))
  if (unknown.length > 0) throw new RangeError(`no figure is called ${unknown.join(', ')}`)
  const rounds = Number(values.rounds)
  if (!Number.isInteger(rounds) || rounds < 1) throw new RangeError(`--rounds is a whole number, not ${values.rounds}`)
  return { chosen: positionals.length > 0 ? positionals : names, json: values.json, rounds }
}

function askedOrUsage() {
  try {
    return asked()
  } catch (error) {
    console.error(`${error instanceof Error ? error.message : String(error)}\n${usage}`)
    process.exit(2)
  }
}

async function measured(name: string, rounds: number): Promise<Line & { floorIn: string }> {
  const { figure } = (await import(`./${name}${ending}`)) as { figure: Figure }
  const { value, floor } = await figure.measure(rounds)
  return {
    name,
    value: rounded(value),
    unit: figure.unit,
    floor: rounded(floor),
    goal: figure.goal,
    better: figure.better,
    floorIn: figure.floorIn ?? 'ms',
  }
}

function rounded(value: number): number {
  return Number(value.toPrecision(4))
}

function machine() {
  return {
    cpu: cpus()[0]?.model.trim() ?? 'unknown',
    cores: availableParallelism(),
    node: process.version,
    platform: `${process.platform} ${process.arch}`,
    memoryGiB: Math.round((totalmem() / 2 ** 30) * 10) / 10,
  }
}

function table(figures: readonly (Line & { floorIn: string })[]): string {
  const { cpu, cores, node, platform, memoryGiB } = machine()
  const rows = figures.map(({ name, value, unit, floor, floorIn, goal, better }) => {
    const meets = better === 'lower' ? value <= goal : value >= goal
    const most = better === 'lower' ? 'at most' : 'at least'
    return `${meets ? '✓' : '✗'} ${name}: ${value} (${most} ${goal}), ${unit}; the floor took ${floor} ${floorIn}`
  })
  return [`${cpu}, ${cores} cores, ${memoryGiB} GiB, ${platform}, node ${node}`, ...rows].join('\n')
}

const { chosen, json, rounds } = askedOrUsage()
const figures: (Line & { floorIn: string })[] = []
// one after another: side by side they would take the cores from each other
for (const name of chosen) figures.push(await measured(name, rounds))
console.log(
  json
    ? JSON.stringify({ machine: machine(), figures: figures.map(({ floorIn: _, ...line }) => line) }, null, 2)
    : table(figures),
)
