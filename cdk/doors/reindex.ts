import { Duration } from 'aws-cdk-lib'
import type { Queue } from 'aws-cdk-lib/aws-sqs'
import { Construct } from 'constructs'
import { houseFunction } from '../constructs/function.ts'
import { keepFailedRuns, schedule } from '../constructs/schedule.ts'
import type { Shared } from '../shared.ts'
import { everyIndexArn } from '../table.ts'

/** Rewrites the lists by due date once the rules, or the depot of a crew, have changed. */
export function reindex(parent: Construct, shared: Shared, missedRuns: Queue): void {
  const scope = new Construct(parent, 'Reindex')
  const { table } = shared
  const run = houseFunction(scope, 'Door', {
    ...shared,
    name: 'reindex',
    description: 'Rewrites the lists by due date after a change of the rules or of the depot of a crew',
    timeout: Duration.minutes(5),
    memoryMegabytes: 1024,
    environment: { TABLE_NAME: table.tableName },
    grants: {
      ReadTable: [['dynamodb:GetItem', 'dynamodb:BatchGetItem', 'dynamodb:Query'], [table.tableArn]],
      ReadIndexes: [['dynamodb:Query'], everyIndexArn(table)],
      WriteTable: [['dynamodb:PutItem'], [table.tableArn]],
      KeepFailedRuns: [['sqs:SendMessage'], [missedRuns.queueArn]],
    },
    errorsMean: {
      meansForPeople:
        'the roster and the reminders may go by the old due dates, or the old depot of a crew, after a change of either.',
      firstThingToDo: 'read the log of reindex; a later run goes on where this one stopped.',
    },
  })
  keepFailedRuns(scope, run, missedRuns, Duration.minutes(30))
  schedule(scope, 'EveryFiveMinutes', {
    description: 'Looks whether the rules have changed for a depot, or a crew its depot',
    expression: 'rate(5 minutes)',
    run,
    payload: { kind: 'reindex' },
    deadLetters: missedRuns,
    worthStartingFor: Duration.minutes(30),
  })
}
