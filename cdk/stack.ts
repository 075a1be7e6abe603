import { CfnOutput, Stack } from 'aws-cdk-lib'
import type { Construct } from 'constructs'
import { addressesOf } from './addresses.ts'
import { operatorsTopic, ringForUnread } from './constructs/alarm.ts'
import { deadLetterQueue } from './constructs/queue.ts'
import { theReleases } from './constructs/release.ts'
import { dashboard } from './dashboard.ts'
import { accountsDoor } from './doors/accounts.ts'
import { answersDoor } from './doors/answers.ts'
import { apiDoor, httpApi } from './doors/api.ts'
import { deliverNoticesDoor } from './doors/deliver-notices.ts'
import { feedDoor } from './doors/feed.ts'
import { feedbackDoor } from './doors/feedback.ts'
import { followUpDoor } from './doors/follow-up.ts'
import { handOnDoor } from './doors/hand-on.ts'
import { importDoor } from './doors/import.ts'
import { type Journal, journalDoor } from './doors/journal.ts'
import { pagesDoor } from './doors/pages.ts'
import { planDoor } from './doors/plan.ts'
import { reindexDoor } from './doors/reindex.ts'
import { sequenceDoor } from './doors/sequence.ts'
import { sweepDoor } from './doors/sweep.ts'
import { theMail } from './mail.ts'
import { loggedClaims, ownPool, type Provider, peopleOf } from './people.ts'
import { settingsOf } from './settings.ts'
import type { Shared } from './shared.ts'
import type { Stage, StageName } from './stages.ts'
import { type RestoredTable, theTable } from './table.ts'
import { uploadsBucket } from './uploads.ts'
import { watchTheRest } from './watch.ts'

export interface StackProps {
  /** the folder of built functions */
  readonly bundles: string
  /** an OpenID provider of the employer's; without one the stack has a user pool of its own */
  readonly provider?: Provider
  /** left out where the template asks for all that a stage says by parameters, as that of the local stack */
  readonly stage?: { readonly name: StageName; readonly is: Stage }
  /** a table brought back from a backup, where no stage says it */
  readonly restored?: RestoredTable
}

export function quarterturnStack(app: Construct, props: StackProps): Stack {
  const { bundles, stage, provider = providerOf(stage?.is), restored = stage?.is.restoredTable } = props
  const stack = new Stack(app, 'Quarterturn', {
    description: 'Keeps insulated live-line sticks safe to hold',
    ...(stage === undefined
      ? {}
      : {
          stackName: `Quarterturn-${stage.name}`,
          env: { account: stage.is.account, region: stage.is.region },
          terminationProtection: true,
        }),
  })
  const settings = settingsOf(stack, stage?.is)
  const operators = operatorsTopic(stack, settings.alarmEmail)
  const table = theTable(stack, restored ?? undefined)
  const { api, stage: served } = httpApi(stack, { ...settings, claims: loggedClaims(provider) })
  const addresses = addressesOf(stack, { api, stage: served }, settings)
  const missedRuns = deadLetterQueue(stack, 'MissedRuns', {
    operators,
    means: {
      meansForPeople: 'a sweep or a round of the mailer did not run or failed for good; reminders may be late.',
      firstThingToDo: 'read the log of the function named in the message; the next run takes up the work.',
    },
  })
  const shared: Shared = {
    bundles,
    table,
    api,
    addresses,
    settings,
    logDays: settings.logDays,
    releases: theReleases(stack),
    operators,
    uploads: uploadsBucket(stack),
    missedRuns,
  }
  ringForUnread(stack, operators)
  watchTheRest(stack, table, operators)
  const mail = theMail(stack, settings.sender)
  const people =
    provider === undefined
      ? ownPool(stack, { pages: addresses.pages, mail, senderIsVerified: settings.senderIsVerified })
      : peopleOf(provider)
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
  const journal = journalDoor(stack, shared)
  const notices = deliverNoticesDoor(stack, shared, mail)
  const sequence = sequenceDoor(stack, shared)
  const imports = importDoor(stack, shared)
  const plans = planDoor(stack, shared)
  handOnDoor(stack, shared, { ...notices, undelivered, accounts, journal: journal.queue, sequence, imports, plans })
  dashboard(stack, api)
  outputs(stack, { addresses, table, journal, pool: people.pool?.id, operators })
  return stack
}

interface Told extends Pick<Shared, 'addresses' | 'table' | 'operators'> {
  readonly journal: Journal
  readonly pool: string | undefined
}

/** What people and commands need to know of a deployment. */
function outputs(stack: Stack, { addresses, table, journal, pool, operators }: Told): void {
  new CfnOutput(stack, 'ApiUrl', { value: addresses.api })
  new CfnOutput(stack, 'PagesUrl', { value: addresses.pages })
  new CfnOutput(stack, 'TableName', { value: table.tableName, description: 'For the commands that take --table' })
  new CfnOutput(stack, 'JournalName', { value: journal.bucket, description: 'For npm run restore -- --journal' })
  new CfnOutput(stack, 'NamesName', {
    value: journal.names,
    description: 'For npm run restore and npm run erase-name -- --names',
  })
  if (pool !== undefined) {
    new CfnOutput(stack, 'UserPool', { value: pool, description: 'For npm run first-owner -- --pool' })
  }
  new CfnOutput(stack, 'OperatorsTopic', {
    value: operators.topicArn,
    description: 'Subscribe here to be woken by alarms',
  })
}

function providerOf(stage: Stage | undefined): Provider | undefined {
  return stage === undefined || stage.people === 'own pool' ? undefined : stage.people
}
