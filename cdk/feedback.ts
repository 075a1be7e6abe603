import { Duration } from 'aws-cdk-lib'
import { LambdaSubscription } from 'aws-cdk-lib/aws-sns-subscriptions'
import type { Queue } from 'aws-cdk-lib/aws-sqs'
import { Construct } from 'constructs'
import { houseFunction } from './function.ts'
import type { Mail } from './mail.ts'
import { keepFailedRuns } from './schedule.ts'
import type { Shared } from './shared.ts'

/** Keeps what the mail service says became of each mail. */
export function feedback(parent: Construct, shared: Shared, mail: Mail, missedRuns: Queue): void {
  const scope = new Construct(parent, 'Feedback')
  const { table } = shared
  const run = houseFunction(scope, 'Door', {
    ...shared,
    name: 'feedback',
    description: 'Keeps what became of each mail, and marks addresses that mail comes back from',
    timeout: Duration.seconds(30),
    memoryMegabytes: 512,
    environment: { TABLE_NAME: table.tableName },
    grants: {
      ReadNotices: [['dynamodb:GetItem'], [table.tableArn]],
      KeepFeedback: [['dynamodb:PutItem', 'dynamodb:UpdateItem'], [table.tableArn]],
      KeepFailedRuns: [['sqs:SendMessage'], [missedRuns.queueArn]],
    },
    errorsMean: {
      meansForPeople: 'mail that came back is not noticed; somebody may not know that a stick is unsafe.',
      firstThingToDo: 'read the log of feedback, and the bounces on the account dashboard of the mail service.',
    },
  })
  keepFailedRuns(scope, run, missedRuns, Duration.hours(6))
  mail.feedback.addSubscription(new LambdaSubscription(run))
}
