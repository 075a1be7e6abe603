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
  // 60 of it judge again, keep reports on unknown numbers, and tell what a body lacks; 11 as below
  api: 700,
  sweep: 480,
  reindex: 480,
  feed: 520,
  answers: 440,
  // 200 of it are the client of the queues
  'hand-on': 280,
  'follow-up': 480,
  feedback: 400,
  // 36 of it write the calendar file that a mail carries; each hold and report speaks two languages
  'deliver-notices': 720,
  // 11 of it, as of every function, are the life of notices and the schemas by which items are read
  pages: 540,
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
