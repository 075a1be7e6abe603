/**
 * `npm run plan -- FILE`: plans one depot's bench from a file of JSON and prints the plan as JSON. It reads no table
 * and writes nothing.
 */
import { readFileSync } from 'node:fs'
import * as z from 'zod'
import { benchPlan } from '../../shared-domain/plan/bench-plan.ts'
import { end, endUnlessClear, readCommandLine } from '../ground/command-line.ts'
import { openSolver } from './engine.ts'
import { needsFor, planInDates, planWanted } from './wanted.ts'

const usage = [
  'npm run plan -- FILE [--seconds N]',
  'Plans which stick comes to the bench in which week, from a file of JSON (functions/plan/wanted.ts), and prints it.',
  '--seconds N  the longest that the solver may take in all; 30 unless it is said',
].join('\n')

const { words, faults, textOf, ...line } = readCommandLine(process.argv.slice(2), { seconds: 'value' })
const [file, ...others] = words
const seconds = Number(textOf('seconds') ?? 30)
endUnlessClear(
  {
    ...line,
    faults: [
      ...faults,
      ...(file === undefined ? ['no file is named'] : []),
      ...others.map((word) => `${word} is one file too many`),
      ...(seconds > 0 ? [] : ['--seconds: expected a number above nought']),
    ],
  },
  usage,
)

function wanted(path: string) {
  try {
    const read = planWanted.safeParse(JSON.parse(readFileSync(path, 'utf8')))
    return read.success ? read.data : end(1, z.prettifyError(read.error))
  } catch (error) {
    return end(1, `${path}: ${error instanceof Error ? error.message : String(error)}`)
  }
}

const asked = wanted(file ?? '')
const needs = needsFor(asked)
const plan = benchPlan(needs, await openSolver(), { gap: 0, seconds })
console.log(JSON.stringify(planInDates(asked, needs, plan), null, 2))
