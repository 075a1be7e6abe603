/** What the emulators do that AWS does not, as far as the local stack relies on it or makes it good. */
import { execFile, spawn } from 'node:child_process'
import { once } from 'node:events'
import { createRequire } from 'node:module'
import type { AddressInfo } from 'node:net'
import { networkInterfaces } from 'node:os'
import { setTimeout as pause } from 'node:timers/promises'
import { promisify } from 'node:util'
import { expect, test } from 'vitest'

const emulator: typeof import('aws-ses-v2-local') = createRequire(import.meta.url)('aws-ses-v2-local')

test('the mail emulator alone takes what SES refuses; once it refuses it too, our own rule can go', async () => {
  const server = await emulator.default({ host: '127.0.0.1', port: 0 })
  const page = `http://127.0.0.1:${(server.address() as AddressInfo).port}`
  const send = async (raw: string, more: Record<string, string> = {}) => {
    const body = new URLSearchParams({
      Action: 'SendRawEmail',
      'RawMessage.Data': Buffer.from(raw).toString('base64'),
      ...more,
    })
    return (await fetch(page, { method: 'POST', body, headers: { authorization: 'AWS local' } })).status
  }
  const message = (from: string, to: string, subject: string) =>
    `From: ${from}\r\nTo: ${to}\r\nSubject: ${subject}\r\n\r\nx`
  try {
    expect(await send(message('a@elsewhere.example', 'jürgen@crew.example', 'x'))).toBe(200)
    expect(await send(message('a@elsewhere.example', 'no address', 'x\r\nSubject: y'))).toBe(200)
    expect(await send(message('a@elsewhere.example', 'b@crew.example', 'x'), { ConfigurationSetName: 'none' })).toBe(
      200,
    )
    const many = Array.from({ length: 51 }, (_, i) => `c${i}@crew.example`).join(', ')
    expect(await send(message('a@elsewhere.example', many, 'x'))).toBe(200)
  } finally {
    server.close()
  }
})

/** A process of its own that starts the table, says where, and waits. */
const starter = `
  import { closers } from './cdk/local/closers.ts'
  import { startDynamoDb } from './cdk/local/table/dynamodb.ts'
  const { port } = await startDynamoDb(closers())
  console.log(port)
`

async function answers(host: string, port: number): Promise<boolean> {
  return fetch(`http://${host}:${port}/`, { signal: AbortSignal.timeout(1000) }).then(
    () => true,
    () => false,
  )
}

test('the table answers on loopback only, and ends with the process that started it, even when that is killed', async () => {
  const child = spawn(process.execPath, ['--input-type=module-typescript', '-e', starter], {
    stdio: ['ignore', 'pipe', 'inherit'],
  })
  const said = await Promise.race([once(child.stdout, 'data'), once(child, 'exit')])
  const port = Number(String(said[0]))
  expect(child.exitCode, 'the process that starts the table ended').toBeNull()
  expect(await answers('127.0.0.1', port)).toBe(true)
  const others = Object.values(networkInterfaces()).flatMap((all) => all ?? [])
  for (const { address, family, internal } of others) {
    if (family === 'IPv4' && !internal) expect(await answers(address, port)).toBe(false)
  }
  child.kill('SIGKILL')
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
