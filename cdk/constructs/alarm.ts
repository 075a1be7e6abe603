import { ArnFormat, CfnCondition, type CfnParameter, Duration, Fn, Stack } from 'aws-cdk-lib'
import { Alarm, ComparisonOperator, type IMetric, TreatMissingData } from 'aws-cdk-lib/aws-cloudwatch'
import { SnsAction } from 'aws-cdk-lib/aws-cloudwatch-actions'
import { PolicyStatement, ServicePrincipal } from 'aws-cdk-lib/aws-iam'
import { FilterPattern, type ILogGroup } from 'aws-cdk-lib/aws-logs'
import { CfnSubscription, type ITopic, Topic } from 'aws-cdk-lib/aws-sns'
import type { Construct } from 'constructs'

/**
 * Where alarms ring: at one mail address from the deployment on, where one is given, and wherever people subscribe. A topic with
 * a policy of its own, such as that of TLS, lets nobody publish whom it does not name: alarms of this account have to be named.
 */
export function operatorsTopic(scope: Construct, email: CfnParameter): ITopic {
  const topic = new Topic(scope, 'Operators', { enforceSSL: true, displayName: 'Quarterturn operators' })
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
  const given = new CfnCondition(scope, 'AlarmEmailGiven', {
    expression: Fn.conditionNot(Fn.conditionEquals(email.valueAsString, '')),
  })
  const subscription = new CfnSubscription(scope, 'AlarmEmailSubscription', {
    topicArn: topic.topicArn,
    protocol: 'email',
    endpoint: email.valueAsString,
  })
  subscription.cfnOptions.condition = given
  return topic
}

export interface AlarmText {
  /** what people who carry or test sticks do without while this rings */
  readonly meansForPeople: string
  readonly firstThingToDo: string
}

/** No alarm without saying what it means for people: whoever is woken by it has read none of this code. */
export function alarm(scope: Construct, id: string, operators: ITopic, metric: IMetric, text: AlarmText): void {
  const made = new Alarm(scope, id, {
    metric,
    threshold: 1,
    evaluationPeriods: 1,
    comparisonOperator: ComparisonOperator.GREATER_THAN_OR_EQUAL_TO_THRESHOLD,
    treatMissingData: TreatMissingData.NOT_BREACHING,
    alarmDescription: `What it means for people: ${text.meansForPeople} First thing to do: ${text.firstThingToDo}`,
  })
  made.addAlarmAction(new SnsAction(operators))
}

/** On words that a function writes to its log, in quotation marks as it writes them, where nothing else tells of it. */
export function ringFor(
  scope: Construct,
  id: string,
  operators: ITopic,
  logGroup: ILogGroup,
  words: `"${string}"`,
  text: AlarmText,
): void {
  const filter = logGroup.addMetricFilter(id, {
    filterPattern: FilterPattern.literal(words),
    metricNamespace: 'Quarterturn',
    metricName: id,
  })
  alarm(scope, id, operators, filter.metric({ period: everyFiveMinutes, statistic: 'Sum' }), text)
}

export const everyFiveMinutes = Duration.minutes(5)
