/**
 * Nobody is left untold, whatever fails: runs by seed, each with faults at the steps of its notices, and then time
 * without. `FAULT_SEED='one 17' vitest run --project pure tests/faults` runs one and prints what struck it.
 */
import { readFileSync } from 'node:fs'
import { afterAll, beforeAll, describe, expect, test, vi } from 'vitest'
import type { Notice } from '../../functions/store/notices.ts'
import type { Item } from '../../functions/store/table.ts'
import { isOfCrew } from '../../shared-domain/notices/confirmations.ts'
import { shownState } from '../../shared-domain/notices/life.ts'
import { cases, sampled } from '../support/tier.ts'
import { faultsAt, inTheWindow, type Step } from './faults.ts'
import { type Most, planOf, type Struck } from './plan.ts'
import { furnished, type Outcome, type Scene, sceneOf, simulate, southManager } from './simulation.ts'

/** All thousand by `npm run test:all`; else those whose turn it is. */
const runs = sampled(
  Array.from({ length: 1_000 }, (_, i) => i + 1),
  30,
)
const mostOf: Readonly<Record<string, Most>> = { one: 1, three: 3 }

let kept: readonly Item[]
beforeAll(async () => {
  for (const level of ['info', 'error'] as const) vi.spyOn(console, level).mockImplementation(() => undefined)
  // waits within a run take no time and come in the order in which they began
  vi.spyOn(Math, 'random').mockReturnValue(0.5)
  vi.stubGlobal('setTimeout', (then: () => void) => setImmediate(then))
  kept = await furnished()
})
afterAll(() => {
  vi.unstubAllGlobals()
  vi.restoreAllMocks()
})

interface Run extends Outcome {
  readonly seed: string
  readonly struck: readonly Struck[]
  /** what should not be, in words */
  readonly wrong: readonly string[]
}

const untroubled = new Map<string, Promise<Outcome>>()

/** The same deeds where nothing fails. */
function withoutFaults(scene: Scene): Promise<Outcome> {
  const name = JSON.stringify(scene)
  const plan = planOf('none', 1)
  plan.stop()
  const known = untroubled.get(name) ?? simulate(kept, 'none', scene, plan)
  untroubled.set(name, known)
  return known
}

async function run(seed: string): Promise<Run> {
  const most = mostOf[seed.split(' ')[0] ?? ''] ?? 1
  const scene = sceneOf(seed)
  const plan = planOf(seed, most)
  const outcome = await simulate(kept, seed, scene, plan)
  const wrong = wrongIn(outcome, await withoutFaults(scene), scene, plan.struck, most)
  return { ...outcome, seed, struck: plan.struck, wrong }
}

/**
 * One of the crew speaks for all: where a fault let a mail leave before its address was known to be bad, and its reader
 * confirmed, nobody is silent about that stick.
 */
function stillSilent(expected: Notice, told: readonly Notice[]): Notice {
  if (expected.kind !== 'unanswered') return expected
  const confirmed = told.filter(({ to, answeredAt }) => isOfCrew(to) && answeredAt !== undefined)
  const known = new Set(confirmed.flatMap(({ lines }) => lines.map(({ stickId }) => stickId)))
  return { ...expected, lines: expected.lines.filter(({ stickId }) => !known.has(stickId)) }
}

function wrongIn(
  outcome: Outcome,
  expected: Outcome,
  { bounces, deeds }: Scene,
  struck: readonly Struck[],
  most: Most,
): string[] {
  const { notices, accepted, faults } = outcome
  const told = new Set(notices.flatMap(whoHearsWhat))
  const sure = expected.notices.filter((notice) => !(deeds.includes('crew moved') && dependsOnTheMove(notice)))
  const never = sure
    .map((notice) => stillSilent(notice, notices))
    .flatMap(whoHearsWhat)
    .filter((one) => !told.has(one))
  const times = ({ number }: Notice) => accepted.get(number) ?? 0
  return [
    ...faults,
    ...[...new Set(never)].map((one) => `never owed: ${one}`),
    ...notices
      .filter((notice) => times(notice) === 0 && notice.undeliveredWhy !== 'marked')
      .map(({ number, kind }) => `never sent: ${kind} ${number}`),
    ...notices.filter((notice) => !isDone(notice, bounces)).map(({ number, state }) => `${number} is left as ${state}`),
    ...(most === 1 ? notices.filter((notice) => times(notice) > 2).map(({ number }) => `sent thrice: ${number}`) : []),
    ...(most === 1 ? notices.filter((notice) => times(notice) > 1 && !mayBeDouble(notice, struck)) : []).map(
      ({ number }) => `sent twice without cause: ${number}`,
    ),
  ]
}

/** A manager of the depot that the crew moves to hears of what comes after the move; of its mornings in any case. */
const dependsOnTheMove = ({ kind, to, passedOnFor }: Notice) =>
  to.email === southManager && (kind !== 'digest' || passedOnFor !== undefined)

/** Sent; or, where mail comes back, said to whoever is to know of it. */
function isDone({ state, to, passedOnAt }: Notice, bounces: string | null): boolean {
  const shown = shownState[state]
  return to.email === bounces ? shown === 'not delivered' && passedOnAt !== undefined : shown === 'sent'
}

const whoHearsWhat = ({ kind, to, lines }: Notice) => lines.map(({ stickId }) => `${to.email}: ${kind} of ${stickId}`)

function mayBeDouble({ number }: Notice, struck: readonly Struck[]): boolean {
  return struck.some((one) => one.numbers.includes(number) && inTheWindow(one))
}

/** Of each step a line: what struck there, and how often. */
function counted(all: readonly Run[]): string {
  const struck = all.flatMap(({ struck }) => struck)
  const kindsOf = (these: readonly Struck[]) =>
    [...Map.groupBy(these, ({ fault: { name, when } }) => `${name} ${when}`)]
      .map(([kind, { length }]) => `${kind} ${length}`)
      .sort()
      .join(', ')
  const times = all.flatMap(({ notices, accepted }) =>
    notices
      .filter((notice) => notice.undeliveredWhy !== 'marked' || accepted.has(notice.number))
      .map(({ number }) => accepted.get(number) ?? 0),
  )
  const notTo = all.flatMap(({ notices }) => notices).filter(({ undeliveredWhy }) => undeliveredWhy !== undefined)
  const least = (count: number) => times.filter((one) => one >= count).length
  return [
    `${all.length} runs, ${times.length} notices: ${times.length - least(1)} lost, ${least(2) - least(3)} sent ` +
      `twice, ${least(3)} more often`,
    `${notTo.length} did not reach their readers, and the managers and the next person heard of each`,
    `${struck.length} faults`,
    ...[...Map.groupBy(struck, ({ step }) => step)].map(([step, these]) => `  ${step}: ${kindsOf(these)}`).sort(),
  ].join('\n')
}

const told = ({ seed, wrong, struck }: Run) =>
  [
    `FAULT_SEED='${seed}': ${wrong.join('; ') || 'nothing wrong'}`,
    ...struck.map(({ step, fault: { name, when }, numbers }) => `  ${step} ${numbers.join(' ')}: ${when}, ${name}`),
  ].join('\n')

const only = process.env.FAULT_SEED

describe.skipIf(only !== undefined)('a thousand runs', () => {
  test.each([
    ['one', 'with one fault for each notice lose none, and send twice only what struck between acceptance and mark'],
    ['three', 'with up to three faults for each notice lose none'],
  ])('%s: %s', { timeout: 900_000 }, async (name) => {
    const all: Run[] = []
    for (const n of runs) all.push(await run(`${name} ${n}`))
    console.log(counted(all))
    expect(
      all
        .filter(({ wrong }) => wrong.length > 0)
        .slice(0, 5)
        .map(told),
    ).toEqual([])
    // a harness that strikes nowhere would find nothing
    const steps = new Set(all.flatMap(({ struck }) => struck.map(({ step }) => step)))
    expect(steps.size).toBeGreaterThanOrEqual(cases(10, 8))
    const sentTwice = all.filter(({ accepted }) => [...accepted.values()].includes(2))
    // of a sample none may have struck between acceptance and mark
    expect(sentTwice.length).toBeGreaterThanOrEqual(cases(1, 0))
  })
})

/** What the SDK's own documentation says a call may throw: AWS's model of the service, with the version in use. */
function documented(client: string, command: string): string[] {
  const file = new URL(`../../node_modules/@aws-sdk/${client}/dist-types/commands/${command}.d.ts`, import.meta.url)
  const all = [...readFileSync(file, 'utf8').matchAll(/@throws \{@link (\w+)\}/g)].map(([, name]) => name ?? '')
  // the answer to a condition, and the family name of all errors
  return all.filter((name) => name !== 'ConditionalCheckFailedException' && !name.endsWith('ServiceException'))
}

test.each<[Step, string, string[]]>([
  ['record', 'client-dynamodb', ['TransactWriteItemsCommand']],
  ['hand on', 'client-sqs', ['SendMessageCommand']],
  ['claim', 'client-dynamodb', ['UpdateItemCommand']],
  ['mark', 'client-dynamodb', ['UpdateItemCommand']],
  ['settle', 'client-dynamodb', ['UpdateItemCommand']],
  ['feedback', 'client-dynamodb', ['UpdateItemCommand', 'TransactWriteItemsCommand']],
  ['tell', 'client-dynamodb', ['TransactWriteItemsCommand']],
  ['answer', 'client-dynamodb', ['UpdateItemCommand', 'TransactWriteItemsCommand']],
  ['lists', 'client-dynamodb', ['TransactWriteItemsCommand']],
  ['read', 'client-dynamodb', ['GetItemCommand', 'BatchGetItemCommand', 'QueryCommand']],
  ['send', 'client-ses', ['SendRawEmailCommand']],
])('at the step %s every error can strike that %s documents for it', (step, client, commands) => {
  const names = new Set(faultsAt[step].map(({ name }) => name.split(' ')[0]))
  const expected = commands.flatMap((command) => documented(client, command))
  expect(expected.length).toBeGreaterThan(4)
  expect(expected.filter((name) => !names.has(name))).toEqual([])
})

test('one seed is one run, wherever it is run', async () => {
  const seed = only ?? 'three 7'
  const [first, again] = [await run(seed), await run(seed)]
  if (only !== undefined) console.log(told(first))
  expect(told(again)).toBe(told(first))
  expect(again.accepted).toEqual(first.accepted)
  expect(first.wrong).toEqual([])
})
