import { Duration } from 'aws-cdk-lib'
import { LambdaSubscription } from 'aws-cdk-lib/aws-sns-subscriptions'
import { Construct } from 'constructs'
import { acknowledge } from '../constructs/accept.ts'
import { houseFunction } from '../constructs/function.ts'
import { deadLetterQueue } from '../constructs/queue.ts'
import { keepFailedRuns } from '../constructs/schedule.ts'
import type { Mail } from '../mail.ts'
import type { Shared } from '../shared.ts'

/** Keeps what the mail service says became of each mail. */
export function feedbackDoor(parent: Construct, shared: Shared, mail: Mail): void {
  const scope = new Construct(parent, 'Feedback')
  // no later run takes these up
  const unheard = deadLetterQueue(scope, 'Unheard', {
    operators: shared.operators,
    means: {
      meansForPeople:
        'that mail came back was not noticed; somebody may not know that a stick is unsafe, and nobody is told.',
      firstThingToDo: 'read the log of feedback, then hand each message of this queue to that function once more.',
    },
  })
  const { table } = shared
  const made = houseFunction(scope, 'Door', {
    ...shared,
    name: 'feedback',
    description: 'Keeps what became of each mail, and marks addresses that mail comes back from',
    timeout: Duration.seconds(30),
    memoryMegabytes: 512,
    environment: { TABLE_NAME: table.tableName },
    grants: {
      ReadNotices: [['dynamodb:GetItem'], [table.tableArn]],
      KeepFeedback: [['dynamodb:PutItem', 'dynamodb:UpdateItem'], [table.tableArn]],
      KeepFailedRuns: [['sqs:SendMessage'], [unheard.queueArn]],
    },
    errorsMean: {
      meansForPeople: 'mail that came back is not noticed; somebody may not know that a stick is unsafe.',
      firstThingToDo: 'read the log of feedback, and the bounces on the account dashboard of the mail service.',
    },
  })
  keepFailedRuns(scope, made, { deadLetters: unheard, worthStartingFor: Duration.hours(6) })
  mail.feedback.addSubscription(new LambdaSubscription(made.live))
  acknowledge(scope, 'CloudFormation-Validate::W3694', 'an alias is referred to by the ARN of its function')
}
