import { Duration } from 'aws-cdk-lib'
import type { Queue } from 'aws-cdk-lib/aws-sqs'
import { Construct } from 'constructs'
import { houseFunction } from '../constructs/function.ts'
import { keepFailedRuns, schedule } from '../constructs/schedule.ts'
import type { Shared } from '../shared.ts'
import { everyIndexArn } from '../table.ts'

/** The hourly look at who must be told what. */
export function sweep(parent: Construct, shared: Shared, missedRuns: Queue): void {
  const scope = new Construct(parent, 'Sweep')
  const { table } = shared
  const run = houseFunction(scope, 'Door', {
    ...shared,
    name: 'sweep',
    description: 'Writes the notices that have come due: digests, reminders',
    timeout: Duration.minutes(5),
    memoryMegabytes: 1024,
    environment: { TABLE_NAME: table.tableName, PAGES_URL: shared.pagesUrl },
    grants: {
      ReadTable: [['dynamodb:GetItem', 'dynamodb:BatchGetItem', 'dynamodb:Query'], [table.tableArn]],
      ReadIndexes: [['dynamodb:Query'], everyIndexArn(table)],
      WriteTable: [['dynamodb:PutItem'], [table.tableArn]],
      KeepFailedRuns: [['sqs:SendMessage'], [missedRuns.queueArn]],
    },
    errorsMean: {
      meansForPeople: 'crews may not hear in time that a stick comes due or is overdue.',
      firstThingToDo: 'read the log of the sweep; a later run catches up all by itself once it works again.',
    },
  })
  keepFailedRuns(scope, run, missedRuns, Duration.hours(1))
  schedule(scope, 'Hourly', {
    description: 'Looks every hour for depots whose morning has come',
    expression: 'cron(0 * * * ? *)',
    run,
    payload: { kind: 'sweep' },
    deadLetters: missedRuns,
    worthStartingFor: Duration.hours(1),
  })
}
