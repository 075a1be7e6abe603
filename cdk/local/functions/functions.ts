/** The built functions of the template, in threads: each within its timeout, one event at a time. */
import { randomUUID } from 'node:crypto'
import { existsSync } from 'node:fs'
import { availableParallelism } from 'node:os'
import { join } from 'node:path'
import { Worker } from 'node:worker_threads'
import type { SettableClock } from '../clock.ts'
import type { Deployed, Resource } from '../template/template.ts'
import type { FromWorker, RunResult, Work, WorkerData } from './worker.ts'

export interface LogLine {
  readonly functionName: string
  readonly text: string
  readonly error: boolean
}

export interface LocalFunction {
  readonly name: string
  readonly arn: string
  readonly roleArn: string
  readonly invoke: (event: unknown) => Promise<RunResult>
  readonly warm: () => Promise<void>
  /** lays all instances aside, as AWS does now and then: the next run starts anew */
  readonly layAside: () => Promise<void>
  readonly stop: () => Promise<void>
}

export interface Host {
  readonly clock: SettableClock
  readonly log: (line: LogLine) => void
  /** variables that only Lambda itself would set: region, credentials, endpoints */
  readonly environment: Readonly<Record<string, string>>
}

/** Threads beyond the number of cores would only be compiled for more often. */
const mostAtOnce = Math.max(2, availableParallelism())
const mostBytes = 6 * 1024 * 1024
/** What other threads have compiled is taken from there, where whoever starts this process keeps it. */
const { NODE_COMPILE_CACHE } = process.env
const compiledBefore = NODE_COMPILE_CACHE === undefined ? {} : { NODE_COMPILE_CACHE }

export function localFunction(resource: Resource, deployed: Deployed, host: Host): LocalFunction {
  const { properties, id } = resource
  const { Handler, Timeout = 3, MemorySize = 128, Role, Environment, ReservedConcurrentExecutions } = properties
  const arn = deployed.arn(id)
  const [module = '', handler = ''] = Handler.split('.')
  const folder = deployed.asset(properties.Code.S3Key)
  const file = ['mjs', 'js'].map((extension) => join(folder, `${module}.${extension}`)).find((one) => existsSync(one))
  if (file === undefined) throw new Error(`${id}: no ${module}.mjs in ${folder}`)
  const workerData: WorkerData = {
    file,
    handler,
    clock: host.clock.shared,
    context: { functionName: resource.name, functionArn: arn, memoryMegabytes: MemorySize },
  }
  const env = { ...Environment?.Variables, ...host.environment, ...compiledBefore }
  const log = (text: string, error: boolean) => host.log({ functionName: resource.name, text, error })
  const pool = workers(
    () => thread({ workerData, env, timeoutMillis: Timeout * 1000 }, log),
    Math.min(ReservedConcurrentExecutions ?? mostAtOnce, mostAtOnce),
  )

  async function invoke(event: unknown): Promise<RunResult> {
    const text = JSON.stringify(event)
    if (Buffer.byteLength(text) > mostBytes) return tooLarge('request')
    const outcome = await pool.run(text)
    if (!outcome.ok) log(`${outcome.errorType}: ${outcome.errorMessage}\n${outcome.stack ?? ''}`, true)
    if (outcome.ok && Buffer.byteLength(outcome.payload) > mostBytes) return tooLarge('response')
    return outcome
  }

  return { name: resource.name, arn, roleArn: Role, invoke, warm: pool.warm, layAside: pool.layAside, stop: pool.stop }
}

const tooLarge = (what: 'request' | 'response'): RunResult => ({
  ok: false,
  errorType: what === 'request' ? 'RequestTooLargeException' : 'Function.ResponseSizeTooLarge',
  errorMessage: `the ${what} is larger than 6 MB`,
})

interface Thread {
  readonly ready: Promise<void>
  readonly run: (event: string) => Promise<RunResult>
  readonly stop: () => Promise<unknown>
  readonly spent: () => boolean
}

interface ThreadProps {
  readonly workerData: WorkerData
  readonly env: Record<string, string>
  readonly timeoutMillis: number
}

function thread({ workerData, env, timeoutMillis }: ThreadProps, log: (text: string, error: boolean) => void): Thread {
  const { functionName } = workerData.context
  const worker = new Worker(new URL('./worker.ts', import.meta.url), {
    workerData,
    env,
    stdout: true,
    stderr: true,
    execArgv: [],
  })
  const waiting = new Map<number, (outcome: RunResult) => void>()
  let spent = false
  let count = 0
  const fail = (errorType: string, errorMessage: string) => {
    spent = true
    for (const settle of waiting.values()) settle({ ok: false, errorType, errorMessage })
    waiting.clear()
  }
  const ready = new Promise<void>((resolve, reject) => {
    worker.once('message', (first: FromWorker) => {
      if (!('ready' in first)) return
      if (first.ready) return resolve()
      spent = true
      reject(new Error(`${functionName} cannot be loaded: ${first.error}`))
    })
    worker.once('exit', () => reject(new Error(`${functionName} ended while it was being loaded`)))
  })
  ready.catch(() => undefined)
  worker.on('message', (message: FromWorker) => {
    if ('ready' in message) return
    waiting.get(message.id)?.(message)
    waiting.delete(message.id)
  })
  worker.on('error', (error: Error) => fail(error.name, `${error.message}\n${error.stack ?? ''}`))
  worker.on('exit', () => fail('Runtime.ExitError', 'the runtime exited without an answer'))
  byLine(worker.stdout, (text) => log(text, false))
  byLine(worker.stderr, (text) => log(text, true))

  async function run(event: string): Promise<RunResult> {
    await ready
    const id = ++count
    const work: Work = { id, event, requestId: randomUUID(), timeoutMillis }
    const answer = new Promise<RunResult>((resolve) => waiting.set(id, resolve))
    worker.postMessage(work)
    const timer = setTimeout(() => {
      fail('Sandbox.Timedout', `Task timed out after ${(timeoutMillis / 1000).toFixed(2)} seconds`)
      void worker.terminate()
    }, timeoutMillis)
    const outcome = await answer
    clearTimeout(timer)
    return outcome
  }

  return { ready, run, stop: () => worker.terminate(), spent: () => spent }
}

function byLine(stream: NodeJS.ReadableStream, take: (line: string) => void): void {
  let rest = ''
  stream.on('data', (chunk: Buffer) => {
    const lines = (rest + chunk.toString()).split('\n')
    rest = lines.pop() ?? ''
    for (const line of lines) take(line)
  })
}

/** Threads of one function, as many as are busy at once. They are made when needed and kept warm. */
function workers(make: () => Thread, most: number) {
  const all = new Set<Thread>()
  const idle: Thread[] = []
  const queue: ((thread: Thread) => void)[] = []
  let stopped = false

  function take(): Promise<Thread> {
    const free = idle.pop()
    if (free !== undefined) return Promise.resolve(free)
    if (all.size < most) return Promise.resolve(add())
    return new Promise((resolve) => queue.push(resolve))
  }

  function add(): Thread {
    const made = make()
    all.add(made)
    return made
  }

  function giveBack(used: Thread): void {
    if (used.spent()) all.delete(used)
    const next = queue.shift()
    if (next !== undefined) next(used.spent() ? add() : used)
    else if (!used.spent()) idle.push(used)
  }

  return {
    async run(event: string): Promise<RunResult> {
      if (stopped) return { ok: false, errorType: 'ServiceException', errorMessage: 'the local stack is stopping' }
      const thread = await take()
      try {
        return await thread.run(event)
      } catch (error) {
        return { ok: false, errorType: 'Runtime.ImportError', errorMessage: String(error) }
      } finally {
        giveBack(thread)
      }
    },
    async warm(): Promise<void> {
      const thread = await take()
      try {
        await thread.ready
      } finally {
        giveBack(thread)
      }
    },
    async layAside(): Promise<void> {
      const unused = idle.splice(0)
      for (const thread of unused) all.delete(thread)
      await Promise.all(unused.map((thread) => thread.stop()))
    },
    stop: async () => {
      stopped = true
      await Promise.all([...all].map((thread) => thread.stop()))
    },
  }
}
