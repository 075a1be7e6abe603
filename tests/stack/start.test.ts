/** `npm start` as a person or a program calls it. */
import { type ChildProcess, spawn } from 'node:child_process'
import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { setTimeout as pause } from 'node:timers/promises'
import { afterAll, describe, expect, test } from 'vitest'
import { parseFlags } from '../../cdk/local/flags.ts'
import { startStack } from '../local-stack.ts'

const place = mkdtempSync(join(tmpdir(), 'quarterturn-start-'))
afterAll(() => rmSync(place, { recursive: true, force: true }))

describe('flags', () => {
  test('none: data kept, the demo, a free port, the real time', () => {
    expect(parseFlags([])).toEqual({
      memory: false,
      fresh: false,
      demo: true,
      port: undefined,
      now: undefined,
      readyFile: undefined,
    })
  })

  test('all', () => {
    const argv = [
      '--memory',
      '--fresh',
      '--no-demo',
      '--port',
      '8080',
      '--now',
      '2026-03-02T08:00:00-06:00',
      '--ready-file',
      'r.json',
    ]
    expect(parseFlags(argv)).toEqual({
      memory: true,
      fresh: true,
      demo: false,
      port: 8080,
      now: Date.UTC(2026, 2, 2, 14),
      readyFile: 'r.json',
    })
  })

  test.each([
    [['--moon'], 'there is no flag --moon'],
    [['memory'], 'memory is no flag'],
    [['--memory=yes'], '--memory takes no value'],
    [['--port'], '--port needs a value'],
    [['--port', '70000'], '--port 70000: expected a number from 1 to 65535'],
    [['--port', '80.5'], '--port 80.5'],
    [['--now', '2026-03-02'], '--now 2026-03-02: expected an instant with its offset'],
    [['--ready-file', ''], '--ready-file needs a value'],
  ])('%j is explained: %s', (argv, explanation) => {
    expect(() => parseFlags(argv)).toThrow(explanation)
  })

  test('every fault at once', () => {
    expect(() => parseFlags(['--moon', '--port', '0'])).toThrow(/--moon[\s\S]*--port 0/)
  })
})

describe('a start', () => {
  interface Started {
    readonly child: ChildProcess
    readonly said: () => string
    readonly ended: Promise<number | null>
  }

  function start(...flags: string[]): Started {
    const child = spawn(process.execPath, ['cdk/local/start.ts', ...flags], { stdio: ['ignore', 'pipe', 'pipe'] })
    let said = ''
    for (const stream of [child.stdout, child.stderr]) stream.on('data', (chunk) => (said += chunk))
    return { child, said: () => said, ended: new Promise((resolve) => child.once('exit', resolve)) }
  }

  test('writes addresses and tokens once all is up, and ends with everything it started', async () => {
    const file = join(place, 'deep', 'ready.json')
    const { child, said, ended } = start(
      '--memory',
      '--no-demo',
      '--ready-file',
      file,
      '--now',
      '2026-03-02T08:00:00-06:00',
    )
    while (!existsSync(file)) {
      if (child.exitCode !== null) throw new Error(said())
      await pause(50)
    }
    const ready = JSON.parse(readFileSync(file, 'utf8'))
    expect(Object.keys(ready).sort()).toEqual(['api', 'mailbox', 'pages', 'tokens'])
    expect(Object.keys(ready.tokens).sort()).toEqual(
      ['bench', 'bench-2', 'crew', 'manager', 'manager-2', 'other-organisation-manager', 'owner'].sort(),
    )
    for (const address of [ready.api, ready.pages, ready.mailbox]) {
      expect(address).toMatch(/^http:\/\/127\.0\.0\.1:\d+$/)
      expect(said()).toContain(address)
    }
    expect(await (await fetch(`${ready.api}/local/clock`)).json()).toMatchObject({
      now: expect.stringMatching(/^2026-03-02T14:0/),
    })
    for (const token of ['manager', 'other-organisation-manager']) {
      const answer = await fetch(`${ready.api}/v1/policies`, {
        headers: { authorization: `Bearer ${ready.tokens[token]}` },
      })
      expect(((await answer.json()) as { items: object[] }).items).toHaveLength(1)
    }
    const asked = performance.now()
    child.kill('SIGTERM')
    expect(await ended).toBe(0)
    expect(performance.now() - asked).toBeLessThan(3000)
    await expect(fetch(`${ready.api}/local/clock`)).rejects.toThrow()
    await expect(fetch(ready.mailbox)).rejects.toThrow()
  }, 90_000)

  test('with a flag that does not exist: the flags, and nothing is started', async () => {
    const { said, ended } = start('--moon')
    expect(await ended).toBe(2)
    expect(said()).toMatch(/there is no flag --moon[\s\S]*--ready-file F/)
  })
})

test('data kept in a folder are there again, and the people are not made twice', async () => {
  const folder = join(place, 'data')
  const first = await startStack({ memory: false, folder })
  await first.call('PUT', '/v1/depots/DEP-1', { name: 'Kept', timeZone: 'America/Chicago', sweepHour: 6 })
  const policies = (await first.call('GET', '/v1/policies')).text
  await first.stop()
  const second = await startStack({ memory: false, folder })
  try {
    expect(
      (await second.call('PUT', '/v1/depots/DEP-1', { name: 'Kept', timeZone: 'America/Chicago', sweepHour: 6 }))
        .status,
    ).toBe(200)
    expect((await second.call('GET', '/v1/policies')).text).toBe(policies)
  } finally {
    await second.stop()
  }
}, 90_000)
