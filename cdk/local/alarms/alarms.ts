/**
 * The alarms of the template, by the settable clock: those of errors, of words in logs, of failing calls, of what
 * arrives among the dead letters, and of silence. One that begins to ring publishes to its topic, and whoever
 * subscribed there by mail gets one. The others hear figures that nothing here has: the template tests and the
 * permission simulator prove those.
 */
import type { SettableClock } from '../clock.ts'
import type { Deployed, Properties, Resource } from '../template/template.ts'
import type { MetricName, Metrics } from './metrics.ts'
import { subscribersOf } from './topic.ts'

export interface Ring {
  readonly alarm: string
  readonly description: string
  readonly to: string
  readonly at: number
}

export interface Alarms {
  /** looks at all alarms now, and resolves once those that ring anew have rung */
  readonly look: () => Promise<void>
  /** Time that the clock leapt over is no silence. */
  readonly leapt: (from: number, to: number) => void
  readonly states: () => Readonly<Record<string, 'OK' | 'ALARM'>>
  readonly stop: () => void
}

export interface AlarmParts {
  readonly deployed: Deployed
  readonly clock: SettableClock
  readonly metrics: Metrics
  /** counts figures that have to be asked for, before each look at the alarms */
  readonly ask: () => Promise<void>
  readonly ring: (ring: Ring) => void
}

/** The value of one period; undefined where nothing was counted in it. */
type Value = (from: number, until: number) => number | undefined

interface Bell {
  readonly name: string
  readonly description: string
  readonly to: readonly string[]
  readonly periodMillis: number
  readonly periods: number
  readonly breaches: (value: number) => boolean
  readonly silenceBreaches: boolean
  readonly value: Value
}

const realMillisBetweenLooks = 1000

export function alarms({ deployed, clock, metrics, ask, ring }: AlarmParts): Alarms {
  const bells = deployed.all('AWS::CloudWatch::Alarm').flatMap((alarm) => bellOf(alarm, deployed, metrics) ?? [])
  const states = new Map<string, 'OK' | 'ALARM'>(bells.map(({ name }) => [name, 'OK']))
  /** the instant since which each alarm has been heard without a leap of the clock */
  const heardFrom = new Map<string, number>(bells.map(({ name }) => [name, clock.now()]))

  async function look(): Promise<void> {
    await ask()
    for (const bell of bells) {
      const isRinging = rings(bell, clock.now(), heardFrom.get(bell.name) ?? 0)
      const rang = states.get(bell.name) === 'ALARM'
      states.set(bell.name, isRinging ? 'ALARM' : 'OK')
      if (!isRinging || rang) continue
      for (const to of bell.to) ring({ alarm: bell.name, description: bell.description, to, at: clock.now() })
    }
  }

  let isLooking = false
  async function lookAgain(): Promise<void> {
    if (isLooking) return
    isLooking = true
    try {
      await look()
    } catch (error) {
      if (!stopped) console.error(`The alarms could not be looked at: ${error}`)
    } finally {
      isLooking = false
    }
  }
  let stopped = false
  const timer = setInterval(() => void lookAgain(), realMillisBetweenLooks)
  timer.unref()

  return {
    look,
    leapt: (from, to) => {
      for (const { name, periodMillis } of bells) if (to < from || to - from > periodMillis) heardFrom.set(name, to)
    },
    states: () => Object.fromEntries(states),
    stop: () => {
      stopped = true
      clearInterval(timer)
    },
  }
}

/** The last periods, each as a whole. The period that is not over yet counts where something was counted in it. */
function rings(
  { periodMillis, periods, breaches, silenceBreaches, value }: Bell,
  now: number,
  heardFrom: number,
): boolean {
  const current = Math.floor(now / periodMillis) * periodMillis
  const newest = value(current, current + periodMillis) === undefined ? current - periodMillis : current
  return Array.from({ length: periods }, (_, i) => newest - i * periodMillis).every((from) => {
    const counted = value(from, from + periodMillis)
    return counted === undefined ? silenceBreaches && from >= heardFrom : breaches(counted)
  })
}

/** The bell of an alarm; undefined where nothing here counts the figures that it hears. */
function bellOf({ id, name, properties }: Resource, deployed: Deployed, metrics: Metrics): Bell | undefined {
  const {
    Metrics: expressions,
    Period,
    EvaluationPeriods,
    Threshold,
    ComparisonOperator,
    TreatMissingData,
  } = properties
  const heard = expressions === undefined ? plain(properties, metrics) : worked(id, expressions, metrics)
  if (heard === undefined) return undefined
  const topics: string[] = properties.AlarmActions ?? []
  return {
    name,
    description: properties.AlarmDescription,
    to: topics.flatMap((topic) => subscribersOf(deployed, topic, deployed.arn(id))),
    periodMillis: 1000 * (Period ?? heard.periodSeconds),
    periods: EvaluationPeriods,
    breaches: comparison(id, ComparisonOperator, Threshold),
    silenceBreaches: TreatMissingData === 'breaching',
    value: heard.value,
  }
}

function comparison(id: string, operator: string, threshold: number): (value: number) => boolean {
  switch (operator) {
    case 'GreaterThanOrEqualToThreshold':
      return (value) => value >= threshold
    case 'GreaterThanThreshold':
      return (value) => value > threshold
    case 'LessThanThreshold':
      return (value) => value < threshold
  }
  throw new Error(`${id}: the local stack does not know the comparison ${operator}`)
}

interface Heard {
  readonly periodSeconds: number
  readonly value: Value
  /** the newest figure before an instant */
  readonly lastBefore: (until: number) => number
}

/** The metrics that the local stack counts. An alarm of any other metric never rings here. */
const counted: readonly string[] = [
  'AWS/Lambda Errors',
  'AWS/Lambda Invocations',
  'AWS/ApiGateway Count',
  'AWS/ApiGateway 5xx',
  'AWS/SQS ApproximateNumberOfMessagesVisible',
]

function plain(
  { Namespace, MetricName, Dimensions = [], Period, Statistic }: Properties,
  metrics: Metrics,
): Heard | undefined {
  if (Namespace !== 'Quarterturn' && !counted.includes(`${Namespace} ${MetricName}`)) return undefined
  const named: string[] = Dimensions.map(({ Name, Value }: Properties) => `${Name}=${Value}`)
  const metric: MetricName = { namespace: Namespace, name: MetricName, dimensions: named.sort() }
  return {
    periodSeconds: Period,
    value: (from, until) => statistic(Statistic, metrics.between(metric, from, until)),
    lastBefore: (until) => metrics.lastBefore(metric, until) ?? 0,
  }
}

function statistic(name: string, values: readonly number[]): number | undefined {
  if (values.length === 0) return undefined
  if (name === 'Sum') return values.reduce((sum, one) => sum + one, 0)
  if (name === 'Maximum') return Math.max(...values)
  throw new Error(`the local stack does not know the statistic ${name}`)
}

/** The sums that CloudWatch works out, as far as the template asks for them. */
function worked(id: string, expressions: readonly Properties[], metrics: Metrics): Heard | undefined {
  const sum = expressions.find(({ Expression }) => Expression !== undefined)
  const parts = new Map(
    expressions.flatMap(({ Id, MetricStat }) => {
      if (MetricStat === undefined) return []
      const { Metric, Period, Stat } = MetricStat
      return [[Id as string, plain({ ...Metric, Period, Statistic: Stat }, metrics)] as const]
    }),
  )
  if ([...parts.values()].includes(undefined)) return undefined
  const period: number = expressions.find(({ MetricStat }) => MetricStat)?.MetricStat.Period
  const of = (name: string): Heard => {
    const part = parts.get(name)
    if (part === undefined) throw new Error(`${id}: no part of its sum is called ${name}`)
    return part
  }
  return { periodSeconds: period, value: workedOut(id, sum?.Expression, of), lastBefore: () => 0 }
}

function workedOut(id: string, expression: string, of: (name: string) => Heard): Value {
  const risen = /^DIFF\(FILL\((\w+), 0\)\)$/.exec(expression)?.[1]
  if (risen !== undefined)
    return (from, until) => {
      const lies = of(risen).value(from, until)
      // the count before a leap of the clock still counts: AWS would have looked meanwhile
      return lies === undefined ? undefined : lies - of(risen).lastBefore(from)
    }
  if (expression === '100 * part / whole')
    return (from, until) => {
      const whole = of('whole').value(from, until)
      return whole === undefined || whole === 0 ? undefined : (100 * (of('part').value(from, until) ?? 0)) / whole
    }
  throw new Error(`${id}: the local stack cannot work out ${expression}`)
}
