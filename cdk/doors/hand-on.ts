import { Duration } from 'aws-cdk-lib'
import { FilterRule } from 'aws-cdk-lib/aws-lambda'
import type { Queue } from 'aws-cdk-lib/aws-sqs'
import { Construct } from 'constructs'
import { alarmWords, journalled } from '../../functions/store/table-shape.ts'
import { acknowledge } from '../constructs/accept.ts'
import { age, alarm, any, timesSaid } from '../constructs/alarm.ts'
import { houseFunction } from '../constructs/function.ts'
import { deadLetterQueue } from '../constructs/queue.ts'
import { fromStream, streamGrants } from '../constructs/stream.ts'
import type { Shared } from '../shared.ts'

export interface Readers {
  readonly urgent: Queue
  readonly others: Queue
  readonly undelivered: Queue
  readonly journal: Queue
  /** facts that are to get their place in the tree */
  readonly sequence: Queue
  /** files of rows that are to be gone on with */
  readonly imports: Queue
  /** plans of benches that are to be made */
  readonly plans: Queue
  /** none where people sign in at a provider of the employer's */
  readonly accounts?: Queue | undefined
}

/**
 * Writes that are kept for ever, those that somebody waits for among them, and imports and plans that are to be gone on
 * with. Progress of lists is not: nobody reads it back.
 */
const kept = {
  eventName: FilterRule.or('INSERT', 'MODIFY'),
  dynamodb: { NewImage: { entity: { S: FilterRule.or(...journalled, 'import', 'plan') } } },
}

/** The stream's one reader: whoever else is to hear of what is written gets a queue here. */
export function handOnDoor(parent: Construct, shared: Shared, readers: Readers): void {
  const { urgent, others, undelivered, journal, sequence, imports, plans, accounts } = readers
  const scope = new Construct(parent, 'HandOn')
  const { table, operators } = shared
  const all = [urgent, others, undelivered, journal, sequence, imports, plans, accounts]
  const queues = all.filter((one) => one !== undefined)
  const notHandedOn = deadLetterQueue(scope, 'NotHandedOn', {
    operators,
    means: {
      meansForPeople:
        'new notices leave up to seven minutes late, and the journal lacks what was written: it is in the table alone.',
      firstThingToDo:
        'read the log of hand-on; the run every five minutes mails what these messages were about, and the table is ' +
        'to be backed up now.',
    },
  })
  const { run, live } = houseFunction(scope, 'Door', {
    ...shared,
    name: 'hand-on',
    description: 'Hands what is new in the table to the queues of those who wait for it',
    timeout: Duration.seconds(30),
    memoryMegabytes: 512,
    environment: {
      URGENT_QUEUE_URL: urgent.queueUrl,
      OTHERS_QUEUE_URL: others.queueUrl,
      UNDELIVERED_QUEUE_URL: undelivered.queueUrl,
      JOURNAL_QUEUE_URL: journal.queueUrl,
      SEQUENCE_QUEUE_URL: sequence.queueUrl,
      IMPORTS_QUEUE_URL: imports.queueUrl,
      PLANS_QUEUE_URL: plans.queueUrl,
      ...(accounts === undefined ? {} : { ACCOUNTS_QUEUE_URL: accounts.queueUrl }),
    },
    grants: {
      ...streamGrants(table),
      HandOn: [['sqs:SendMessage'], queues.map(({ queueArn }) => queueArn)],
      KeepFailures: [['sqs:SendMessage'], [notHandedOn.queueArn]],
    },
    errorsMean: {
      meansForPeople: 'no mail leaves at once, those about holds and removals neither; all leave minutes late.',
      firstThingToDo: 'read the log of hand-on; the run every five minutes takes up what it misses.',
    },
  })
  const behind = run.metric('IteratorAge', { period: Duration.minutes(1), statistic: 'Maximum' })
  alarm(scope, 'Behind', {
    operators,
    bell: age(behind, Duration.minutes(1), 'milliseconds'),
    means: {
      meansForPeople: 'what was written a minute ago is not handed on yet: mails about holds and removals are late.',
      firstThingToDo: 'read the log of hand-on, and whether it is throttled or switched off.',
    },
  })
  // Records left to come again are no error of the function.
  const left = timesSaid(run.logGroup, { name: 'NotHandedOn', words: `"${alarmWords.notHandedOn}"` })
  alarm(scope, 'QueueAway', {
    operators,
    bell: any(left),
    means: {
      meansForPeople: 'a queue takes nothing, so mails leave minutes late, perhaps those about holds and removals too.',
      firstThingToDo: 'read in the log of hand-on which queue, and why; the runs every five minutes take up its work.',
    },
  })
  acknowledge(scope, 'AwsSolutions-IAM5[Resource::*]', 'streams can only be listed for all tables at once')
  fromStream(scope, 'Awaited', { table, target: live, failures: notHandedOn, filters: [kept] })
}
