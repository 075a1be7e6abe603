import { execFile } from 'node:child_process'
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join, resolve } from 'node:path'
import { promisify } from 'node:util'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { type Bundle, bundleFunctions } from '../../cdk/bundle.ts'
import { functionEnvironment } from '../support/function-environment.ts'

/** Kilobytes. What a function loads is paid for at every cold start: raise one only for a reason. */
const budgets: Readonly<Record<string, number>> = {
  // 60 of it judge again, keep reports on unknown numbers, and tell what a body lacks; 40 weigh what loosens and let it wait for a
  // second person; its document lies beside it
  api: 650,
  sweep: 360,
  reindex: 360,
  // a hundred of this and of the next three are the schemas of what comes in
  feed: 420,
  // it asks who has left, too
  answers: 435,
  feedback: 400,
  pages: 520,
  // most of it is the client of the queues
  'hand-on': 200,
  'follow-up': 360,
  // each hold and report speaks two languages, and 36 of it write the calendar file that a mail carries
  'deliver-notices': 550,
}

const place = mkdtempSync(join(tmpdir(), 'quarterturn-bundles-'))
let bundles: Bundle[]

beforeAll(async () => {
  bundles = await bundleFunctions('functions', place)
})
afterAll(() => rmSync(place, { recursive: true, force: true }))

test('every function has a budget, and every budget a function', () => {
  expect(bundles.map(({ name }) => name).sort()).toEqual(Object.keys(budgets).sort())
})

test.each(Object.entries(budgets))('%s stays under %d KB', (name, kilobytes) => {
  const bundle = bundles.find((one) => one.name === name)
  expect((bundle?.bytes ?? Number.POSITIVE_INFINITY) / 1024).toBeLessThan(kilobytes)
})

// packages that need require() in an ES module fail only when deployed (aws-powertools/powertools-lambda-typescript#2290)
test.each(Object.keys(budgets))(
  '%s is loaded by a bare Node with nothing beside it, and exports a handler',
  async (name) => {
    const file = resolve(bundles.find((one) => one.name === name)?.file ?? '')
    const script = `const { handler } = await import(${JSON.stringify(file)}); console.log(typeof handler, handler.length)`
    const { stdout } = await promisify(execFile)(process.execPath, ['--input-type=module', '-e', script], {
      cwd: place,
      env: functionEnvironment,
    })
    const [kind, parameters] = stdout.trim().split(' ')
    expect(kind).toBe('function')
    // a third parameter would be the callback that Node 24 functions no longer have
    expect(Number(parameters)).toBeLessThanOrEqual(2)
  },
)
