import { Duration, Stack } from 'aws-cdk-lib'
import type { CfnBucket } from 'aws-cdk-lib/aws-s3'
import type { Queue } from 'aws-cdk-lib/aws-sqs'
import { Construct } from 'constructs'
import { alarmWords } from '../../functions/store/table-shape.ts'
import { acknowledge } from '../constructs/accept.ts'
import { everyFiveMinutes } from '../constructs/alarm.ts'
import { deadLetterQueue, fromQueue, queueGrants, workQueue } from '../constructs/queue.ts'
import { scheduledFunction } from '../constructs/schedule.ts'
import { journalBucket, namesBucket } from '../journal.ts'
import type { Shared } from '../shared.ts'

const mayRun = Duration.minutes(1)

export interface Journal {
  readonly queue: Queue
  readonly bucket: string
  readonly names: string
}

/** Keeps what is written to the table in buckets of its own, as its queue brings it. */
export function journalDoor(parent: Construct, shared: Shared): Journal {
  const scope = new Construct(parent, 'Journal')
  const { table, operators } = shared
  const bucket = journalBucket(scope, shared.settings.journalYears)
  const names = namesBucket(scope)
  const queue = journalQueue(scope, operators)
  const { live } = scheduledFunction(scope, {
    ...shared,
    name: 'journal',
    description: 'Keeps what is written to the table outside of it',
    timeout: mayRun,
    memoryMegabytes: 512,
    environment: { TABLE_NAME: table.tableName, JOURNAL_BUCKET: bucket.bucketName, NAMES_BUCKET: names.bucketName },
    grants: {
      // what is written is never read here, nor removed
      Keep: [['s3:PutObject'], [bucket.arnForObjects('journal/*'), names.arnForObjects('names/*')]],
      Mark: [['dynamodb:UpdateItem'], [table.tableArn]],
      ...queueGrants(queue),
    },
    runs: {
      description: 'Writes the mark by which a silence of the journal is told from a quiet hour',
      expression: 'rate(5 minutes)',
      every: everyFiveMinutes,
      payload: { kind: 'mark' },
      worthStartingFor: everyFiveMinutes,
    },
    errorsMean: {
      meansForPeople: 'nothing now; where the table were lost, sticks would have to be held until the paper is read.',
      firstThingToDo: 'read the log of journal, and whether its bucket takes anything.',
    },
    silence: {
      words: `"${alarmWords.journalHeard}"`,
      rings: Duration.minutes(15),
      means: {
        meansForPeople: 'nothing now; after a loss of the table every stick would be held, for nobody could tell more.',
        firstThingToDo: 'see whether the schedule of journal is switched on, then what its log says last.',
      },
    },
  })
  for (const [one, folder] of [
    [bucket, 'journal'],
    [names, 'names'],
  ] as const) {
    const id = Stack.of(scope).getLogicalId(one.node.defaultChild as CfnBucket)
    acknowledge(
      scope,
      `AwsSolutions-IAM5[Resource::<${id}.Arn>/${folder}/*]`,
      'objects have no names before they are written',
    )
  }
  // whatever is not in it yet is lost with the table
  fromQueue(scope, 'Written', { queue, target: live, gathersForSeconds: 0 })
  return { queue, bucket: bucket.bucketName, names: names.bucketName }
}

function journalQueue(scope: Construct, operators: Shared['operators']): Queue {
  return workQueue(scope, 'ToJournal', {
    operators,
    readerMayRun: mayRun,
    deadLetters: deadLetterQueue(scope, 'NotJournalled', {
      operators,
      means: {
        meansForPeople: 'nothing now; what these messages hold is in the table alone, and would be lost with it.',
        firstThingToDo: 'read in the log of journal why, then send the messages back to their queue: they say all.',
      },
    }),
    oldAfter: Duration.minutes(15),
    ageMeans: {
      meansForPeople: 'nothing now; what was written since is in the table alone, and would be lost with it.',
      firstThingToDo: 'read the log of journal, and whether its bucket takes anything.',
    },
  })
}
