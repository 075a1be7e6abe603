/** News of mails, told through the template's topic. Mails to the mailboxes of the SES simulator fail as at AWS. */
import { randomUUID } from 'node:crypto'
import type { SettableClock } from '../clock.ts'
import type { LocalFunction } from '../functions/functions.ts'
import type { Runs } from '../functions/runs.ts'
import type { Deployed } from '../template/template.ts'
import { mayPublish } from '../template/topic-policy.ts'

export interface SentMail {
  readonly messageId: string
  readonly source: string
  readonly recipients: readonly string[]
  readonly configurationSet: string | undefined
  readonly tags: readonly (readonly [name: string, value: string])[]
}

export interface MailFeedbackParts {
  readonly deployed: Deployed
  readonly clock: SettableClock
  readonly functionOf: (arn: string) => LocalFunction
  readonly runs: Runs
}

/** The time that news take through the topic. A sender has marked its notice by then, as at AWS. */
const wayMillis = 100

export type Tell = (mail: SentMail) => void

interface Destination {
  readonly configurationSet: string
  readonly kinds: readonly string[]
  readonly topicArn: string
}

/** The start fails where the mail service may not publish to a topic, or a topic may not invoke a function. */
export function mailFeedback({ deployed, clock, functionOf, runs }: MailFeedbackParts): Tell {
  const subscribed = subscriptionsOf(deployed)
  const destinations = destinationsOf(deployed)
  for (const { arn } of subscribed) functionOf(arn)

  return (mail) => {
    const now = new Date(clock.now()).toISOString()
    const heard = destinations.filter(({ configurationSet }) => configurationSet === mail.configurationSet)
    for (const { kind, event } of whatBecomesOf(mail, now, deployed)) {
      for (const { topicArn } of heard.filter(({ kinds }) => kinds.includes(kind))) {
        for (const one of subscribed.filter((other) => other.topicArn === topicArn))
          runs.start(functionOf(one.arn), handedOver(one, event, now), wayMillis)
      }
    }
  }
}

function destinationsOf(deployed: Deployed): Destination[] {
  return deployed
    .all('AWS::SES::ConfigurationSetEventDestination')
    .filter(({ properties }) => properties.EventDestination.Enabled !== false)
    .map(({ id, properties: { ConfigurationSetName, EventDestination } }) => {
      const topicArn: string | undefined = EventDestination.SnsDestination?.TopicARN
      if (topicArn === undefined) throw new Error(`${id}: the local stack tells of mail through topics only`)
      const sourceArn = `arn:aws:ses:${deployed.region}:${deployed.account}:configuration-set/${ConfigurationSetName}`
      if (!mayPublish(deployed, topicArn, { service: 'ses.amazonaws.com', sourceArn }))
        throw new Error(`the topic of ${id} does not let the mail service publish`)
      return { configurationSet: ConfigurationSetName, kinds: EventDestination.MatchingEventTypes, topicArn }
    })
}

interface Subscription {
  readonly topicArn: string
  /** the ARN of the function */
  readonly arn: string
  readonly subscription: string
}

function subscriptionsOf(deployed: Deployed): Subscription[] {
  const all = deployed.all('AWS::SNS::Subscription')
  // subscribers by mail hear alarms: see alarms/topic.ts
  return all
    .filter(({ properties }) => properties.Protocol !== 'email')
    .map(({ id, properties }) => {
      const { Protocol, Endpoint, TopicArn } = properties
      if (Protocol !== 'lambda')
        throw new Error(`${id}: the local stack knows functions and mailboxes as subscribers only`)
      const granted = deployed.all('AWS::Lambda::Permission').some(({ properties: permission }) => {
        const { Action, FunctionName, Principal, SourceArn } = permission
        const isForIt = FunctionName === Endpoint && SourceArn === TopicArn
        return Action === 'lambda:InvokeFunction' && Principal === 'sns.amazonaws.com' && isForIt
      })
      if (!granted) throw new Error(`the topic of ${id} has no permission to invoke its function`)
      return { topicArn: TopicArn, arn: Endpoint, subscription: `${TopicArn}:${randomUUID()}` }
    })
}

const simulator = '@simulator.amazonses.com'

/** Amazon SES Developer Guide, "Using the mailbox simulator": a label after a plus sign changes nothing. */
function simulated(address: string): string {
  const lower = address.toLowerCase()
  return lower.endsWith(simulator) ? (lower.slice(0, -simulator.length).split('+')[0] ?? '') : 'success'
}

interface Happened {
  /** the kind of event by its name in the template */
  readonly kind: 'send' | 'delivery' | 'bounce' | 'complaint'
  readonly event: object
}

function whatBecomesOf(mail: SentMail, timestamp: string, deployed: Deployed): Happened[] {
  const about = { mail: described(mail, timestamp, deployed) }
  const sent: Happened = { kind: 'send', event: { eventType: 'Send', ...about, send: {} } }
  return [sent, ...mail.recipients.flatMap((address) => happenedTo({ address, timestamp, about }))]
}

/** A mail on its way to one of its recipients. */
interface UnderWay {
  readonly address: string
  readonly timestamp: string
  /** the part about the mail, the same in every event */
  readonly about: object
}

function happenedTo(mail: UnderWay): Happened[] {
  const { address, timestamp, about } = mail
  const mailbox = simulated(address)
  if (mailbox === 'bounce') return [bounced(mail, 'General', 'smtp; 550 5.1.1 user unknown')]
  if (mailbox === 'suppressionlist') return [bounced(mail, 'Suppressed', 'the address is on the suppression list')]
  const delivery = { timestamp, recipients: [address], processingTimeMillis: 500, smtpResponse: '250 ok' }
  const arrived: Happened = { kind: 'delivery', event: { eventType: 'Delivery', ...about, delivery } }
  if (mailbox !== 'complaint') return [arrived]
  const complaint = {
    complainedRecipients: [{ emailAddress: address }],
    timestamp,
    feedbackId: feedbackId(),
    complaintFeedbackType: 'abuse',
    userAgent: 'local',
    arrivalDate: timestamp,
  }
  return [arrived, { kind: 'complaint', event: { eventType: 'Complaint', ...about, complaint } }]
}

function bounced({ address, timestamp, about }: UnderWay, bounceSubType: string, diagnosticCode: string): Happened {
  const bounce = {
    bounceType: 'Permanent',
    bounceSubType,
    bouncedRecipients: [{ emailAddress: address, action: 'failed', status: '5.1.1', diagnosticCode }],
    timestamp,
    feedbackId: feedbackId(),
    reportingMTA: 'dsn; local',
  }
  return { kind: 'bounce', event: { eventType: 'Bounce', ...about, bounce } }
}

const feedbackId = () => `0100${randomUUID()}-000000`

function described(
  { messageId, source, recipients, configurationSet, tags }: SentMail,
  timestamp: string,
  deployed: Deployed,
) {
  const all: [string, string][] = [
    ['ses:configuration-set', configurationSet ?? ''],
    ['ses:from-domain', source.split('@').at(-1) ?? ''],
    ...tags.map(([name, value]): [string, string] => [name, value]),
  ]
  return {
    timestamp,
    source,
    sendingAccountId: deployed.account,
    messageId,
    destination: recipients,
    headersTruncated: false,
    headers: [],
    commonHeaders: {},
    tags: Object.fromEntries(all.map(([name, value]) => [name, [value]])),
  }
}

function handedOver({ topicArn, subscription }: Subscription, event: object, Timestamp: string): object {
  const Sns = {
    Type: 'Notification',
    MessageId: randomUUID(),
    TopicArn: topicArn,
    Subject: 'Amazon SES Email Event Notification',
    Message: JSON.stringify(event),
    Timestamp,
    SignatureVersion: '1',
    Signature: 'local',
    SigningCertUrl: 'https://sns.us-east-1.amazonaws.com/local.pem',
    UnsubscribeUrl: 'https://sns.us-east-1.amazonaws.com/',
    MessageAttributes: {},
  }
  return { Records: [{ EventSource: 'aws:sns', EventVersion: '1.0', EventSubscriptionArn: subscription, Sns }] }
}
