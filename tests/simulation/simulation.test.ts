/**
 * The whole service in one process for years, with faults, held against a model that shares nothing with it; and faults
 * planted in it, each of which must be found. `npm run simulate` runs one seed.
 */
import { spawn } from 'node:child_process'
import { fileURLToPath } from 'node:url'
import { describe, expect, test } from 'vitest'
import { sampled } from '../support/tier.ts'
import { plants } from './plants.ts'

const command = fileURLToPath(new URL('simulate.ts', import.meta.url))

function simulate(...asked: string[]): Promise<{ readonly code: number | null; readonly text: string }> {
  const { promise, resolve } = Promise.withResolvers<{ code: number | null; text: string }>()
  const child = spawn(process.execPath, [command, ...asked])
  let text = ''
  for (const stream of [child.stdout, child.stderr]) stream.on('data', (data) => (text += String(data)))
  child.on('close', (code) => resolve({ code, text }))
  return promise
}

/** Other years with each commit. */
const seed = `commit ${process.env.COMMIT ?? ''}`

describe('the whole service', () => {
  test('over 200 stick-years with faults breaks nothing that must hold', { timeout: 300_000 }, async () => {
    const years = ['--years', '2', '--sticks', '50', '--faults', '--seed']
    const runs = await Promise.all([simulate(...years, `${seed} a`), simulate(...years, `${seed} b`)])
    for (const { text } of runs) console.log(text)
    for (const { code, text } of runs) expect(code, text).toBe(0)
  })

  test('where nothing fails tells everybody within the hour', { timeout: 300_000 }, async () => {
    const { code, text } = await simulate('--years', '1', '--sticks', '10', '--seed', seed)
    expect(code, text).toBe(0)
  })

  test('comes again as it was by the same seed', { timeout: 300_000 }, async () => {
    const once = ['--years', '1', '--sticks', '3', '--faults', '--seed', 'again']
    const [first, second] = await Promise.all([simulate(...once), simulate(...once)])
    const counts = (text: string) => text.replace(/in \d+ s/, '')
    expect(counts(second.text)).toBe(counts(first.text))
  })
})

describe('a planted fault is found', () => {
  test.each(sampled(Object.keys(plants), 1))('%s', { timeout: 900_000 }, async (plant) => {
    const found = []
    for (const one of ['1', '2', '3']) {
      const { code, text } = await simulate(
        '--years',
        '3',
        '--sticks',
        '20',
        '--faults',
        '--plant',
        plant,
        '--seed',
        one,
      )
      found.push(text)
      expect([0, 1], text).toContain(code)
      if (code === 1) break
    }
    expect(found.at(-1)).toContain('BROKEN')
  })
})

test.each([
  [['--years', '0'], '--years and --sticks: a whole number from 1'],
  [['--plant', 'none'], '--plant: no fault has the name none'],
])('%s is refused in words', async (asked, words) => {
  const { code, text } = await simulate(...asked)
  expect(code).toBe(2)
  expect(text).toContain(words)
})
