/** Who hears an alarm: whoever subscribed by mail to the topic that it rings at, and which it may publish to. */
import type { Deployed, Properties } from '../template/template.ts'

/** Fails where the topic does not let alarms publish, as the policy of the topic is synthesised: then none would be heard. */
export function subscribersOf(deployed: Deployed, topicArn: string, alarmArn: string): string[] {
  if (!mayPublish(deployed, topicArn, alarmArn)) throw new Error(`${topicArn} does not let ${alarmArn} publish`)
  return deployed
    .all('AWS::SNS::Subscription')
    .flatMap(({ properties: { Protocol, Endpoint, TopicArn } }) =>
      TopicArn === topicArn && Protocol === 'email' ? [Endpoint as string] : [],
    )
}

function mayPublish(deployed: Deployed, topicArn: string, alarmArn: string): boolean {
  const statements: Properties[] = deployed
    .all('AWS::SNS::TopicPolicy')
    .filter(({ properties }) => properties.Topics.includes(topicArn))
    .flatMap(({ properties }) => properties.PolicyDocument.Statement)
  return statements.some(({ Effect, Action, Principal, Resource, Condition }) => {
    const isTheirs = Effect === 'Allow' && Principal?.Service === 'cloudwatch.amazonaws.com' && Action === 'sns:Publish'
    const account: unknown = Condition?.StringEquals?.['aws:SourceAccount'] ?? deployed.account
    const like: string = Condition?.ArnLike?.['aws:SourceArn'] ?? alarmArn
    const isFrom = new RegExp(`^${like.replaceAll('*', '.*')}$`).test(alarmArn)
    return isTheirs && Resource === topicArn && account === deployed.account && isFrom
  })
}
