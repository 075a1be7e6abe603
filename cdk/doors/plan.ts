import { Duration } from 'aws-cdk-lib'
import type { Queue } from 'aws-cdk-lib/aws-sqs'
import { Construct } from 'constructs'
import { alarmWords } from '../../functions/store/table-shape.ts'
import { deadLetterQueue, fromQueue, queueGrants, workQueue } from '../constructs/queue.ts'
import { scheduledFunction } from '../constructs/schedule.ts'
import type { Shared } from '../shared.ts'
import { readsIndexes, readsTable } from '../table.ts'

const mayRun = Duration.minutes(3)

const stale = 'the plan of a bench stays as it was: who comes in when goes by what was known before.'

/** Plans benches: which stick comes in when. Due dates and mails do not hang on it. */
export function planDoor(parent: Construct, shared: Shared): Queue {
  const scope = new Construct(parent, 'Plan')
  const { table } = shared
  const queue = queueOfPlans(scope, shared)
  const { live } = scheduledFunction(scope, {
    ...shared,
    name: 'plan',
    description: 'Plans which stick comes to its bench in which week',
    timeout: mayRun,
    memoryMegabytes: 1769,
    environment: { TABLE_NAME: table.tableName },
    grants: {
      ...readsTable(table),
      ...readsIndexes(table, 'by-depot-standing', 'by-depot-next-tell'),
      WriteTable: [['dynamodb:PutItem'], [table.tableArn]],
      ...queueGrants(queue),
    },
    runs: {
      description: 'Looks every hour for benches that have no plan of today',
      expression: 'rate(1 hour)',
      every: Duration.hours(1),
      payload: { kind: 'night' },
      worthStartingFor: Duration.hours(1),
    },
    errorsMean: {
      meansForPeople: stale,
      firstThingToDo: 'read the log of plan; its next run asks again.',
    },
    silence: {
      words: `"${alarmWords.plansSeenTo}"`,
      rings: Duration.hours(6),
      means: {
        meansForPeople: stale,
        firstThingToDo: 'see whether the schedule of plan is switched on; its next run makes up for what was missed.',
      },
    },
  })
  fromQueue(scope, 'Asked', { queue, target: live })
  return queue
}

function queueOfPlans(scope: Construct, { operators }: Shared): Queue {
  return workQueue(scope, 'ToPlan', {
    operators,
    readerMayRun: mayRun,
    deadLetters: deadLetterQueue(scope, 'NotPlanned', {
      operators,
      means: {
        meansForPeople:
          'a plan that somebody asked for stands still: its page says that it is being made, and it is not.',
        firstThingToDo: 'read in the log of plan why, then send the message back to its queue.',
      },
    }),
    // a plan of many depots takes several runs, and each leaves a message for the next
    oldAfter: Duration.minutes(30),
    ageMeans: {
      meansForPeople: 'plans that people asked for wait to be made.',
      firstThingToDo: 'read the log of plan, and whether it is throttled.',
    },
  })
}
