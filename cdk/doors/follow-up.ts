import { Duration } from 'aws-cdk-lib'
import type { Queue } from 'aws-cdk-lib/aws-sqs'
import { Construct } from 'constructs'
import { alarmWords } from '../../functions/store/table-shape.ts'
import { alarm, any, everyFiveMinutes, timesSaid } from '../constructs/alarm.ts'
import { deadLetterQueue, fromQueue, queueGrants, workQueue } from '../constructs/queue.ts'
import { scheduledFunction } from '../constructs/schedule.ts'
import type { Shared } from '../shared.ts'
import { readsIndexes, readsTable } from '../table.ts'

/** Tells the next person up of what nobody confirmed as read, and of what was not delivered, which its queue brings. */
export function followUpDoor(parent: Construct, shared: Shared): Queue {
  const scope = new Construct(parent, 'FollowUp')
  const { table, operators } = shared
  const timeout = Duration.minutes(1)
  // A queue brings it at once: nobody waits five minutes to hear that a foreman does not know.
  const undelivered = workQueue(scope, 'Undelivered', {
    operators,
    readerMayRun: timeout,
    deadLetters: deadLetterQueue(scope, 'Untold', {
      operators,
      means: {
        meansForPeople:
          'that notices were not delivered could not be told; somebody may not know that a stick is unsafe.',
        firstThingToDo: 'look in the notice log under “not delivered”; the run every five minutes tries them again.',
      },
    }),
    oldAfter: Duration.minutes(15),
    ageMeans: {
      meansForPeople: 'that notices were not delivered waits to be told; somebody may not know that a stick is unsafe.',
      firstThingToDo: 'read the log of follow-up, and whether it is throttled or switched off.',
    },
  })
  const { run, live } = scheduledFunction(scope, {
    ...shared,
    name: 'follow-up',
    description: 'Passes on what nobody confirmed as read and what was not delivered',
    timeout,
    memoryMegabytes: 512,
    reserved: shared.settings.reservedConcurrency?.followUp,
    environment: { TABLE_NAME: table.tableName },
    grants: {
      ...readsTable(table),
      ...readsIndexes(table, 'notices-by-queue', 'notices-by-stick'),
      WriteNotices: [['dynamodb:PutItem', 'dynamodb:UpdateItem'], [table.tableArn]],
      ...queueGrants(undelivered),
    },
    runs: {
      description: 'Looks for notices that were not confirmed in time or not delivered',
      expression: 'rate(5 minutes)',
      every: everyFiveMinutes,
      payload: { kind: 'silent' },
      worthStartingFor: Duration.minutes(30),
    },
    errorsMean: {
      meansForPeople: 'nobody may have read that a stick must not be used, and the next person up is not told of it.',
      firstThingToDo: 'read the log of follow-up, and call the crews of the sticks named in it.',
    },
    silence: {
      words: `"${alarmWords.followedUp}"`,
      rings: Duration.minutes(30),
      means: {
        meansForPeople: 'where nobody confirms that a stick must not be used, the next person up is not told.',
        firstThingToDo: 'see whether the schedule of follow-up is switched on, and call the crews of sticks on hold.',
      },
    },
  })
  const nobodyLeft = timesSaid(run.logGroup, { name: 'NobodyLeft', words: `"${alarmWords.nobodyLeft}"` })
  alarm(scope, 'NobodyLeft', {
    operators,
    bell: any(nobodyLeft),
    means: {
      meansForPeople:
        'maybe nobody knows that a stick must not be used: no mail reaches anybody, or nobody stands above who is ' +
        'silent.',
      firstThingToDo: 'find the stick in the log of follow-up, call its crew, and see to the addresses marked.',
    },
  })
  fromQueue(scope, 'NotDelivered', { queue: undelivered, target: live })
  return undelivered
}
