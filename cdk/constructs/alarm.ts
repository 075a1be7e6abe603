import { ArnFormat, Duration, RemovalPolicy, Stack } from 'aws-cdk-lib'
import {
  Alarm,
  type AlarmProps as AwsAlarmProps,
  ComparisonOperator,
  type IMetric,
  MathExpression,
  Metric,
  TreatMissingData,
} from 'aws-cdk-lib/aws-cloudwatch'
import { SnsAction } from 'aws-cdk-lib/aws-cloudwatch-actions'
import { PolicyStatement, ServicePrincipal } from 'aws-cdk-lib/aws-iam'
import { FilterPattern, type ILogGroup } from 'aws-cdk-lib/aws-logs'
import { CfnSubscription, type ITopic, Topic } from 'aws-cdk-lib/aws-sns'
import type { Construct } from 'constructs'
import type { Settings } from '../settings.ts'

/**
 * The topic where alarms ring: at the mail address given at the deployment, if any, and wherever people subscribe.
 *
 * A topic with a policy of its own, such as that of TLS, lets only those publish whom it names. The alarms of this
 * account therefore have to be named.
 */
export function operatorsTopic(scope: Construct, { address, isGiven }: Settings['alarmEmail']): ITopic {
  const topic = new Topic(scope, 'Operators', { enforceSSL: true, displayName: 'Quarterturn operators' })
  // subscriptions that somebody made by hand stay
  topic.applyRemovalPolicy(RemovalPolicy.RETAIN)
  const { account } = Stack.of(scope)
  const anyAlarm = Stack.of(scope).formatArn({
    service: 'cloudwatch',
    resource: 'alarm',
    resourceName: '*',
    arnFormat: ArnFormat.COLON_RESOURCE_NAME,
  })
  topic.addToResourcePolicy(
    new PolicyStatement({
      sid: 'AlarmsOfThisAccount',
      principals: [new ServicePrincipal('cloudwatch.amazonaws.com')],
      actions: ['sns:Publish'],
      resources: [topic.topicArn],
      conditions: {
        StringEquals: { 'aws:SourceAccount': account },
        ArnLike: { 'aws:SourceArn': anyAlarm },
      },
    }),
  )
  const subscription = new CfnSubscription(scope, 'AlarmEmailSubscription', {
    topicArn: topic.topicArn,
    protocol: 'email',
    endpoint: address,
  })
  if (isGiven !== true) subscription.cfnOptions.condition = isGiven
  return topic
}

export interface AlarmText {
  /** people who carry or test sticks do without this while the alarm rings */
  readonly meansForPeople: string
  readonly firstThingToDo: string
}

/** The metric that an alarm hears, and when it rings. */
export type Bell = Pick<
  AwsAlarmProps,
  'metric' | 'threshold' | 'evaluationPeriods' | 'comparisonOperator' | 'treatMissingData'
>

/** Once is too often. */
export const any = (metric: IMetric): Bell => ({
  metric,
  threshold: 1,
  evaluationPeriods: 1,
  comparisonOperator: ComparisonOperator.GREATER_THAN_OR_EQUAL_TO_THRESHOLD,
  treatMissingData: TreatMissingData.NOT_BREACHING,
})

/**
 * More lie there than before, each time anew: what nobody takes away rings once, and what comes on top of it rings too.
 * What the service moves there by itself it counts as sent by nobody, so the rise tells of it; of a queue that was long
 * untouched nothing is known, which is none.
 */
export const arrivals = (lying: IMetric, period: Duration): Bell => ({
  metric: new MathExpression({
    expression: 'DIFF(FILL(lying, 0))',
    usingMetrics: { lying },
    label: 'arrived',
    period,
  }),
  threshold: 1,
  evaluationPeriods: 1,
  comparisonOperator: ComparisonOperator.GREATER_THAN_OR_EQUAL_TO_THRESHOLD,
  treatMissingData: TreatMissingData.NOT_BREACHING,
})

/**
 * Something expected in each period of the metric did not come so many times in a row. Nothing counted is nothing come.
 */
export const absence = (metric: IMetric, periods: number): Bell => ({
  metric,
  threshold: 1,
  evaluationPeriods: periods,
  comparisonOperator: ComparisonOperator.LESS_THAN_THRESHOLD,
  treatMissingData: TreatMissingData.BREACHING,
})

/** Work to be taken up at once lies for longer than the limit. An empty queue is never old. */
export const age = (metric: IMetric, limit: Duration, unit: 'seconds' | 'milliseconds'): Bell => ({
  metric,
  threshold: unit === 'seconds' ? limit.toSeconds() : limit.toMilliseconds(),
  evaluationPeriods: 1,
  comparisonOperator: ComparisonOperator.GREATER_THAN_THRESHOLD,
  treatMissingData: TreatMissingData.NOT_BREACHING,
})

/** More than so many of a hundred, twice in a row. Where there is nothing, there is no part of it. */
export const share = (usingMetrics: Record<'part' | 'whole', IMetric>, percent: number, period: Duration): Bell => ({
  metric: new MathExpression({
    expression: '100 * part / whole',
    usingMetrics,
    label: 'percent',
    period,
  }),
  threshold: percent,
  evaluationPeriods: 2,
  comparisonOperator: ComparisonOperator.GREATER_THAN_THRESHOLD,
  treatMissingData: TreatMissingData.NOT_BREACHING,
})

/** A share that the metric tells by itself, as a part of one. */
export const over = (metric: IMetric, part: number): Bell => ({
  metric,
  threshold: part,
  evaluationPeriods: 1,
  comparisonOperator: ComparisonOperator.GREATER_THAN_OR_EQUAL_TO_THRESHOLD,
  treatMissingData: TreatMissingData.NOT_BREACHING,
})

export interface AlarmProps {
  readonly operators: ITopic
  readonly bell: Bell
  readonly means: AlarmText
}

/** No alarm without saying what it means for people: whoever is woken by it has read none of this code. */
export function alarm(scope: Construct, id: string, { operators, bell, means }: AlarmProps): Alarm {
  const made = new Alarm(scope, id, {
    ...bell,
    alarmDescription: `What it means for people: ${means.meansForPeople} First thing to do: ${means.firstThingToDo}`,
  })
  made.addAlarmAction(new SnsAction(operators))
  return made
}

/** Counted over all functions, since any may come upon it. */
export const doesNotRead = 'DoesNotRead'

/** A list of the table is shown without the items that do not read. */
export function ringForUnread(scope: Construct, operators: ITopic): void {
  const metricName = doesNotRead
  const said = new Metric({ namespace, metricName, period: everyFiveMinutes, statistic: 'Sum' })
  const means = {
    meansForPeople: 'a list is shown without something that lies in the table, perhaps a stick that must not be used.',
    firstThingToDo: 'find the item that the log names, and say by telephone what is missing from the roster.',
  }
  alarm(scope, doesNotRead, { operators, bell: any(said), means })
}

const namespace = 'Quarterturn'

/**
 * The count of these words in a function's log, in quotation marks as it writes them. Nothing else tells of the event.
 */
export function timesSaid(
  logGroup: ILogGroup,
  { name, words }: { readonly name: string; readonly words: `"${string}"` },
  period: Duration = everyFiveMinutes,
): IMetric {
  const filter = logGroup.addMetricFilter(name, {
    filterPattern: FilterPattern.literal(words),
    metricNamespace: namespace,
    metricName: name,
  })
  return filter.metric({ period, statistic: 'Sum' })
}

export const everyFiveMinutes = Duration.minutes(5)
