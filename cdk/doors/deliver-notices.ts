import { Duration } from 'aws-cdk-lib'
import type { Queue } from 'aws-cdk-lib/aws-sqs'
import { Construct } from 'constructs'
import { alarmWords } from '../../functions/store/table-shape.ts'
import { acknowledge } from '../constructs/accept.ts'
import { alarm, any, everyFiveMinutes, timesSaid } from '../constructs/alarm.ts'
import type { HouseFunction } from '../constructs/function.ts'
import { deadLetterQueue, fromQueue, queueGrants, workQueue } from '../constructs/queue.ts'
import { scheduledFunction } from '../constructs/schedule.ts'
import type { Mail } from '../mail.ts'
import type { Shared } from '../shared.ts'
import { readsIndexes, readsTable } from '../table.ts'

export interface NewNotices {
  /** notices that must be confirmed as read */
  readonly urgent: Queue
  readonly others: Queue
}

const mayRun = Duration.minutes(1)

/** Sends each notice that its queues bring, and every few minutes what came through none. */
export function deliverNoticesDoor(parent: Construct, shared: Shared, mail: Mail): NewNotices {
  const scope = new Construct(parent, 'DeliverNotices')
  const { operators } = shared
  const deadLetters = deadLetterQueue(scope, 'Unsent', {
    operators,
    means: {
      meansForPeople: 'new notices could not be sent for half an hour; somebody may not know that a stick is unsafe.',
      firstThingToDo: 'look in the notice log for notices not sent; the run every five minutes tries them again.',
    },
  })
  const waiting = { operators, readerMayRun: mayRun, deadLetters }
  const urgent = workQueue(scope, 'Urgent', {
    ...waiting,
    // A message that failed once comes again after six minutes.
    oldAfter: Duration.minutes(10),
    ageMeans: {
      meansForPeople: 'word of sticks that must not be used waits to be mailed.',
      firstThingToDo: 'read the log of deliver-notices; call the crews of the sticks held since.',
    },
  })
  const others = workQueue(scope, 'Others', {
    ...waiting,
    oldAfter: Duration.hours(1),
    ageMeans: {
      meansForPeople: 'mails of sticks that come due, or may be used again, are late.',
      firstThingToDo: 'read the log of deliver-notices, and how many mails a second the account may send.',
    },
  })
  const { live } = mailer(scope, shared, { mail, queues: [urgent, others] })
  fromQueue(scope, 'UrgentNotices', { queue: urgent, target: live })
  fromQueue(scope, 'OtherNotices', { queue: others, target: live })
  return { urgent, others }
}

interface MailerProps {
  readonly mail: Mail
  readonly queues: readonly Queue[]
}

function mailer(scope: Construct, shared: Shared, { mail, queues }: MailerProps): HouseFunction {
  const { table, addresses, operators } = shared
  const made = scheduledFunction(scope, {
    ...shared,
    name: 'deliver-notices',
    description: 'Claims, sends and marks notices',
    timeout: mayRun,
    memoryMegabytes: 512,
    reserved: shared.settings.reservedConcurrency?.deliverNotices,
    environment: {
      TABLE_NAME: table.tableName,
      PAGES_URL: addresses.pages,
      ANSWERS_URL: addresses.answers,
      MAIL_FROM: mail.from,
      MAIL_REPLY_TO: mail.replyTo,
      MAIL_CONFIGURATION_SET: mail.configurationSet,
    },
    grants: {
      ...readsIndexes(table, 'notices-by-queue'),
      // Mails tell how a stick stands by now. Marked addresses get none.
      ...readsTable(table),
      MarkNotices: [['dynamodb:UpdateItem'], [table.tableArn]],
      SendMail: [['ses:SendRawEmail'], mail.arns],
      ReadRate: [['ses:GetSendQuota'], ['*']],
      ...queueGrants(...queues),
    },
    runs: {
      description: 'Takes up notices that came through no queue',
      expression: 'rate(5 minutes)',
      every: everyFiveMinutes,
      payload: { kind: 'unsent' },
      worthStartingFor: Duration.minutes(30),
    },
    errorsMean: {
      meansForPeople: 'mails about holds, removals and recalls may be late.',
      firstThingToDo: 'read the log of deliver-notices, and whether the mail service has stopped our sending.',
    },
    silence: {
      words: `"${alarmWords.takenUp}"`,
      rings: Duration.minutes(30),
      means: {
        meansForPeople:
          'mails that could not leave at once are not tried again; somebody may not know that a stick is unsafe.',
        firstThingToDo: 'see whether the schedule of deliver-notices is switched on, then what its log says last.',
      },
    },
  })
  alarmsOf(scope, made.run, operators)
  acknowledge(scope, 'AwsSolutions-IAM5[Resource::*]', 'the rate and the quota of sending are the account’s')
  return made
}

/** Alarms that ring for what the mailer says in its log. */
function alarmsOf(scope: Construct, { logGroup }: HouseFunction['run'], operators: Shared['operators']) {
  const setAside = timesSaid(logGroup, { name: 'NoticesSetAside', words: `"${alarmWords.setAside}"` })
  alarm(scope, 'NoticesSetAside', {
    operators,
    bell: any(setAside),
    means: {
      meansForPeople:
        'somebody was not mailed and will not be; if it was a hold or a removal, the next person is told.',
      firstThingToDo: 'find it in the notice log under “not delivered”, and tell that person by other means.',
    },
  })
  const refused = timesSaid(logGroup, { name: 'MailsRefused', words: `"${alarmWords.refused}"` })
  alarm(scope, 'MailsRefused', {
    operators,
    bell: any(refused),
    means: {
      meansForPeople: 'mails wait, perhaps all of them: people may not hear that a stick is unsafe.',
      firstThingToDo: 'see in that log why, and whether the account may send; call the crews of the sticks held since.',
    },
  })
  const usedUp = timesSaid(logGroup, { name: 'QuotaUsedUp', words: `"${alarmWords.quotaUsedUp}"` })
  alarm(scope, 'QuotaUsedUp', {
    operators,
    bell: any(usedUp),
    means: {
      meansForPeople:
        'no mail leaves until a day after those that used it up: people do not hear that a stick is unsafe.',
      firstThingToDo: 'call the crews of the sticks held since, and ask the mail service for a higher quota.',
    },
  })
  const paused = timesSaid(logGroup, { name: 'MailPaused', words: `"${alarmWords.mailPaused}"` })
  alarm(scope, 'MailPaused', {
    operators,
    bell: any(paused),
    means: {
      meansForPeople: 'no mail leaves since the records were brought back: nobody hears that a stick is unsafe.',
      firstThingToDo: 'go on with the steps of cdk/RESTORE.md: decide what was unknown, then npm run unpause.',
    },
  })
  const nearly = timesSaid(logGroup, { name: 'QuotaNearlyUsedUp', words: `"${alarmWords.quotaNearlyUsedUp}"` })
  alarm(scope, 'QuotaNearlyUsedUp', {
    operators,
    bell: any(nearly),
    means: {
      meansForPeople:
        'digests and other mails that can wait leave tomorrow; word of unsafe sticks still leaves at once.',
      firstThingToDo: 'ask the mail service for a higher quota than four fifths of what a day needs.',
    },
  })
}
