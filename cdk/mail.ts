import { Stack } from 'aws-cdk-lib'
import {
  ConfigurationSet,
  ConfigurationSetTlsPolicy,
  EmailIdentity,
  EmailSendingEvent,
  EventDestination,
  Identity,
} from 'aws-cdk-lib/aws-ses'
import { type ITopic, Topic } from 'aws-cdk-lib/aws-sns'
import { Construct } from 'constructs'

export interface Mail {
  readonly from: string
  readonly domain: string
  readonly configurationSet: string
  readonly identityArn: string
  /** the identity and the configuration set: sending needs leave for both */
  readonly arns: readonly string[]
  /** the mail service tells here what became of each mail */
  readonly feedback: ITopic
}

export function theMail(parent: Construct, domain: string): Mail {
  const scope = new Construct(parent, 'Mail')
  const configurationSet = new ConfigurationSet(scope, 'ConfigurationSet', {
    tlsPolicy: ConfigurationSetTlsPolicy.REQUIRE,
    reputationMetrics: true,
    // ours is asked before each sending, and a manager can clear it; the account's would keep what was cleared
    disableSuppressionList: true,
  })
  const feedback = new Topic(scope, 'Feedback', { enforceSSL: true, displayName: 'Quarterturn mail feedback' })
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
  new EmailIdentity(scope, 'Identity', { identity: Identity.domain(domain), configurationSet })
  const arn = (resource: string, resourceName: string) =>
    Stack.of(scope).formatArn({ service: 'ses', resource, resourceName })
  return {
    from: `notices@${domain}`,
    domain,
    configurationSet: configurationSet.configurationSetName,
    feedback,
    identityArn: arn('identity', domain),
    arns: [arn('identity', domain), arn('configuration-set', configurationSet.configurationSetName)],
  }
}
