import { Duration } from 'aws-cdk-lib'
import type { Queue } from 'aws-cdk-lib/aws-sqs'
import { Construct } from 'constructs'
import { alarmWords } from '../../functions/store/table-shape.ts'
import { deadLetterQueue, fromQueue, queueGrants, workQueue } from '../constructs/queue.ts'
import { scheduledFunction } from '../constructs/schedule.ts'
import type { People } from '../people.ts'
import type { Shared } from '../shared.ts'
import { readsIndexes, readsTable } from '../table.ts'

/** Makes and ends people at our own pool, as the register of people has them. Nobody else may. */
export function accountsDoor(parent: Construct, shared: Shared, pool: NonNullable<People['pool']>): Queue {
  const scope = new Construct(parent, 'Accounts')
  const { table, operators } = shared
  const timeout = Duration.minutes(1)
  const entered = queueOfEntered(scope, operators, timeout)
  const { live } = scheduledFunction(scope, {
    ...shared,
    name: 'accounts',
    description: 'Makes and ends accounts at the user pool, as the register of people has them',
    timeout,
    memoryMegabytes: 512,
    environment: { TABLE_NAME: table.tableName, POOL_ID: pool.id },
    grants: {
      ...readsTable(table),
      ...readsIndexes(table, 'notices-by-queue'),
      NoteAccounts: [['dynamodb:PutItem', 'dynamodb:UpdateItem'], [table.tableArn]],
      MakeAndEnd: [
        [
          'cognito-idp:AdminCreateUser',
          // an address that is somebody else's by now gets an account of its own
          'cognito-idp:AdminDeleteUser',
          'cognito-idp:AdminEnableUser',
          'cognito-idp:AdminDisableUser',
          'cognito-idp:AdminUserGlobalSignOut',
        ],
        [pool.arn],
      ],
      ...queueGrants(entered),
    },
    runs: {
      description: 'Looks every hour for people whose last day is over, and for what failed',
      expression: 'cron(0 * * * ? *)',
      every: Duration.hours(1),
      payload: { kind: 'accounts' },
      worthStartingFor: Duration.hours(1),
    },
    errorsMean: {
      meansForPeople:
        'somebody who was entered has no account to sign in with, or somebody who left still has theirs, which ' +
        'opens nothing here.',
      firstThingToDo:
        'read in the log of accounts what the pool refuses, and put that person’s entry or the pool right.',
    },
    silence: {
      words: `"${alarmWords.accountsSeenTo}"`,
      rings: Duration.hours(3),
      means: {
        meansForPeople: 'accounts of people whose last day is over stay open at the pool; they open nothing here.',
        firstThingToDo: 'see whether the schedule of accounts is switched on; its next run catches up all by itself.',
      },
    },
  })
  fromQueue(scope, 'OfEditions', { queue: entered, target: live })
  return entered
}

function queueOfEntered(scope: Construct, operators: Shared['operators'], timeout: Duration): Queue {
  return workQueue(scope, 'Entered', {
    operators,
    readerMayRun: timeout,
    deadLetters: deadLetterQueue(scope, 'NotSeenTo', {
      operators,
      means: {
        meansForPeople:
          'somebody who was entered has no account to sign in with, or somebody who left still has theirs, which ' +
          'opens nothing here.',
        firstThingToDo: 'read in the log of accounts what the pool refuses; the run of each hour tries it again.',
      },
    }),
    // A message that failed once comes again after six minutes.
    oldAfter: Duration.minutes(15),
    ageMeans: {
      meansForPeople: 'people who were entered wait for their first password.',
      firstThingToDo: 'read the log of accounts, and whether the user pool answers.',
    },
  })
}
