/** `npm start` as a person or a program calls it. */
import { type ChildProcess, execFile, spawn, spawnSync } from 'node:child_process'
import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { createServer } from 'node:http'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { setTimeout as pause } from 'node:timers/promises'
import { promisify } from 'node:util'
import { afterAll, describe, expect, test } from 'vitest'
import { parseFlags } from '../../cdk/local/flags.ts'
import { listen } from '../../cdk/local/free-port.ts'
import { startStack } from '../local-stack.ts'

const place = mkdtempSync(join(tmpdir(), 'quarterturn-start-'))
afterAll(() => rmSync(place, { recursive: true, force: true }))

describe('flags', () => {
  test('none: data kept, the demo, a free port, the real time', () => {
    expect(parseFlags([])).toEqual({
      help: false,
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
      help: false,
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
    [['--port', '--memory'], '--port needs a value'],
    [['--port', '70000'], '--port 70000: expected a number from 1 to 65535'],
    [['--port', '80.5'], '--port 80.5'],
    [['--now', '2026-03-02'], '--now 2026-03-02: expected an instant with its offset'],
    [['--ready-file', ''], '--ready-file needs a value'],
  ])('%j is explained: %s', (argv, explanation) => {
    expect(() => parseFlags(argv)).toThrow(explanation)
  })

  test.each(['--help', '-h'])('%s asks for help', (flag) => {
    expect(parseFlags([flag]).help).toBe(true)
  })

  test('every fault at once', () => {
    expect(() => parseFlags(['--moon', '--port', '0'])).toThrow(/--moon[\s\S]*--port 0/)
  })
})

/** The numbers of all processes that a process started, and of those that these started. */
function startedBy(start: number | undefined): number[] {
  const { stdout } = spawnSync('ps', ['-Ao', 'pid=,ppid='], { encoding: 'utf8' })
  const rows = stdout
    .trim()
    .split('\n')
    .map((row) => row.trim().split(/\s+/).map(Number))
  const found = [start]
  // a list is walked on through what is added to it meanwhile
  for (const parent of found) found.push(...rows.filter(([, of]) => of === parent).map(([pid]) => pid))
  return found.slice(1).map(Number)
}

const isAlive = (pid: number) => spawnSync('ps', ['-p', String(pid)]).status === 0

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

  const proved = async ({ name, endpoint }: { name: string; endpoint: string }) => {
    const command = ['functions/prove-states/command.ts', '--table', name, '--endpoint', endpoint]
    return (await promisify(execFile)(process.execPath, command)).stdout
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
    expect(Object.keys(ready).sort()).toEqual(['api', 'mailbox', 'pages', 'table', 'tokens'])
    expect(Object.keys(ready.tokens).sort()).toEqual(
      ['bench', 'bench-2', 'crew', 'manager', 'manager-2', 'other-organisation-manager', 'owner'].sort(),
    )
    expect(await proved(ready.table)).toContain('every state is the replay of its facts')
    expect(said()).toMatch(/^Quarterturn on this machine[\s\S]*Building [\s\S]*\(Java\)[\s\S]*Open first/)
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
  }, 240_000)

  test('on a taken port ends before it builds anything, and names the port', async () => {
    const server = createServer()
    const port = await listen(server)
    const { said, ended } = start('--memory', '--port', String(port))
    expect(await ended).toBe(1)
    server.close()
    expect(said()).toContain(`Port ${port} is in use`)
    expect(said()).not.toContain('Building')
  })

  test('stopped while the demo comes in: ends quietly, and leaves no process behind', async () => {
    const { child, said, ended } = start('--memory')
    while (!said().includes('demo: months 1 to 6')) {
      if (child.exitCode !== null) throw new Error(said())
      await pause(50)
    }
    const others = startedBy(child.pid)
    expect(others.length).toBeGreaterThan(1)
    child.kill('SIGINT')
    expect(await ended).toBe(0)
    expect(said().split('\n').slice(-2)).toEqual(['Stopped while the demo came in.', ''])
    expect(said()).not.toMatch(/Error|fetch failed|\n {4}at /)
    await expect.poll(() => others.filter(isAlive), { timeout: 10_000, interval: 100 }).toEqual([])
  }, 240_000)

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
}, 240_000)
