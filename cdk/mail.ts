/** Mail: the identity of its sender, what is told of each, and the records that the domain needs. */
import { CfnOutput, RemovalPolicy, Stack } from 'aws-cdk-lib'
import {
  ConfigurationSet,
  ConfigurationSetTlsPolicy,
  EmailIdentity,
  EmailSendingEvent,
  EventDestination,
  type IConfigurationSet,
  Identity,
  MailFromBehaviorOnMxFailure,
} from 'aws-cdk-lib/aws-ses'
import { type ITopic, Topic } from 'aws-cdk-lib/aws-sns'
import { Construct } from 'constructs'
import type { Settings } from './settings.ts'

export interface Mail {
  readonly from: string
  readonly replyTo: string
  readonly configurationSet: string
  readonly identityArn: string
  /** the identity and the configuration set: sending needs leave for both */
  readonly arns: readonly string[]
  /** the mail service tells here what became of each mail */
  readonly feedback: ITopic
}

export function theMail(parent: Construct, sender: Settings['sender']): Mail {
  const scope = new Construct(parent, 'Mail')
  const configurationSet = new ConfigurationSet(scope, 'ConfigurationSet', {
    tlsPolicy: ConfigurationSetTlsPolicy.REQUIRE,
    reputationMetrics: true,
    // ours is asked before each sending, and a manager can clear it; the account's would keep what was cleared
    disableSuppressionList: true,
  })
  const feedback = new Topic(scope, 'Feedback', { enforceSSL: true, displayName: 'Quarterturn mail feedback' })
  feedback.applyRemovalPolicy(RemovalPolicy.RETAIN)
  configurationSet.addEventDestination('ToFeedback', {
    destination: EventDestination.snsTopic(feedback),
    events: [
      EmailSendingEvent.SEND,
      EmailSendingEvent.DELIVERY,
      EmailSendingEvent.BOUNCE,
      EmailSendingEvent.COMPLAINT,
      EmailSendingEvent.REJECT,
      EmailSendingEvent.DELIVERY_DELAY,
      EmailSendingEvent.RENDERING_FAILURE,
    ],
  })
  // an identity that stands in the account already is only named: to make it again fails
  if (sender.identity === 'made here') identityOf(scope, sender, configurationSet)
  const arn = (resource: string, resourceName: string) =>
    Stack.of(scope).formatArn({ service: 'ses', resource, resourceName })
  return {
    from: sender.address,
    replyTo: sender.replyTo,
    configurationSet: configurationSet.configurationSetName,
    feedback,
    identityArn: arn('identity', sender.domain),
    arns: [arn('identity', sender.domain), arn('configuration-set', configurationSet.configurationSetName)],
  }
}

function identityOf(scope: Construct, sender: Settings['sender'], configurationSet: IConfigurationSet): void {
  const { domain, mailFrom, reportsTo } = sender
  const identity = new EmailIdentity(scope, 'Identity', {
    identity: Identity.domain(domain),
    configurationSet,
    // receivers then find one domain in all of a mail (RFC 7489, identifier alignment)
    mailFromDomain: mailFrom,
    mailFromBehaviorOnMxFailure: MailFromBehaviorOnMxFailure.USE_DEFAULT_VALUE,
  })
  // a stack that goes, or a construct of another name, would end the domain's mail
  identity.applyRemovalPolicy(RemovalPolicy.RETAIN)
  const record = (id: string, value: string) =>
    new CfnOutput(scope, id, { value, description: 'Hand it to whoever owns the domain' })
  for (const [i, { name, value }] of identity.dkimRecords.entries())
    record(`Dkim${i + 1}Record`, `${name} CNAME ${value}`)
  const { region } = Stack.of(scope)
  record('MailFromMxRecord', `${mailFrom} MX 10 feedback-smtp.${region}.amazonses.com`)
  record('MailFromSpfRecord', `${mailFrom} TXT "v=spf1 include:amazonses.com -all"`)
  record('DmarcRecord', `_dmarc.${domain} TXT "v=DMARC1; p=quarantine; rua=mailto:${reportsTo}"`)
}
