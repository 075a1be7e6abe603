/** `npm start`: builds, synthesises and runs the product on this machine, until it is stopped. */
import { existsSync, mkdirSync, readFileSync, renameSync, rmSync, writeFileSync } from 'node:fs'
import { dirname, join, resolve } from 'node:path'
import { loadDemoInto } from '../../seed/into-stack.ts'
import { type Closers, closers } from './closers.ts'
import { type Flags, parseFlags, usage } from './flags.ts'
import { portIsFree } from './free-port.ts'
import type { LogLine } from './functions/functions.ts'
import type { RunningStack } from './stack.ts'
import { findJava } from './table/java.ts'
import { explained, openFirst, teller, whatIsKept } from './telling.ts'

const dataFolder = join(import.meta.dirname, '../../.local')
const { line: say, progress } = teller(process.stdout)

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

/** Errors of functions are shown until somebody asks for the end. A call that the end cuts off is no error. */
function logger(ending: AbortSignal): (line: LogLine) => void {
  return ({ functionName, text, error }) => {
    if (error && !ending.aborted) console.error(`${functionName}: ${text}`)
  }
}

/** The invented fleet comes in once. The clock is then put back to where it would be had nothing been loaded. */
async function demo({ api, tokens }: RunningStack, { now }: Flags, signal: AbortSignal): Promise<void> {
  const began = Date.now()
  say('Bringing in the demo: an invented utility, its sticks and thirty months of their history …')
  const { requests } = await loadDemoInto({ api, tokens }, new Date(now ?? began).toISOString(), { progress, signal })
  if (requests === 0) return say('The demo is there from before.')
  const instant = new Date((now ?? began) + Date.now() - began).toISOString()
  await fetch(`${api}/local/clock`, { method: 'PUT', body: JSON.stringify({ now: instant }), signal })
  say(`The demo is in: ${requests} entries in ${Math.round((Date.now() - began) / 1000)} s.`)
}

function sayReady({ api, mailbox, table, tokens }: RunningStack, { readyFile }: Flags): void {
  if (readyFile === undefined) return
  const file = resolve(readyFile)
  mkdirSync(dirname(file), { recursive: true })
  writeFileSync(`${file}.part`, JSON.stringify({ api, pages: api, mailbox, table, tokens }, null, 2))
  // a program that waits for the file never reads half of it
  renameSync(`${file}.part`, file)
}

/** Quick checks come first, then the slow build. */
async function opened(flags: Flags, closing: Closers, ending: AbortSignal): Promise<RunningStack> {
  if (!flags.memory) closing.add(claimData())
  await portIsFree(flags.port)
  await findJava()
  // the addresses of an earlier start would mislead a program that waits for the file
  if (flags.readyFile !== undefined) rmSync(flags.readyFile, { force: true })
  say(whatIsKept(flags, existsSync(join(dataFolder, 'table'))))
  say('Building the functions and the template …')
  const [{ startStack }, { synthesise }] = await Promise.all([import('./stack.ts'), import('./template/synthesise.ts')])
  const synthesised = synthesise(undefined, ending)
  closing.add(async () => (await synthesised).remove())
  return startStack(
    {
      template: synthesised.then(({ folder }) => folder),
      ...(flags.memory ? {} : { dataFolder, fresh: flags.fresh }),
      ...(flags.port === undefined ? {} : { port: flags.port }),
      ...(flags.now === undefined ? {} : { now: flags.now }),
      log: logger(ending),
      say,
    },
    closing,
  )
}

async function run(flags: Flags, closing: Closers): Promise<void> {
  const ending = new AbortController()
  const asked = new Promise<'asked'>((resolve) => {
    for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP'] as const) {
      process.once(signal, () => {
        ending.abort()
        resolve('asked')
      })
    }
  })
  say('Quarterturn on this machine. Ctrl-C stops it at any time.')
  // a part that fails to start once the stop was asked for is no news
  const stack = await Promise.race([opened(flags, closing, ending.signal), asked])
  if (stack === 'asked') return say('Stopped before it was ready.')
  const all = flags.demo ? demo(stack, flags, ending.signal) : Promise.resolve()
  const early = await Promise.race([all.then(() => 'ready' as const), stack.died, asked])
  if (early === 'asked')
    return say(`Stopped while the demo came in.${flags.memory ? '' : ' The next start goes on with it.'}`)
  if (early !== 'ready') throw new Error(early)
  sayReady(stack, flags)
  say(openFirst(stack))
  const why = await Promise.race([stack.died, asked])
  if (why !== 'asked') throw new Error(why)
  say('Stopping …')
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
if (flags.help) {
  console.log(usage)
  process.exit(0)
}
const closing = closers()
try {
  await run(flags, closing)
} catch (error) {
  console.error(explained(error))
  process.exitCode = 1
}
await closing.closeAll()
process.exit()
