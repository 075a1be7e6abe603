/**
 * One fact by HTTP, to the local stack about a stick that has no other, and to a plain server that writes the same
 * items.
 */
import { addSeconds, type Instant, localDateAt, localTimeAt } from '../../shared-domain/calendar.ts'
import { put } from '../journeys/furnish.ts'
import type { LocalStack } from '../local-stack.ts'
import { aDepot, aStick } from '../support/trade.ts'
import { floorServer } from './floor-server.ts'
import { theStack } from './stack.ts'

export interface Facts {
  readonly record: () => Promise<void>
  readonly floor: () => Promise<void>
  /** until nothing is left to do of what was recorded, so that it does not fall on the floor */
  readonly settle: () => Promise<void>
}

/** Ready for so many facts, their sticks registered. */
export async function withFacts<T>(many: number, measure: (facts: Facts) => Promise<T>): Promise<T> {
  const stack = await theStack()
  const [model = '', ...sticks] = Array.from({ length: many + 1 }, () => `S-fact-${++registered}`)
  await sideBySide(8, [model, ...sticks], (stick) => put(stack, `/v1/sticks/${stick}`, aStick))
  await recordOf(stack, model)
  await stack.settle()
  const server = await floorServer(stack, { stickId: model, entities: ['fact', 'guard', 'stick'] })
  const measured = await measure({
    record: () => recordOf(stack, sticks.pop()),
    floor: () => server.post(cleaning()),
    settle: stack.settle,
  })
  await server.stop()
  return measured
}

/** Of one length, so that the name of one begins no other. */
let registered = 1_000_000

/**
 * Nothing follows from it for a stick that was never tested, and nobody is told. Its hour lies after the registration,
 * as a fact mostly comes after those that are known: one out of order also reads them.
 */
function cleaning() {
  const { timeZone } = aDepot
  const soon = addSeconds(new Date().toISOString() as Instant, 300)
  const when = { occurredOn: localDateAt(soon, timeZone), at: localTimeAt(soon, timeZone) }
  return { factId: crypto.randomUUID(), ...when, kind: 'cleaned', by: 'Ines Roth' }
}

async function recordOf(stack: LocalStack, stick: string | undefined): Promise<void> {
  if (stick === undefined) throw new Error('more facts than sticks were made ready for')
  const { status, text } = await stack.call('POST', `/v1/sticks/${stick}/corrective-steps`, cleaning(), 'bench')
  if (status !== 201) throw new Error(`a cleaning of ${stick}: ${status} ${text}`)
}

/** So many at a time, each as soon as the one before it is done. */
export async function sideBySide<T>(atOnce: number, all: readonly T[], work: (one: T) => Promise<void>): Promise<void> {
  const left = all.values()
  await Promise.all(
    Array.from({ length: atOnce }, async () => {
      for (const one of left) await work(one)
    }),
  )
}
