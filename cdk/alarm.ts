import { Duration } from 'aws-cdk-lib'
import { Alarm, ComparisonOperator, type IMetric, TreatMissingData } from 'aws-cdk-lib/aws-cloudwatch'
import { SnsAction } from 'aws-cdk-lib/aws-cloudwatch-actions'
import { FilterPattern, type ILogGroup } from 'aws-cdk-lib/aws-logs'
import { type ITopic, Topic } from 'aws-cdk-lib/aws-sns'
import type { Construct } from 'constructs'

/** Where alarms ring; people subscribe after the deployment. */
export function operatorsTopic(scope: Construct): ITopic {
  return new Topic(scope, 'Operators', { enforceSSL: true, displayName: 'Quarterturn operators' })
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
