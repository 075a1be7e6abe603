/**
 * How long a fresh process takes from the first byte of a function's bundle until its handler could be called, beside a
 * bundle of the same build that makes the same clients, and the same router where it answers HTTP, and answers nothing.
 */
import { execFileSync } from 'node:child_process'
import { existsSync, globSync, mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { basename, dirname, join } from 'node:path'
import { pathToFileURL } from 'node:url'
import { bundleFunctions } from '../../cdk/bundle.ts'
import { root } from '../../cdk/local/template/synthesise.ts'
import { functionEnvironment } from '../support/function-environment.ts'
import { atTheEnd } from './at-the-end.ts'
import type { Figure, Measured } from './figure.ts'
import { inTurn } from './interleaved.ts'

/** What a function cannot do without, by what its `index.ts` imports; together they name its floor. */
const needs = {
  table: "'../store/table.ts'",
  http: "'hono/aws-lambda'",
  mail: "'@aws-sdk/client-ses'",
  queues: "'@aws-sdk/client-sqs'",
  bucket: "'@aws-sdk/client-s3'",
} as const

export const figures = Object.fromEntries(
  globSync(join(root, 'functions/*/index.ts')).map((index) => [basename(dirname(index)), figureOf(index)]),
)

function figureOf(index: string): Figure {
  const [name, text] = [basename(dirname(index)), readFileSync(index, 'utf8')]
  const needed = Object.entries(needs).flatMap(([need, imported]) => (text.includes(imported) ? [need] : []))
  const floor = needed.join('-and-')
  return {
    unit: 'ratio to a bundle that builds the same clients and answers nothing, each imported by a fresh process',
    better: 'lower',
    goal: needed.includes('http') ? 1.6 : 1.3,
    measure: (rounds) => measure(name, floor, rounds),
  }
}

/** A round starts two processes, so a twentieth of the rounds asked for must tell enough. */
async function measure(name: string, floor: string, rounds: number): Promise<Measured> {
  const { functions, floors } = await built()
  if (!existsSync(join(floors, floor))) throw new Error(`${name} needs a floor of its own: floors/${floor}/index.ts`)
  const millisOf = (folder: string, of: string) => () => importMillis(join(folder, of, 'index.mjs'))
  return inTurn(millisOf(floors, floor), millisOf(functions, name), { rounds: Math.ceil(rounds / 20), warmUp: 1 })
}

let place: Promise<{ functions: string; floors: string }> | undefined

/** Once for all figures. */
function built() {
  place ??= build()
  return place
}

async function build() {
  const folder = mkdtempSync(join(tmpdir(), 'quarterturn-cold-'))
  atTheEnd(() => rmSync(folder, { recursive: true, force: true }))
  const [functions, floors] = [join(folder, 'functions'), join(folder, 'floors')]
  await bundleFunctions(join(root, 'functions'), functions)
  await bundleFunctions(join(root, 'tests/bench/floors'), floors)
  return { functions, floors }
}

const importing = `
  const started = performance.now()
  const { handler } = await import(process.argv[1])
  const millis = performance.now() - started
  if (typeof handler !== 'function') throw new Error('no handler')
  console.log(millis)`

/** The start of Node itself is left out: both have it, and it would flatter the ratio. */
function importMillis(bundle: string): number {
  const args = ['--input-type=module', '--eval', importing, pathToFileURL(bundle).href]
  return Number(execFileSync(process.execPath, args, { env: functionEnvironment, encoding: 'utf8' }))
}
