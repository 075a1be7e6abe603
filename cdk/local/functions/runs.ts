/** Runs for whose answer nobody waits. One that throws is tried again; one that throws for good is kept. */
import { randomUUID } from 'node:crypto'
import { setTimeout as pause } from 'node:timers/promises'
import type { SettableClock } from '../clock.ts'
import type { Queues } from '../sources/queues.ts'
import { type Deployed, functionNamed } from '../template/template.ts'
import type { LocalFunction } from './functions.ts'

export interface Runs {
  readonly start: (target: LocalFunction, payload: unknown, afterMillis?: number) => void
  readonly idle: () => boolean
  /** the number of runs started so far */
  readonly started: () => number
  /** runs under way end unheard, and none is tried again */
  readonly stop: () => void
}

export function backgroundRuns(deployed: Deployed, clock: SettableClock, queues: Queues): Runs {
  const configurations = new Map(
    deployed
      .all('AWS::Lambda::EventInvokeConfig')
      .map(({ properties }) => [functionNamed(properties.FunctionName), properties]),
  )
  let underWay = 0
  let started = 0
  let stopped = false

  async function run(target: LocalFunction, payload: unknown): Promise<void> {
    const { MaximumRetryAttempts = 2, DestinationConfig } = configurations.get(target.name) ?? {}
    for (let count = 1; ; count++) {
      const outcome = await target.invoke(payload)
      if (outcome.ok || stopped) return
      if (count > MaximumRetryAttempts) {
        const kept = DestinationConfig?.OnFailure?.Destination
        if (kept !== undefined) await queues.send(kept, failedRun(target, { payload, outcome, count }, clock.now()))
        return
      }
      // AWS waits one minute, then two
      await pause(100 * count)
    }
  }

  return {
    start(target, payload, afterMillis = 0) {
      underWay++
      started++
      pause(afterMillis)
        .then(() => run(target, payload))
        .catch((error) => {
          if (!stopped) console.error(`${target.name}: ${error}`)
        })
        .finally(() => underWay--)
    },
    idle: () => underWay === 0,
    started: () => started,
    stop: () => {
      stopped = true
    },
  }
}

interface FailedRun {
  readonly payload: unknown
  /** the outcome of the last try */
  readonly outcome: object
  /** the number of tries */
  readonly count: number
}

function failedRun(target: LocalFunction, { payload, outcome, count }: FailedRun, now: number): object {
  return {
    version: '1.0',
    timestamp: new Date(now).toISOString(),
    requestContext: {
      requestId: randomUUID(),
      functionArn: `${target.arn}:$LATEST`,
      condition: 'RetriesExhausted',
      approximateInvokeCount: count,
    },
    requestPayload: payload,
    responseContext: { statusCode: 200, executedVersion: '$LATEST', functionError: 'Unhandled' },
    responsePayload: outcome,
  }
}
