/** The people who hear an alarm: those who subscribed by mail to its topic. */
import type { Deployed } from '../template/template.ts'
import { mayPublish } from '../template/topic-policy.ts'

/** The start fails where the topic does not let the alarm publish: nobody would hear it. */
export function subscribersOf(deployed: Deployed, topicArn: string, alarmArn: string): string[] {
  if (!mayPublish(deployed, topicArn, { service: 'cloudwatch.amazonaws.com', sourceArn: alarmArn }))
    throw new Error(`${topicArn} does not let ${alarmArn} publish`)
  return deployed
    .all('AWS::SNS::Subscription')
    .flatMap(({ properties: { Protocol, Endpoint, TopicArn } }) =>
      TopicArn === topicArn && Protocol === 'email' ? [Endpoint as string] : [],
    )
}
