import { Duration } from 'aws-cdk-lib'
import type { HttpApi } from 'aws-cdk-lib/aws-apigatewayv2'
import { FilterRule, type Function as LambdaFunction } from 'aws-cdk-lib/aws-lambda'
import type { Queue } from 'aws-cdk-lib/aws-sqs'
import { Construct } from 'constructs'
import { alarmWords } from '../../functions/store/table-shape.ts'
import { accept } from '../constructs/accept.ts'
import { ringFor } from '../constructs/alarm.ts'
import { houseFunction } from '../constructs/function.ts'
import { deadLetterQueue } from '../constructs/queue.ts'
import { keepFailedRuns, schedule } from '../constructs/schedule.ts'
import { fromStream, streamGrants } from '../constructs/stream.ts'
import type { Mail } from '../mail.ts'
import type { Shared } from '../shared.ts'
import { indexArn } from '../table.ts'

/** Sends each notice once it is in the table, and every few minutes what the stream missed. */
export function deliverNotices(parent: Construct, shared: Shared, api: HttpApi, mail: Mail, missedRuns: Queue): void {
  const scope = new Construct(parent, 'DeliverNotices')
  const undelivered = deadLetterQueue(scope, 'Undelivered', shared.operators, {
    meansForPeople: 'notices handed over by the table could not be sent; somebody may not know that a stick is unsafe.',
    firstThingToDo: 'look in the notice log for notices not sent; the run every five minutes tries them again.',
  })
  const run = mailer(scope, shared, api, mail, [undelivered, missedRuns])
  fromStream(scope, 'NewNotices', {
    table: shared.table,
    target: run,
    failures: undelivered,
    filter: {
      eventName: FilterRule.isEqual('INSERT'),
      dynamodb: { NewImage: { entity: { S: FilterRule.isEqual('notice') } } },
    },
  })
  keepFailedRuns(scope, run, missedRuns, Duration.minutes(30))
  schedule(scope, 'EveryFiveMinutes', {
    description: 'Takes up notices that the stream missed',
    expression: 'rate(5 minutes)',
    run,
    payload: { kind: 'unsent' },
    deadLetters: missedRuns,
    worthStartingFor: Duration.minutes(30),
  })
}

function mailer(
  scope: Construct,
  shared: Shared,
  api: HttpApi,
  mail: Mail,
  failures: readonly Queue[],
): LambdaFunction {
  const { table } = shared
  const made = houseFunction(scope, 'Door', {
    ...shared,
    name: 'deliver-notices',
    description: 'Claims, sends and marks notices',
    timeout: Duration.minutes(1),
    memoryMegabytes: 512,
    environment: {
      TABLE_NAME: table.tableName,
      PAGES_URL: shared.pagesUrl,
      ANSWERS_URL: api.apiEndpoint,
      MAIL_FROM: mail.from,
      MAIL_CONFIGURATION_SET: mail.configurationSet,
    },
    grants: {
      ReadUnsent: [['dynamodb:Query'], [indexArn(table, 'notices-by-queue')]],
      // what a stick is by now, by the rules in force, and which addresses are marked
      ReadTable: [['dynamodb:GetItem', 'dynamodb:BatchGetItem', 'dynamodb:Query'], [table.tableArn]],
      MarkNotices: [['dynamodb:UpdateItem'], [table.tableArn]],
      SendMail: [['ses:SendRawEmail'], mail.arns],
      ReadRate: [['ses:GetSendQuota'], ['*']],
      ...streamGrants(table),
      KeepFailures: [['sqs:SendMessage'], failures.map((queue) => queue.queueArn)],
    },
    errorsMean: {
      meansForPeople: 'mails about holds, removals and recalls may be late.',
      firstThingToDo: 'read the log of deliver-notices, and whether the mail service has stopped our sending.',
    },
  })
  ringFor(scope, 'NoticesSetAside', shared.operators, made.logGroup, `"${alarmWords.setAside}"`, {
    meansForPeople: 'somebody was not mailed and will not be; if it was a hold or a removal, the next person is told.',
    firstThingToDo: 'find it in the notice log under “not delivered”, and tell that person by other means.',
  })
  ringFor(scope, 'MailsRefused', shared.operators, made.logGroup, `"${alarmWords.refused}"`, {
    meansForPeople: 'mails wait, perhaps all of them: people may not hear that a stick is unsafe.',
    firstThingToDo: 'see in that log why, and whether the account may send; call the crews of the sticks held since.',
  })
  accept(
    scope,
    'AwsSolutions-IAM5[Resource::*]',
    'streams can only be listed for all tables at once, and the rate of sending is the account’s',
  )
  return made
}
