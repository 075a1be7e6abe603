/** An execution environment of a function: its bundle, its own clock, one event at a time. */
import { flushCompileCache } from 'node:module'
import { parentPort, workerData } from 'node:worker_threads'

export interface WorkerData {
  readonly file: string
  readonly handler: string
  readonly clock: SharedArrayBuffer
  readonly context: { readonly functionName: string; readonly functionArn: string; readonly memoryMegabytes: number }
}

export interface Work {
  readonly id: number
  readonly event: string
  readonly requestId: string
  readonly timeoutMillis: number
}

export type RunResult =
  | { readonly ok: true; readonly payload: string }
  | {
      readonly ok: false
      readonly errorType: string
      readonly errorMessage: string
      readonly stack?: string | undefined
    }

export type FromWorker =
  | { readonly ready: true }
  | { readonly ready: false; readonly error: string }
  | ({ readonly id: number } & RunResult)

const { file, handler: handlerName, clock, context } = workerData as WorkerData
const port = parentPort
if (port === null) throw new Error('this runs in a thread of its own')
const say = (message: FromWorker) => port.postMessage(message)

/** The clock is set before the bundle is loaded, so that nothing in the bundle ever sees the real one. */
function setClock(shared: SharedArrayBuffer): void {
  const ahead = new BigInt64Array(shared)
  const RealDate = Date
  const realNow = RealDate.now.bind(RealDate)
  const now = () => realNow() + Number(Atomics.load(ahead, 0))
  const LocalDate = new Proxy(RealDate, {
    construct: (target, given, newTarget) => Reflect.construct(target, given.length === 0 ? [now()] : given, newTarget),
    apply: () => new RealDate(now()).toString(),
    get: (target, name) => (name === 'now' ? now : Reflect.get(target, name)),
  })
  RealDate.prototype.constructor = LocalDate
  globalThis.Date = LocalDate
}

type Handler = (event: unknown, context: object) => unknown

async function load(): Promise<Handler> {
  const found = (await import(file))[handlerName]
  if (typeof found !== 'function') throw new Error(`${file} exports no function ${handlerName}`)
  if (found.length > 2)
    throw new Error('the runtime takes no callback: the handler must be async and take two arguments')
  return found
}

async function run(handler: Handler, { id, event, requestId, timeoutMillis }: Work): Promise<void> {
  const started = performance.now()
  const { functionName, functionArn, memoryMegabytes } = context
  const given = {
    functionName,
    functionVersion: '$LATEST',
    invokedFunctionArn: functionArn,
    memoryLimitInMB: String(memoryMegabytes),
    awsRequestId: requestId,
    logGroupName: `/aws/lambda/${functionName}`,
    logStreamName: 'local',
    getRemainingTimeInMillis: () => Math.max(0, Math.round(timeoutMillis - (performance.now() - started))),
  }
  try {
    const answer = await handler(JSON.parse(event), given)
    say({ id, ok: true, payload: JSON.stringify(answer) ?? 'null' })
  } catch (error) {
    const known = error instanceof Error ? error : new Error(String(error))
    say({ id, ok: false, errorType: known.name, errorMessage: known.message, stack: known.stack })
  }
}

// in force since this thread began, and no business of the function's
delete process.env.NODE_COMPILE_CACHE
setClock(clock)
try {
  const handler = await load()
  port.on('message', (work: Work) => void run(handler, work))
  // a thread is ended without notice, and would keep nothing then
  flushCompileCache()
  say({ ready: true })
} catch (error) {
  say({ ready: false, error: error instanceof Error ? (error.stack ?? error.message) : String(error) })
}
