/** When an alarm of the template rings on the local stack, by what was counted and by the clock. */
import { afterEach, expect, test } from 'vitest'
import { type Alarms, alarms, type Ring } from '../../cdk/local/alarms/alarms.ts'
import { lyingIn, metrics, ofFunction } from '../../cdk/local/alarms/metrics.ts'
import { settableClock } from '../../cdk/local/clock.ts'
import type { Deployed, Properties, Resource } from '../../cdk/local/template/template.ts'

const topic = 'arn:aws:sns:us-east-1:111122223333:operators'
const minute = 60_000
const begin = Date.parse('2026-03-02T14:00:00Z')
const common = { AlarmActions: [topic], AlarmDescription: 'means', Period: 300, EvaluationPeriods: 1 }

const errors = {
  ...common,
  Namespace: 'AWS/Lambda',
  MetricName: 'Errors',
  Dimensions: [{ Name: 'FunctionName', Value: 'f' }],
  Statistic: 'Sum',
  Threshold: 1,
  ComparisonOperator: 'GreaterThanOrEqualToThreshold',
  TreatMissingData: 'notBreaching',
}
const silence = {
  ...errors,
  MetricName: 'Invocations',
  EvaluationPeriods: 3,
  ComparisonOperator: 'LessThanThreshold',
  TreatMissingData: 'breaching',
}
const Metric = {
  Namespace: 'AWS/SQS',
  MetricName: 'ApproximateNumberOfMessagesVisible',
  Dimensions: [{ Name: 'QueueName', Value: 'q' }],
}
const arrived = {
  ...common,
  Period: undefined,
  Metrics: [
    { Id: 'expr', Expression: 'DIFF(FILL(lying, 0))' },
    { Id: 'lying', ReturnData: false, MetricStat: { Metric, Period: 300, Stat: 'Maximum' } },
  ],
  Threshold: 1,
  ComparisonOperator: 'GreaterThanOrEqualToThreshold',
  TreatMissingData: 'notBreaching',
}

const statement = {
  Effect: 'Allow',
  Action: 'sns:Publish',
  Principal: { Service: 'cloudwatch.amazonaws.com' },
  Resource: topic,
}

function deployedWith(alarm: Properties, statements: Properties[] = [statement]): Deployed {
  const resources: Resource[] = [
    { id: 'A', type: 'AWS::CloudWatch::Alarm', name: 'A', properties: alarm },
    {
      id: 'P',
      type: 'AWS::SNS::TopicPolicy',
      name: 'P',
      properties: { Topics: [topic], PolicyDocument: { Statement: statements } },
    },
    {
      id: 'S',
      type: 'AWS::SNS::Subscription',
      name: 'S',
      properties: { Protocol: 'email', Endpoint: 'op@x.example', TopicArn: topic },
    },
  ]
  return {
    region: 'us-east-1',
    account: '111122223333',
    all: (type) => resources.filter((one) => one.type === type),
    arn: (id) => `arn:aws:cloudwatch:us-east-1:111122223333:alarm:${id}`,
    url: (id) => id,
    asset: (key) => key,
  }
}

let running: Alarms | undefined
afterEach(() => running?.stop())

function listening(alarm: Properties) {
  const clock = settableClock(begin)
  const figures = metrics(clock)
  const heard: Ring[] = []
  const bells = alarms({
    deployed: deployedWith(alarm),
    clock,
    metrics: figures,
    ask: async () => undefined,
    ring: (ring) => heard.push(ring),
  })
  running = bells
  let now = begin
  function goOn(minutes: number): void {
    now += minutes * minute
    clock.set(now)
  }
  return {
    ...{ figures, heard, bells },
    async after(minutes: number) {
      goOn(minutes)
      await bells.look()
      return heard.length
    },
    leap(minutes: number) {
      const before = now
      goOn(minutes)
      bells.leapt(before, now)
    },
  }
}

test('an error rings once, at whoever subscribed, and the next one after a while rings again', async () => {
  const { figures, heard, after } = listening(errors)
  expect(await after(1)).toBe(0)
  figures.count(ofFunction('Errors', 'f'), 0)
  expect(await after(1)).toBe(0)
  figures.count(ofFunction('Errors', 'f'), 1)
  expect(await after(1)).toBe(1)
  expect(heard[0]).toMatchObject({ alarm: 'A', description: 'means', to: 'op@x.example' })
  figures.count(ofFunction('Errors', 'f'), 1)
  expect(await after(1)).toBe(1)
  expect(await after(10)).toBe(1)
  figures.count(ofFunction('Errors', 'f'), 1)
  expect(await after(1)).toBe(2)
})

test('what another function counts is not heard', async () => {
  const { figures, after } = listening(errors)
  figures.count(ofFunction('Errors', 'g'), 1)
  expect(await after(1)).toBe(0)
})

test('silence rings after as many whole periods as the template says, and not while runs come', async () => {
  const { figures, after } = listening(silence)
  for (let i = 0; i < 10; i++) {
    figures.count(ofFunction('Invocations', 'f'), 1)
    expect(await after(5)).toBe(0)
  }
  expect(await after(5)).toBe(0)
  expect(await after(5)).toBe(0)
  expect(await after(5)).toBe(1)
})

test('time that was leapt over is no silence', async () => {
  const { figures, after, leap } = listening(silence)
  figures.count(ofFunction('Invocations', 'f'), 1)
  leap(24 * 60)
  expect(await after(0)).toBe(0)
  expect(await after(5)).toBe(0)
  expect(await after(5)).toBe(0)
  expect(await after(10)).toBe(1)
})

test('what arrives among dead letters rings, what lies there does not, and what comes on top of it does', async () => {
  const { figures, after, leap } = listening(arrived)
  figures.count(lyingIn('q'), 0)
  expect(await after(1)).toBe(0)
  figures.count(lyingIn('q'), 2)
  expect(await after(1)).toBe(1)
  leap(24 * 60)
  figures.count(lyingIn('q'), 2)
  expect(await after(1)).toBe(1)
  await after(10)
  figures.count(lyingIn('q'), 3)
  expect(await after(1)).toBe(2)
})

test.each<[string, Properties[]]>([
  ['with no statement', []],
  ['to another service', [{ ...statement, Principal: { Service: 'ses.amazonaws.com' } }]],
  ['for alarms of another account', [{ ...statement, Condition: { StringEquals: { 'aws:SourceAccount': '9' } } }]],
  [
    'for other alarms',
    [{ ...statement, Condition: { ArnLike: { 'aws:SourceArn': 'arn:aws:cloudwatch:us-east-1:1:alarm:*' } } }],
  ],
])('a topic open %s stops the start: nobody would hear', (_, statements) => {
  const clock = settableClock(begin)
  const start = () =>
    alarms({
      deployed: deployedWith(errors, statements),
      clock,
      metrics: metrics(clock),
      ask: async () => undefined,
      ring: () => undefined,
    })
  expect(start).toThrow('does not let')
})

test('what nothing here counts is left to the template tests; a sum that is not known stops the start', () => {
  const clock = settableClock(begin)
  const parts = { clock, metrics: metrics(clock), ask: async () => undefined, ring: () => undefined }
  running = alarms({ ...parts, deployed: deployedWith({ ...errors, Namespace: 'AWS/SES' }) })
  expect(running.states()).toEqual({})
  const unknown = { ...arrived, Metrics: [{ Id: 'e', Expression: 'RATE(lying)' }, arrived.Metrics[1]] }
  expect(() => alarms({ ...parts, deployed: deployedWith(unknown) })).toThrow('cannot work out RATE(lying)')
})
