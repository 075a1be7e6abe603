/** A poller looks at a source, hands on what it finds, and knows when nothing is left. */
import { setTimeout as pause } from 'node:timers/promises'

export interface Poller {
  /** asks for a look now, since something may have been written */
  readonly wake: () => void
  /** resolves once everything written before the call is handled */
  readonly drained: () => Promise<void>
  /** the number of batches handed on so far */
  readonly handedOn: () => number
  readonly stop: () => Promise<void>
}

export interface Consumer<Thing> {
  readonly take: (things: readonly Thing[]) => void
  /** what was taken and waits for more to come is begun now, since somebody waits for it */
  readonly hurry?: () => void
  readonly busy: () => boolean
  readonly idle: () => Promise<void>
  readonly handedOn: () => number
  readonly stop: () => void
}

export interface Source<Thing> {
  /** the name of the source in the log */
  readonly name: string
  /** the next things; none when the end is reached */
  readonly next: () => Promise<readonly Thing[]>
  /** a pause after a find, so that things close together are found together; it grows while nobody waits */
  readonly breathMillis: number
  readonly idleMillis: number
}

const tell = (asked: readonly (() => void)[]) => {
  for (const done of asked) done()
}

/** A poller at work. */
interface Polling<Thing> {
  readonly source: Source<Thing>
  readonly consumers: readonly Consumer<Thing>[]
  stopped: boolean
  /** callers to tell once the source was seen empty after they asked */
  asking: (() => void)[]
  waking: () => void
  woken: boolean
  breath: number
}

export function poll<Thing>(source: Source<Thing>, consumers: readonly Consumer<Thing>[]): Poller {
  const polling: Polling<Thing> = {
    source,
    consumers,
    stopped: false,
    asking: [],
    waking: () => undefined,
    woken: false,
    breath: source.breathMillis,
  }
  const running = run(polling)
  return {
    wake: () => wake(polling),
    drained: () =>
      new Promise((resolve) => {
        if (polling.stopped) return resolve()
        polling.asking.push(resolve)
        wake(polling)
      }),
    handedOn: () => consumers.reduce((sum, one) => sum + one.handedOn(), 0),
    stop: async () => {
      polling.stopped = true
      hurry(polling)
      for (const one of consumers) one.stop()
      wake(polling)
      await running
      await idle(polling)
    },
  }
}

async function idle<Thing>({ consumers }: Polling<Thing>): Promise<void> {
  await Promise.all(consumers.map((one) => one.idle()))
}

function hurry<Thing>({ consumers }: Polling<Thing>): void {
  for (const one of consumers) one.hurry?.()
}

function wake<Thing>(polling: Polling<Thing>): void {
  polling.woken = true
  polling.waking()
}

async function rest<Thing>(polling: Polling<Thing>): Promise<void> {
  if (polling.woken) return
  await new Promise<void>((resolve) => {
    const timer = setTimeout(resolve, polling.source.idleMillis)
    polling.waking = () => {
      clearTimeout(timer)
      resolve()
    }
  })
}

async function look<Thing>(polling: Polling<Thing>, asked: readonly (() => void)[]): Promise<void> {
  const { source, consumers } = polling
  // a consumer at work may write more, so only a look that began after its work sees the end
  const working = consumers.some(({ busy }) => busy())
  if (asked.length > 0) hurry(polling)
  const things = await source.next()
  if (things.length > 0) {
    for (const { take } of consumers) take(things)
    if (asked.length > 0 || polling.asking.length > 0) hurry(polling)
    polling.asking.push(...asked)
    polling.breath = polling.asking.length > 0 ? source.breathMillis : Math.min(polling.breath * 2, source.idleMillis)
    return pause(polling.breath)
  }
  polling.breath = source.breathMillis
  if (!working) tell(asked)
  else if (asked.length > 0) {
    polling.asking.push(...asked)
    void idle(polling).then(() => wake(polling))
  }
  return rest(polling)
}

async function run<Thing>(polling: Polling<Thing>): Promise<void> {
  while (!polling.stopped) {
    polling.woken = false
    const asked = polling.asking
    polling.asking = []
    try {
      await look(polling, asked)
    } catch (error) {
      polling.asking.push(...asked)
      if (!polling.stopped) {
        console.error(`The ${polling.source.name} could not be read: ${error}`)
        await rest(polling)
      }
    }
  }
  tell(polling.asking)
}
