/** What the emulators do that AWS does not, as far as the local stack relies on it or makes it good. */
import { execFile, spawn } from 'node:child_process'
import { once } from 'node:events'
import { networkInterfaces } from 'node:os'
import { setTimeout as pause } from 'node:timers/promises'
import { promisify } from 'node:util'
import { expect, test } from 'vitest'

/** A process of its own that starts the table, says where, and waits. */
const starter = `
  import { closers } from './cdk/local/closers.ts'
  import { startDynamoDb } from './cdk/local/table/dynamodb.ts'
  const { port } = await startDynamoDb(closers())
  console.log(port)
`

async function answers(host: string, port: number, withinMillis = 1000): Promise<boolean> {
  return fetch(`http://${host}:${port}/`, { signal: AbortSignal.timeout(withinMillis) }).then(
    () => true,
    () => false,
  )
}

test('the table answers on loopback only, and ends with the process that started it, even a killed one', async () => {
  const child = spawn(process.execPath, ['--input-type=module-typescript', '-e', starter], {
    stdio: ['ignore', 'pipe', 'inherit'],
  })
  let port = 0
  try {
    const said = await Promise.race([once(child.stdout, 'data'), once(child, 'exit')])
    port = Number(String(said[0]))
    expect(child.exitCode, 'the process that starts the table ended').toBeNull()
    // a busy machine takes its time over the first answer
    expect(await answers('127.0.0.1', port, 30_000)).toBe(true)
    const others = Object.values(networkInterfaces()).flatMap((all) => all ?? [])
    for (const { address, family, internal } of others) {
      if (family === 'IPv4' && !internal) expect(await answers(address, port)).toBe(false)
    }
  } finally {
    child.kill('SIGKILL')
  }
  for (let i = 0; i < 100 && (await answers('127.0.0.1', port)); i++) await pause(100)
  expect(await answers('127.0.0.1', port)).toBe(false)
}, 120_000)

test('without Java the start says what to do', async () => {
  const env = { PATH: '/nowhere', JAVA_HOME: '/nowhere' }
  const failed = promisify(execFile)(process.execPath, ['cdk/local/start.ts', '--memory'], { env })
  await expect(failed).rejects.toMatchObject({
    code: 1,
    stderr: expect.stringMatching(/No Java found[\s\S]*Java 17 or newer/),
  })
})
