/**
 * The shape of what `npm run bench` prints, and how two pieces of work are timed; what the times are is no test's
 * business.
 */
import { spawnSync } from 'node:child_process'
import { globSync, readdirSync } from 'node:fs'
import { basename, dirname, join } from 'node:path'
import { describe, expect, test } from 'vitest'
import { root } from '../../cdk/local/template/synthesise.ts'
import { sampled } from '../support/tier.ts'
import { inTurn, interleaved, median } from './interleaved.ts'

const bench = (...args: readonly string[]) => {
  const command = [join(import.meta.dirname, 'bench.ts'), '--rounds', '2', ...args]
  const { status, stdout, stderr } = spawnSync(process.execPath, command, { encoding: 'utf8' })
  return { status, stdout, stderr }
}
const coldStarts = globSync(join(root, 'functions/*/index.ts')).map((file) => `cold-start/${basename(dirname(file))}`)
const single = readdirSync(import.meta.dirname)
  .filter((file) => file.endsWith('.figure.ts'))
  .map((file) => file.replace('.figure.ts', ''))
const names = [...single, ...coldStarts, 'page-bytes/crew'].sort()
const one = 'verdicts-vs-parse'
/** Of this commit; `npm run test:all` runs every figure. */
const chosen = [...sampled(names, 1)].sort()

describe('npm run bench', () => {
  test('prints one JSON object: the machine, and every figure, a ratio unless its unit says otherwise, with its goal', {
    timeout: 480_000,
  }, () => {
    const { status, stdout, stderr } = bench('--json', ...chosen)
    expect([status, stderr]).toEqual([0, ''])
    const { machine, figures, ...more } = JSON.parse(stdout)
    expect(more).toEqual({})
    expect(machine).toEqual({
      cpu: expect.stringMatching(/./),
      cores: expect.any(Number),
      node: process.version,
      platform: expect.stringMatching(/./),
      memoryGiB: expect.any(Number),
    })
    expect(figures.map((figure: { name: string }) => figure.name)).toEqual(chosen)
    const ownUnit = figures.filter(({ unit }: { unit: string }) => !unit.startsWith('ratio to '))
    const withOwnUnit = [
      'bench-entry-milliseconds',
      'crew-first-load',
      'hold-mail-seconds',
      'hold-mail-under-digests',
      'import-megabytes',
      'recall-megabytes',
      'page-bytes',
      'page-bytes/crew',
      'units-per-fact',
      'units-per-notice',
      'units-per-use',
    ]
    expect(ownUnit.map((figure: { name: string }) => figure.name)).toEqual(
      withOwnUnit.filter((name) => chosen.includes(name)),
    )
    for (const figure of figures) {
      expect(figure).toEqual({
        name: expect.any(String),
        value: expect.any(Number),
        unit: expect.stringMatching(/^(ratio to|seconds from|capacity units for|kilobytes of) /),
        floor: expect.any(Number),
        goal: expect.any(Number),
        better: expect.stringMatching(/^(lower|higher)$/),
      })
      expect(Math.min(figure.value, figure.floor, figure.goal)).toBeGreaterThan(0)
    }
  })

  test('runs the figure it is asked for, and tells people in a line', () => {
    const named = bench(one, '--json')
    expect(JSON.parse(named.stdout).figures.map((figure: { name: string }) => figure.name)).toEqual([one])
    const told = bench(one)
    expect([named.status, told.status]).toEqual([0, 0])
    expect(told.stdout.trim().split('\n')).toEqual([
      expect.stringContaining(process.version),
      expect.stringMatching(/^[✓✗] verdicts-vs-parse: [\d.e+-]+ \(at most 2\), ratio to /),
    ])
  })

  test('runs all that stand under a name, each once', { timeout: 120_000 }, () => {
    const { stdout } = bench('cold-start', 'cold-start/api', '--json')
    const told = JSON.parse(stdout).figures.map(({ name, goal }: { name: string; goal: number }) => [name, goal])
    expect(told.map(([name]: string[]) => name)).toEqual(coldStarts.sort())
    expect(Object.fromEntries(told)).toMatchObject({ 'cold-start/api': 1.6, 'cold-start/sweep': 1.3 })
  })

  test.each([
    ['a name nobody knows', ['verdict-vs-parse']],
    ['the beginning of a name', ['cold']],
    ['an option nobody knows', ['--jsn']],
    ['a count that is none', ['--rounds', '0']],
  ])('%s ends with 2 and the names there are', (_, args) => {
    const { status, stdout, stderr } = bench(...args)
    expect([status, stdout]).toEqual([2, ''])
    for (const name of names) expect(stderr).toContain(name)
  })
})

describe('interleaved', () => {
  test('does the one and the other in turn, and answers the medians of their rounds', () => {
    const done: string[] = []
    let clock = 0
    let round = -3
    // floor 2 ms, then 3, 4, 5 …; the candidate 4 times that, 40 times in one round that something disturbed
    const floor = () => {
      done.push('floor')
      round += 1
      clock += 1 + round
      return done
    }
    const candidate = () => {
      done.push('candidate')
      clock += (1 + round) * (round === 2 ? 40 : 4)
      return done
    }
    expect(interleaved(floor, candidate, 5, () => clock)).toEqual({ value: 4, floor: 4 })
    expect(done).toEqual(Array.from({ length: 8 }, () => ['floor', 'candidate']).flat())
  })

  test('refuses work that gives nothing back', () => {
    expect(() =>
      interleaved(
        () => undefined,
        () => undefined,
        1,
      ),
    ).toThrow('no result')
  })

  test('work that tells its own time goes in turn too, and its first rounds count for nothing', async () => {
    const floors = [100, 2, 3, 4]
    const candidates = [1, 4, 3, 12]
    const told = await inTurn(
      () => floors.shift() ?? 0,
      async () => candidates.shift() ?? 0,
      { rounds: 3, warmUp: 1 },
    )
    expect(told).toEqual({ value: 2, floor: 3, candidate: 4 })
  })

  test('the median is the middle one, or half way between the two', () => {
    expect([median([9, 1, 5]), median([10, 9, 1, 2])]).toEqual([5, 5.5])
  })
})
