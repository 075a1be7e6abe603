import { Duration, type Stack } from 'aws-cdk-lib'
import type { HttpApi } from 'aws-cdk-lib/aws-apigatewayv2'
import {
  Alarm,
  AlarmStatusWidget,
  Dashboard,
  GraphWidget,
  type IMetric,
  PeriodOverride,
} from 'aws-cdk-lib/aws-cloudwatch'
import { Function as LambdaFunction } from 'aws-cdk-lib/aws-lambda'
import { Queue } from 'aws-cdk-lib/aws-sqs'

const wide = 24
const half = wide / 2
const period = Duration.minutes(5)

/** The first look of whoever was woken: ringing alarms, then the age of what waits, failures, and calls. */
export function dashboard(stack: Stack, api: HttpApi): void {
  const all = stack.node.findAll()
  const alarms = all.filter((one) => one instanceof Alarm)
  const queues = all.filter((one) => one instanceof Queue)
  const functions = all.filter((one) => one instanceof LambdaFunction)
  const graph = (title: string, left: IMetric[]) => new GraphWidget({ title, left, width: half, height: 6 })
  const named = <T extends { readonly node: { readonly path: string } }>(
    some: readonly T[],
    of: (one: T, label: string) => IMetric,
  ) => some.map((one) => of(one, one.node.path.split('/').slice(1, 3).join(' ')))
  new Dashboard(stack, 'Dashboard', {
    dashboardName: 'Quarterturn',
    periodOverride: PeriodOverride.AUTO,
    widgets: [
      [
        new AlarmStatusWidget({
          title: 'Alarms: what each means stands in cdk/RUNBOOK.md',
          alarms,
          width: wide,
          height: 8,
        }),
      ],
      [
        graph(
          'How long the oldest message lies (seconds)',
          named(queues, (one, label) => one.metricApproximateAgeOfOldestMessage({ period, label })),
        ),
        graph(
          'Runs that failed',
          named(functions, (one, label) => one.metricErrors({ period, label })),
        ),
      ],
      [
        graph('Calls to the API, and those that it failed', [
          api.metricCount({ period, label: 'calls' }),
          api.metricServerError({ period, label: 'failed' }),
        ]),
        graph(
          'How long runs take (milliseconds, of a hundred 99 no longer)',
          named(functions, (one, label) => one.metricDuration({ period, label, statistic: 'p99' })),
        ),
      ],
    ],
  })
}
