/** `npm start`: builds, synthesises and runs the product on this machine, until it is stopped. */
import { existsSync, mkdirSync, readFileSync, renameSync, rmSync, writeFileSync } from 'node:fs'
import { dirname, join, resolve } from 'node:path'
import { loadDemoInto } from '../../seed/into-stack.ts'
import { closers } from './closers.ts'
import { type Flags, parseFlags, usage } from './flags.ts'
import type { LogLine } from './functions/functions.ts'
import { type RunningStack, startStack } from './stack.ts'
import { root, synthesise } from './template/synthesise.ts'

const dataFolder = join(root, '.local')

// functions run in this process, and the zone of a function is UTC
process.env.TZ = 'UTC'

/** Two stacks on the same data would spoil them. */
function claimData(): () => void {
  const claim = join(dataFolder, 'running')
  mkdirSync(dataFolder, { recursive: true })
  const holder = existsSync(claim) ? Number(readFileSync(claim, 'utf8')) : undefined
  if (holder !== undefined && isAlive(holder)) {
    throw new Error(
      `The data in .local/ are in use by process ${holder}. Stop it first, or start with --memory.\n` +
        'If that process is something else, delete .local/running.',
    )
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

function announce({ api, mailbox, table }: RunningStack): void {
  const lines = [
    `API      ${api}`,
    `Pages    ${api}`,
    `Mailbox  ${mailbox}`,
    `Table    ${table.endpoint} ${table.name}`,
  ]
  console.log(`${lines.join('\n')}\n\nStop with Ctrl+C.`)
}

/** The invented fleet, once; then the clock is put back to where it would be had nothing been loaded. */
async function demo({ api, tokens }: RunningStack, { now }: Flags): Promise<void> {
  const began = Date.now()
  const { requests } = await loadDemoInto({ api, tokens }, new Date(now ?? began).toISOString(), () => {
    console.log('Bringing in the demo fleet and its thirty months of history …')
  })
  if (requests === 0) return
  const instant = new Date((now ?? began) + Date.now() - began).toISOString()
  await fetch(`${api}/local/clock`, { method: 'PUT', body: JSON.stringify({ now: instant }) })
  console.log(`The demo fleet is in: ${requests} entries in ${Math.round((Date.now() - began) / 1000)} s.`)
}

function sayReady({ api, mailbox, tokens }: RunningStack, { readyFile }: Flags): void {
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
  const asked = new Promise<'asked'>((resolve) => {
    for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP'] as const) process.once(signal, () => resolve('asked'))
  })
  const closing = closers()
  if (!flags.memory) closing.add(claimData())
  const synthesised = synthesise()
  closing.add(async () => (await synthesised).remove())
  const starting = startStack(
    {
      template: synthesised.then(({ folder }) => folder),
      ...(flags.memory ? {} : { dataFolder, fresh: flags.fresh }),
      ...(flags.port === undefined ? {} : { port: flags.port }),
      ...(flags.now === undefined ? {} : { now: flags.now }),
      log: logger(),
    },
    closing,
  )
  // stopped while it starts, what then fails to start is no news
  const stack = await Promise.race([starting, asked])
  if (stack === 'asked') return closing.closeAll()
  announce(stack)
  const all = flags.demo ? demo(stack, flags) : Promise.resolve()
  const early = await Promise.race([all.then(() => 'ready' as const), stack.died, asked])
  if (early === 'ready') sayReady(stack, flags)
  const why = early === 'ready' ? await Promise.race([stack.died, asked]) : early
  await closing.closeAll()
  if (why !== 'asked') throw new Error(why)
}

function flagsOrUsage(): Flags {
  try {
    return parseFlags(process.argv.slice(2))
  } catch (error) {
    console.error(`${explained(error)}\n\n${usage}`)
    process.exit(2)
  }
}

const flags = flagsOrUsage()
try {
  await run(flags)
  process.exit(0)
} catch (error) {
  console.error(explained(error))
  process.exit(1)
}
