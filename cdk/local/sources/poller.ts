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

export function poll<Thing>(source: Source<Thing>, consumers: readonly Consumer<Thing>[]): Poller {
  const idle = async () => {
    await Promise.all(consumers.map((one) => one.idle()))
  }
  let stopped = false
  /** callers to tell once the source was seen empty after they asked */
  let asking: (() => void)[] = []
  let waking: () => void = () => undefined
  let woken = false
  let breath = source.breathMillis

  function wake(): void {
    woken = true
    waking()
  }

  async function rest(): Promise<void> {
    if (woken) return
    await new Promise<void>((resolve) => {
      const timer = setTimeout(resolve, source.idleMillis)
      waking = () => {
        clearTimeout(timer)
        resolve()
      }
    })
  }

  async function look(asked: readonly (() => void)[]): Promise<void> {
    // a consumer at work may write more, so only a look that began after its work sees the end
    const working = consumers.some(({ busy }) => busy())
    const things = await source.next()
    if (things.length > 0) {
      for (const { take } of consumers) take(things)
      asking.push(...asked)
      breath = asking.length > 0 ? source.breathMillis : Math.min(breath * 2, source.idleMillis)
      return pause(breath)
    }
    breath = source.breathMillis
    if (!working) tell(asked)
    else if (asked.length > 0) {
      asking.push(...asked)
      void idle().then(wake)
    }
    return rest()
  }

  async function run(): Promise<void> {
    while (!stopped) {
      woken = false
      const asked = asking
      asking = []
      try {
        await look(asked)
      } catch (error) {
        asking.push(...asked)
        if (!stopped) {
          console.error(`The ${source.name} could not be read: ${error}`)
          await rest()
        }
      }
    }
    tell(asking)
  }

  const running = run()
  return {
    wake,
    drained: () =>
      new Promise((resolve) => {
        if (stopped) return resolve()
        asking.push(resolve)
        wake()
      }),
    handedOn: () => consumers.reduce((sum, one) => sum + one.handedOn(), 0),
    stop: async () => {
      stopped = true
      for (const one of consumers) one.stop()
      wake()
      await running
      await idle()
    },
  }
}
