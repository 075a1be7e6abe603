import { Duration } from 'aws-cdk-lib'
import { FilterRule } from 'aws-cdk-lib/aws-lambda'
import type { Queue } from 'aws-cdk-lib/aws-sqs'
import { Construct } from 'constructs'
import { alarmWords, queuePrefix } from '../../functions/store/table-shape.ts'
import { accept } from '../constructs/accept.ts'
import { ringFor } from '../constructs/alarm.ts'
import { houseFunction } from '../constructs/function.ts'
import { keepFailedRuns, schedule } from '../constructs/schedule.ts'
import { fromStream, streamGrants } from '../constructs/stream.ts'
import type { Shared } from '../shared.ts'
import { indexArn } from '../table.ts'

/** Tells the next person up of what nobody confirmed as read, and of what was not delivered. */
export function followUp(parent: Construct, shared: Shared, missedRuns: Queue): void {
  const scope = new Construct(parent, 'FollowUp')
  const { table } = shared
  const run = houseFunction(scope, 'Door', {
    ...shared,
    name: 'follow-up',
    description: 'Passes on what nobody confirmed as read and what was not delivered',
    timeout: Duration.minutes(1),
    memoryMegabytes: 512,
    environment: { TABLE_NAME: table.tableName },
    grants: {
      ReadTable: [['dynamodb:GetItem', 'dynamodb:BatchGetItem', 'dynamodb:Query'], [table.tableArn]],
      ReadNotices: [['dynamodb:Query'], [indexArn(table, 'notices-by-queue'), indexArn(table, 'notices-by-stick')]],
      WriteNotices: [['dynamodb:PutItem', 'dynamodb:UpdateItem'], [table.tableArn]],
      ...streamGrants(table),
      KeepFailedRuns: [['sqs:SendMessage'], [missedRuns.queueArn]],
    },
    errorsMean: {
      meansForPeople: 'nobody may have read that a stick must not be used, and the next person up is not told of it.',
      firstThingToDo: 'read the log of follow-up, and call the crews of the sticks named in it.',
    },
  })
  ringFor(scope, 'NobodyLeft', shared.operators, run.logGroup, `"${alarmWords.nobodyLeft}"`, {
    meansForPeople:
      'maybe nobody knows that a stick must not be used: no mail reaches anybody, or nobody stands above who is silent.',
    firstThingToDo: 'find the stick in the log of follow-up, call its crew, and see to the addresses marked.',
  })
  accept(scope, 'AwsSolutions-IAM5[Resource::*]', 'streams can only be listed for all tables at once')
  // at once: nobody waits five minutes to hear that a foreman does not know
  fromStream(scope, 'NotDelivered', {
    table,
    target: run,
    failures: missedRuns,
    filter: {
      eventName: FilterRule.isEqual('MODIFY'),
      dynamodb: { NewImage: { queue: { S: FilterRule.beginsWith(queuePrefix.undelivered) } } },
    },
  })
  keepFailedRuns(scope, run, missedRuns, Duration.minutes(30))
  schedule(scope, 'EveryFiveMinutes', {
    description: 'Looks for notices that were not confirmed in time or not delivered',
    expression: 'rate(5 minutes)',
    run,
    payload: { kind: 'silent' },
    deadLetters: missedRuns,
    worthStartingFor: Duration.minutes(30),
  })
}
