/** Figures that the parts of the local stack count, kept as in CloudWatch by name, dimension and instant. */
import type { SettableClock } from '../clock.ts'

export interface MetricName {
  readonly namespace: string
  readonly name: string
  /** pairs `name=value`, in the order of the alphabet */
  readonly dimensions: readonly string[]
}

export interface Metrics {
  /** adds to a figure; adding nought says that somebody looked */
  readonly count: (metric: MetricName, value: number) => void
  /** the counts from an instant on, up to another one */
  readonly between: (metric: MetricName, from: number, until: number) => readonly number[]
  /** the newest before an instant */
  readonly lastBefore: (metric: MetricName, until: number) => number | undefined
}

/** Alarms look no further back. The number in a queue is asked for again and again. */
const mostKept = 20_000

export function metrics(clock: SettableClock): Metrics {
  const all = new Map<string, { at: number; value: number }[]>()
  const keyOf = ({ namespace, name, dimensions }: MetricName) => [namespace, name, ...dimensions].join(' ')
  return {
    count: (metric, value) => {
      const now = clock.now()
      const known = all.get(keyOf(metric)) ?? []
      // a clock that was put back leaves nothing behind that is still to come
      const past = (known.at(-1)?.at ?? now) <= now ? known : known.filter(({ at }) => at <= now)
      past.push({ at: now, value })
      all.set(keyOf(metric), past.length > 2 * mostKept ? past.slice(-mostKept) : past)
    },
    between: (metric, from, until) =>
      (all.get(keyOf(metric)) ?? []).flatMap(({ at, value }) => (at >= from && at < until ? [value] : [])),
    lastBefore: (metric, until) => (all.get(keyOf(metric)) ?? []).findLast(({ at }) => at < until)?.value,
  }
}

export const ofFunction = (name: 'Invocations' | 'Errors', functionName: string): MetricName => ({
  namespace: 'AWS/Lambda',
  name,
  dimensions: [`FunctionName=${functionName}`],
})

export const ofApi = (name: 'Count' | '5xx', apiId: string): MetricName => ({
  namespace: 'AWS/ApiGateway',
  name,
  dimensions: [`ApiId=${apiId}`],
})

export const lyingIn = (queueName: string): MetricName => ({
  namespace: 'AWS/SQS',
  name: 'ApproximateNumberOfMessagesVisible',
  dimensions: [`QueueName=${queueName}`],
})
