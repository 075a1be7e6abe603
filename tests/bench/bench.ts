/**
 * `npm run bench -- [NAME …] [--json] [--rounds N]`: figures of speed and of cost, most of them a ratio to a floor
 * measured in the same run. A new figure is a new file `NAME.figure.ts` beside this one; several of a kind, `NAME/…`,
 * are one file `NAME.figures.ts`.
 */
import { readdirSync } from 'node:fs'
import { availableParallelism, cpus, totalmem } from 'node:os'
import { endUnlessClear, readCommandLine } from '../../functions/ground/command-line.ts'
import { putAway } from './at-the-end.ts'
import type { Figure, Measured } from './figure.ts'

const files = readdirSync(import.meta.dirname)
const endingIn = (ending: string) =>
  files.filter((file) => file.endsWith(ending)).map((file) => file.slice(0, -ending.length))
type Named = readonly [name: string, figure: () => Promise<Figure>]

/** Read once it is its turn: some lay out a fleet. */
const single = endingIn('.figure.ts').map(
  (name): Named => [name, async () => ((await import(`./${name}.figure.ts`)) as { figure: Figure }).figure],
)
const severalOf = async (kind: string): Promise<Named[]> => {
  const { figures } = (await import(`./${kind}.figures.ts`)) as { figures: Readonly<Record<string, Figure>> }
  return Object.entries(figures).map(([of, figure]) => [`${kind}/${of}`, async () => figure])
}
const several = (await Promise.all(endingIn('.figures.ts').map(severalOf))).flat()
const figureOf = new Map([...single, ...several].sort(([one], [other]) => (one < other ? -1 : 1)))
const names = [...figureOf.keys()]

/** The figure of that name, and all that stand under it. */
const called = (name: string) => names.filter((one) => one === name || one.startsWith(`${name}/`))

const usage =
  `npm run bench -- [NAME …] [--json] [--rounds N]\nMeasures figures of speed and of cost. NAME is one of these, or ` +
  `what stands before its "/": ${names.join(', ')}`

interface Line extends Omit<Figure, 'measure' | 'floorIn'>, Measured {
  readonly name: string
}

function asked(): { chosen: readonly string[]; json: boolean; rounds: number } {
  const { help, textOf, has, words, faults } = readCommandLine(process.argv.slice(2), {
    json: 'nothing',
    rounds: 'value',
  })
  const unknown = words.filter((name) => called(name).length === 0)
  const rounds = Number(textOf('rounds') ?? '400')
  const all = [...unknown.map((name) => `no figure is called ${name}`), ...faults]
  if (!Number.isInteger(rounds) || rounds < 1) all.push(`--rounds is a whole number, not ${textOf('rounds')}`)
  endUnlessClear({ help, faults: all }, usage)
  return { chosen: words.length > 0 ? [...new Set(words.flatMap(called))] : names, json: has('json'), rounds }
}

async function measured(name: string, rounds: number): Promise<Line & { floorIn: string }> {
  const figure = await figureOf.get(name)?.()
  if (figure === undefined) throw new Error(`no figure is called ${name}`)
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

const { chosen, json, rounds } = asked()
const figures: (Line & { floorIn: string })[] = []
try {
  // one after another: side by side they would take the cores from each other
  for (const name of chosen) figures.push(await measured(name, rounds))
} finally {
  await putAway()
}
console.log(
  json
    ? JSON.stringify({ machine: machine(), figures: figures.map(({ floorIn: _, ...line }) => line) }, null, 2)
    : table(figures),
)
