/** Who hears an alarm: whoever subscribed by mail to the topic that it rings at, and which it may publish to. */
import type { Deployed } from '../template/template.ts'
import { mayPublish } from '../template/topic-policy.ts'

/** Fails where the topic does not let the alarm publish: then none would be heard. */
export function subscribersOf(deployed: Deployed, topicArn: string, alarmArn: string): string[] {
  if (!mayPublish(deployed, topicArn, { service: 'cloudwatch.amazonaws.com', sourceArn: alarmArn }))
    throw new Error(`${topicArn} does not let ${alarmArn} publish`)
  return deployed
    .all('AWS::SNS::Subscription')
    .flatMap(({ properties: { Protocol, Endpoint, TopicArn } }) =>
      TopicArn === topicArn && Protocol === 'email' ? [Endpoint as string] : [],
    )
}
