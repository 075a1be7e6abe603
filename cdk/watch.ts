import { Duration } from 'aws-cdk-lib'
import { MathExpression, Metric } from 'aws-cdk-lib/aws-cloudwatch'
import type { ITopic } from 'aws-cdk-lib/aws-sns'
import type { Construct } from 'constructs'
import { alarm, any, everyFiveMinutes, over } from './constructs/alarm.ts'
import type { AnyTable } from './constructs/stream.ts'

/** Alarms of no one function: the table refuses for its load, or the mail service comes to distrust the account. */
export function watchTheRest(scope: Construct, table: AnyTable, operators: ITopic): void {
  const refused = (metricName: string) => table.metric(metricName, { period: everyFiveMinutes, statistic: 'Sum' })
  alarm(scope, 'TableThrottles', {
    operators,
    bell: any(
      new MathExpression({
        expression: 'reads + writes',
        usingMetrics: { reads: refused('ReadThrottleEvents'), writes: refused('WriteThrottleEvents') },
        label: 'refused for load',
        period: everyFiveMinutes,
      }),
    ),
    means: {
      meansForPeople:
        'facts are recorded late or not at all, and mails are late: the table takes no more at this rate.',
      firstThingToDo: 'see which function calls it most, and whether somebody records a great many facts at once.',
    },
  })
  // Functions of one account share what it may run at once, so this counts all of them.
  const throttled = new Metric({
    namespace: 'AWS/Lambda',
    metricName: 'Throttles',
    period: everyFiveMinutes,
    statistic: 'Sum',
  })
  alarm(scope, 'FunctionsThrottled', {
    operators,
    bell: any(throttled),
    means: {
      meansForPeople: 'something was not run when it came: facts may not be recorded, and mails leave late.',
      firstThingToDo: 'see which function runs how often at once, and ask for more than the account may run now.',
    },
  })
  const reputation = (metricName: string) =>
    new Metric({ namespace: 'AWS/SES', metricName, period: Duration.hours(1), statistic: 'Maximum' })
  // Amazon SES Developer Guide, "Sending review process FAQs": 5 % of bounces and 0.1 % of complaints put an account
  // under review
  alarm(scope, 'MailsComeBack', {
    operators,
    bell: over(reputation('Reputation.BounceRate'), 0.05),
    means: {
      meansForPeople:
        'so many mails come back that the mail service may stop all: nobody would hear of an unsafe stick.',
      firstThingToDo: 'see in the notice log which addresses do not take mail, and have them put right.',
    },
  })
  alarm(scope, 'MailsComplainedOf', {
    operators,
    bell: over(reputation('Reputation.ComplaintRate'), 0.001),
    means: {
      meansForPeople:
        'readers mark our mails as unwanted; the mail service may stop all, and nobody would hear of a hold.',
      firstThingToDo: 'see in the notice log who complained, and talk with them before you clear their mark.',
    },
  })
}
