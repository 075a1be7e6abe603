import { CfnOutput, CfnParameter, Stack } from 'aws-cdk-lib'
import type { Construct } from 'constructs'
import { operatorsTopic, ringForUnread } from './constructs/alarm.ts'
import { deadLetterQueue } from './constructs/queue.ts'
import { dashboard } from './dashboard.ts'
import { accountsDoor } from './doors/accounts.ts'
import { answersDoor } from './doors/answers.ts'
import { apiDoor, httpApi } from './doors/api.ts'
import { deliverNoticesDoor } from './doors/deliver-notices.ts'
import { feedDoor } from './doors/feed.ts'
import { feedbackDoor } from './doors/feedback.ts'
import { followUpDoor } from './doors/follow-up.ts'
import { handOnDoor } from './doors/hand-on.ts'
import { pagesDoor } from './doors/pages.ts'
import { reindexDoor } from './doors/reindex.ts'
import { sequenceDoor } from './doors/sequence.ts'
import { sweepDoor } from './doors/sweep.ts'
import { theMail } from './mail.ts'
import { ownPool, type Provider, peopleOf } from './people.ts'
import type { Shared } from './shared.ts'
import { theTable } from './table.ts'
import { watchTheRest } from './watch.ts'

export interface StackProps {
  /** the folder of built functions */
  readonly bundles: string
  /** an OpenID provider of the employer's; without one the stack has a user pool of its own */
  readonly provider?: Provider
}

export function quarterturnStack(app: Construct, { bundles, provider }: StackProps): Stack {
  const stack = new Stack(app, 'Quarterturn', { description: 'Keeps insulated live-line sticks safe to hold' })
  const parameter = (name: string, description: string, rest: { default?: string } = {}) =>
    new CfnParameter(stack, name, { type: 'String', description, ...rest })
  const mailDomain = parameter('MailDomain', 'Domain that notices are sent from')
  const alarmEmail = parameter(
    'AlarmEmail',
    'Mail address that alarms ring at; empty: subscribe to the topic instead',
    {
      default: '',
    },
  )

  const operators = operatorsTopic(stack, alarmEmail)
  const table = theTable(stack)
  const api = httpApi(stack)
  const missedRuns = deadLetterQueue(stack, 'MissedRuns', {
    operators,
    means: {
      meansForPeople: 'a sweep or a round of the mailer did not run or failed for good; reminders may be late.',
      firstThingToDo: 'read the log of the function named in the message; the next run takes up the work.',
    },
  })
  const shared: Shared = { bundles, table, api, operators, missedRuns }
  ringForUnread(stack, operators)
  watchTheRest(stack, table, operators)
  const mail = theMail(stack, mailDomain.valueAsString)
  const people = provider === undefined ? ownPool(stack, { api, mail }) : peopleOf(provider)
  apiDoor(stack, shared, people)
  pagesDoor(stack, shared, people.signIn)
  sweepDoor(stack, shared)
  reindexDoor(stack, shared)
  feedDoor(stack, shared, mail)
  answersDoor(stack, shared)
  feedbackDoor(stack, shared, mail)
  const undelivered = followUpDoor(stack, shared)
  // whoever brings another provider makes and ends people there
  const accounts = people.pool && accountsDoor(stack, shared, people.pool)
  const sequence = sequenceDoor(stack, shared)
  handOnDoor(stack, shared, { ...deliverNoticesDoor(stack, shared, mail), undelivered, sequence, accounts })
  dashboard(stack, api)
  new CfnOutput(stack, 'ApiUrl', { value: api.apiEndpoint })
  new CfnOutput(stack, 'TableName', { value: table.tableName, description: 'For the commands that take --table' })
  if (people.pool !== undefined) {
    new CfnOutput(stack, 'UserPool', { value: people.pool.id, description: 'For npm run first-owner -- --pool' })
  }
  new CfnOutput(stack, 'OperatorsTopic', {
    value: operators.topicArn,
    description: 'Subscribe here to be woken by alarms',
  })
  return stack
}
