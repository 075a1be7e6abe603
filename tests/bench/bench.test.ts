/** The shape of what `npm run bench` prints, and how two pieces of work are timed; what the times are is no test's business. */
import { spawnSync } from 'node:child_process'
import { readdirSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, test } from 'vitest'
import { interleaved, median } from './interleaved.ts'

const bench = (...args: readonly string[]) => {
  const command = [join(import.meta.dirname, 'bench.ts'), '--rounds', '2', ...args]
  const { status, stdout, stderr } = spawnSync(process.execPath, command, { encoding: 'utf8' })
  return { status, stdout, stderr }
}
const names = readdirSync(import.meta.dirname)
  .filter((file) => file.endsWith('.figure.ts'))
  .map((file) => file.replace('.figure.ts', ''))
  .sort()
const one = 'verdicts-vs-parse'

describe('npm run bench', () => {
  test('prints one JSON object: the machine, and every figure, a ratio unless it is said in seconds, with its goal', {
    timeout: 120_000,
  }, () => {
    const { status, stdout, stderr } = bench('--json')
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
    expect(figures.map((figure: { name: string }) => figure.name)).toEqual(names)
    const inSeconds = figures.filter(({ unit }: { unit: string }) => unit.startsWith('seconds '))
    expect(inSeconds.map((figure: { name: string }) => figure.name)).toEqual(['hold-mail-seconds'])
    for (const figure of figures) {
      expect(figure).toEqual({
        name: expect.any(String),
        value: expect.any(Number),
        unit: expect.stringMatching(/^(ratio to|seconds from) /),
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

  test.each([
    ['a name nobody knows', ['verdict-vs-parse']],
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

  test('the median is the middle one, or half way between the two', () => {
    expect([median([9, 1, 5]), median([10, 9, 1, 2])]).toEqual([5, 5.5])
  })
})
