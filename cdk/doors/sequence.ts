import { Duration } from 'aws-cdk-lib'
import type { Queue } from 'aws-cdk-lib/aws-sqs'
import { Construct } from 'constructs'
import { alarmWords } from '../../functions/store/table-shape.ts'
import { alarm, any, timesSaid } from '../constructs/alarm.ts'
import { deadLetterQueue, fromQueue, queueGrants, workQueue } from '../constructs/queue.ts'
import { scheduledFunction } from '../constructs/schedule.ts'
import type { Shared } from '../shared.ts'
import { readsIndexes, readsTable } from '../table.ts'

const unproved = 'facts are recorded and count, but cannot be proved yet: whoever altered one now would leave no trace.'

/** Gives each fact its place in the tree of its organisation. No other function writes there. */
export function sequenceDoor(parent: Construct, shared: Shared): Queue {
  const scope = new Construct(parent, 'Sequence')
  const { table, operators } = shared
  const timeout = Duration.minutes(1)
  const facts = queueOfFacts(scope, operators, timeout)
  const { run, live } = scheduledFunction(scope, {
    ...shared,
    name: 'sequence',
    description: 'Gives each fact its place in the tree by which it is proved',
    timeout,
    memoryMegabytes: 1024,
    environment: { TABLE_NAME: table.tableName },
    grants: {
      ...readsTable(table),
      // facts of builds that have no tree are looked for by stick
      ...readsIndexes(table, 'notices-by-queue', 'by-depot-standing'),
      WriteTree: [['dynamodb:PutItem', 'dynamodb:UpdateItem'], [table.tableArn]],
      ...queueGrants(facts),
    },
    runs: {
      description: 'Looks every quarter of an hour for facts that have no place in the tree yet',
      expression: 'rate(15 minutes)',
      every: Duration.minutes(15),
      payload: { kind: 'trees' },
      worthStartingFor: Duration.minutes(30),
    },
    errorsMean: {
      meansForPeople: unproved,
      firstThingToDo: 'read the log of sequence; its next run takes up what is left.',
    },
    silence: {
      words: `"${alarmWords.sequenced}"`,
      rings: Duration.hours(1),
      means: {
        meansForPeople: 'nobody sees whether all facts can be proved, and owners get no mail of the day’s record.',
        firstThingToDo: 'see whether the schedule of sequence is switched on; its next run catches up all by itself.',
      },
    },
  })
  const left = timesSaid(run.logGroup, { name: 'NotInTree', words: `"${alarmWords.notInTree}"` })
  alarm(scope, 'NotInTree', {
    operators,
    bell: any(left),
    means: {
      meansForPeople: unproved,
      firstThingToDo: 'find the stick in the log of sequence, and read there why its fact gets no place.',
    },
  })
  fromQueue(scope, 'OfFacts', { queue: facts, target: live, gathersForSeconds: 5 })
  return facts
}

function queueOfFacts(scope: Construct, operators: Shared['operators'], timeout: Duration): Queue {
  return workQueue(scope, 'Facts', {
    operators,
    readerMayRun: timeout,
    deadLetters: deadLetterQueue(scope, 'NotSequenced', {
      operators,
      means: {
        meansForPeople: unproved,
        firstThingToDo: 'read the log of sequence; its run every quarter of an hour tries these facts again.',
      },
    }),
    oldAfter: Duration.hours(1),
    ageMeans: {
      meansForPeople: unproved,
      firstThingToDo: 'read the log of sequence, and whether it is throttled or switched off.',
    },
  })
}
