/** `npm start`: builds, synthesises and runs the product on this machine, until it is stopped. */
import { execFile } from 'node:child_process'
import { existsSync, mkdirSync, readFileSync, renameSync, rmSync, writeFileSync } from 'node:fs'
import { dirname, join, resolve } from 'node:path'
import { fileURLToPath } from 'node:url'
import { promisify } from 'node:util'
import { bundleFunctions } from '../bundle.ts'
import { type Flags, parseFlags, usage } from './flags.ts'
import type { LogLine } from './functions.ts'
import { type RunningStack, startStack } from './stack.ts'

const root = fileURLToPath(new URL('../../', import.meta.url))
const dataFolder = join(root, '.local')

// functions run in this process, and the zone of a function is UTC
process.env.TZ = 'UTC'

/** The same programs as `npm run synth`, without the checks that it makes besides. */
async function synthesise(): Promise<string> {
  await bundleFunctions()
  await promisify(execFile)(process.execPath, ['cdk/app.ts', '--unchecked'], { cwd: root })
  return join(root, 'cdk.out')
}

/** Two stacks on the same data would spoil them. */
function claimData(): () => void {
  const claim = join(dataFolder, 'running')
  mkdirSync(dataFolder, { recursive: true })
  const holder = existsSync(claim) ? Number(readFileSync(claim, 'utf8')) : undefined
  if (holder !== undefined && isAlive(holder)) {
    throw new Error(`The data in .local/ are in use by process ${holder}. Stop it first, or start with --memory.`)
  }
  writeFileSync(claim, String(process.pid))
  return () => rmSync(claim, { force: true })
}

function isAlive(pid: number): boolean {
  try {
    process.kill(pid, 0)
    return true
  } catch {
    return false
  }
}

function logger(): (line: LogLine) => void {
  return ({ functionName, text, error }) => {
    if (error) console.error(`${functionName}: ${text}`)
  }
}

function announce({ api, mailbox, tokens }: RunningStack, { readyFile }: Flags): void {
  console.log(`API      ${api}\nPages    ${api}\nMailbox  ${mailbox}\n\nStop with Ctrl+C.`)
  if (readyFile === undefined) return
  const file = resolve(readyFile)
  mkdirSync(dirname(file), { recursive: true })
  writeFileSync(`${file}.part`, JSON.stringify({ api, pages: api, mailbox, tokens }, null, 2))
  // whoever waits for the file never reads half of it
  renameSync(`${file}.part`, file)
}

function explained(error: unknown): string {
  const { code, message } = error as NodeJS.ErrnoException
  if (code === 'EADDRINUSE') return 'The port is in use: choose another with --port, or leave it out.'
  return message
}

async function run(flags: Flags): Promise<void> {
  const asked = new Promise<undefined>((resolve) => {
    for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP'] as const) process.once(signal, () => resolve(undefined))
  })
  const release = flags.memory ? () => undefined : claimData()
  try {
    const starting = startStack({
      template: synthesise(),
      ...(flags.memory ? {} : { dataFolder, fresh: flags.fresh }),
      ...(flags.port === undefined ? {} : { port: flags.port }),
      ...(flags.now === undefined ? {} : { now: flags.now }),
      log: logger(),
    })
    const stack = await Promise.race([starting, asked])
    if (stack === undefined) return void (await (await starting).stop())
    announce(stack, flags)
    const why = await Promise.race([stack.died, asked])
    await stack.stop()
    if (why !== undefined) throw new Error(why)
  } finally {
    release()
  }
}

try {
  await run(parseFlags(process.argv.slice(2)))
  process.exit(0)
} catch (error) {
  console.error(`${explained(error)}\n`)
  if (process.argv.length > 2 && !(error instanceof Error && 'code' in error)) console.error(usage)
  process.exit(1)
}
