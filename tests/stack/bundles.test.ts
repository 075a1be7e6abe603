import { execFile } from 'node:child_process'
import { globSync, mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { dirname, join, resolve } from 'node:path'
import { promisify } from 'node:util'
import { gzipSync } from 'node:zlib'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { type Bundle, bundleFunctions } from '../../cdk/bundle.ts'
import { functionEnvironment } from '../support/function-environment.ts'

/**
 * Kilobytes. What a function loads before its first event is paid for at every cold start: raise one only for a reason.
 */
const budgets: Readonly<Record<string, number>> = {
  // 60 of it judge again, keep reports on unknown numbers, and tell what a body lacks; its document lies beside it, and
  // so do the tables of what loosens, the sentences for it, and what folds a history
  // what says a refusal, the weeks ahead and an instrument's history lie beside it too
  // 2 of it see to people’s sign-ins and ask, with each edition of a person, for a look at their account at the pool
  // 2 of it leave turns to other organisations, and tell a table that is silent from what failed
  // 3 of it are the life of a notice after a restore, and what a look at the paper is
  // each fact waits for its place in the tree, and so does word of it for the owners
  // the folder of a proof lies beside it
  // 3 take files in, and lead to what keeps them, which lies beside it
  // 4 of it are recalls, which bind on every read; 5 are what they are asked for and answered with
  // 2 of it ask for the year of the fleet and its advice, and take what a calibration found; what counts a fleet lies
  // beside it
  // 3 of it are the papers that it can be asked for; what draws them, and their fonts, lie beside it
  // 1 hands out files; what lays them out lies beside it
  // 4 are plans, which are routes too; what makes and shows them lies beside it
  // 1 of it are tests from before, and what has them count
  api: 542,
  // it tells besides what a day alone has changed, of calibrations that run out, and of wrong labels
  // 1 of it are kinds of facts that came with restores and roll backs
  // 4 of it are recalls, which bind on every read
  // 2 of it are plans of benches, whose weeks it tells
  // less than 1 of it are tests from before, and sticks that wait for the digest of an import
  sweep: 277,
  // it folds anew what an earlier build folded, slips left out, and tells what the rules hold by now
  // 4 of it are recalls, which bind on every read; 2 are those that it settles, with a part beside it
  // less than 1 of it are those too
  reindex: 287,
  // a hundred of this is the schemas of what comes in
  // 4 of it are recalls, which bind on every read, and their holds in words
  // less than 1 of it are the places of codes on papers
  // 2 of it are plans of benches, whose weeks it tells
  feed: 329,
  // it asks who has left, too, and says why a stick is on hold
  // 1 of it is the life of a notice after a restore
  // 1 of it are the holds after a restore and after a roll back
  // 2 of it are the holds by recalls in words
  // less than 1 of it are the places of plans
  // less than 1 of it is the hold by a test from before
  answers: 315,
  feedback: 284,
  // Spanish, what makes schemas, what speaks with the provider and what opens the session of a page lie beside it
  // what says all but the first pages lies beside it too
  // 7 of it are the sentences that every page hands its script, and what answers it; 5 are the orders on a stick
  // half of one leads from a stage's other hosts to the pages' own
  // 3 are the hold after a restore, what became of notices then, and who may end it
  // so do the proof and its folder
  // 5 are recalls, which bind on every read, and their holds in words; their pages lie beside it
  // 2 are the addresses of papers; what draws them, and their fonts, lie beside it
  // less than 1 are the addresses of plans; their pages lie beside it
  // 1 of it are tests from before, which may count
  // 1 is the bench, whose pages lie beside it
  pages: 425,
  // it judges and records by every route there is, and reads spreadsheets; nobody waits for its start
  // 3 are papers, which are routes too
  // 34 are files that go out, which are a route too
  // 2 are plans of benches, which are routes too
  // 10 of it tell, once a reader, what must not be used because of a file; 1 are tests from before
  import: 936,
  // most of it is the client of the queues
  'hand-on': 167,
  // most of it are the clients of the table and of the bucket
  journal: 369,
  // 4 of it are recalls, which bind on every read
  // what a stick went through is written with every fact of it
  'follow-up': 263,
  // the client of the pool lies beside it
  accounts: 242,
  // it hashes each fact, and owes the owners word of a day
  // less than 1 of it are tests from before and the digest of an import
  sequence: 248,
  // it reads sticks, and the rules on them; the solver lies beside it, and is loaded with the first plan
  plan: 276,
  // each hold and report speaks two languages, and so do wrong labels and removals by decision; what writes calendars
  // lies beside it
  // invitations and reminders speak two languages too, and managers hear what to see to
  // 3 are the hold after a restore, in both, and the life of a notice
  // the owners have the fingerprint of all records, in two languages too
  // 7 are recalls, which bind on every read, and their mails and holds in two languages
  // less than 1 of it are the places of plans
  // 1 are the digest of an import and what says which past tests are to count, in both
  'deliver-notices': 453,
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

test.each([
  ['deliver-notices', 'BEGIN:VCALENDAR'],
  ['api', 'limit-raised'],
  ['api', 'is not at the bench;'],
  ['api', 'There is no stick '],
  ['api', 'An earlier failure would no longer count'],
  ['pages', 'Lista de pértigas'],
  ['pages', 'StructTreeRoot'],
  ['api', 'StructTreeRoot'],
  ['pages', 'code_challenge_method'],
  ['pages', 'AssociateSoftwareToken'],
  ['pages', 'otpauth://totp/'],
  ['answers', 'He leído esto'],
])('%s loads what says %s when it is needed first', (name, words) => {
  const files = globSync('*.mjs', { cwd: join(place, name) })
  const [part = '', ...others] = files.filter((file) => textOf(name, file).includes(words))
  expect(others).toEqual([])
  // all that is loaded before the first event is in the index
  expect(part).toMatch(/^part-/)
  expect(textOf(name, 'index.mjs')).not.toMatch(new RegExp(`(from|import)"./${part}"`))
  expect(files.filter((file) => textOf(name, file).includes(`"./${part}"`))).not.toEqual([])
})

/** What runs on a phone with one bar, as it goes over the air. */
test('the script and the worker of the pages stay under 12 KB compressed, and name their build', () => {
  const read = (file: string) => readFileSync(join(place, 'pages', 'device', file))
  const compressed = ['page.js', 'worker.js'].map((file) => gzipSync(read(file)).length)
  for (const bytes of compressed) expect(bytes).toBeGreaterThan(300)
  expect(compressed.reduce((sum, bytes) => sum + bytes, 0)).toBeLessThan(12 * 1024)
  expect(read('build').toString()).toMatch(/^[0-9a-f]{16}$/)
})

/** What a bench loads once: it judges what is typed by the rules themselves. */
test('the script of the bench stays under 20 KB compressed', () => {
  const bytes = gzipSync(readFileSync(join(place, 'pages', 'device', 'bench.js'))).length
  expect(bytes).toBeGreaterThan(300)
  expect(bytes).toBeLessThan(20 * 1024)
})

const textOf = (name: string, file: string) => readFileSync(join(place, name, file), 'utf8')

// packages that need require() in an ES module fail only when deployed
// (aws-powertools/powertools-lambda-typescript#2290)
test.each(Object.keys(budgets))(
  '%s is loaded by a bare Node with nothing but its parts beside it, and exports a handler',
  async (name) => {
    const file = resolve(bundles.find((one) => one.name === name)?.file ?? '')
    // one of them is handed out, and runs where it lands
    const parts = globSync(join(dirname(file), '*.mjs')).filter((one) => !/(index|verify)\.mjs$/.test(one))
    const script = `const { handler } = await import(${JSON.stringify(file)})
      for (const part of ${JSON.stringify(parts)}) await import(part)
      console.log(typeof handler, handler.length)`
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
