/** The policy of a topic, as it is synthesised: a service that may not publish there is heard by nobody. */
import type { Deployed, Properties } from './template.ts'

/** `sourceArn` is the ARN of the resource that publishes through the service. */
export function mayPublish(
  deployed: Deployed,
  topicArn: string,
  from: { readonly service: string; readonly sourceArn: string },
): boolean {
  const statements: Properties[] = deployed
    .all('AWS::SNS::TopicPolicy')
    .filter(({ properties }) => properties.Topics.includes(topicArn))
    .flatMap(({ properties }) => properties.PolicyDocument.Statement)
  return statements.some(({ Effect, Action, Principal, Resource, Condition = {} }) => {
    const isTheirs =
      Effect === 'Allow' && Principal?.Service === from.service && [Action].flat().includes('sns:Publish')
    const equal = byLowerCase(Condition.StringEquals)
    const like: string = byLowerCase(Condition.ArnLike)['aws:sourcearn'] ?? from.sourceArn
    const isFrom =
      (equal['aws:sourcearn'] ?? from.sourceArn) === from.sourceArn &&
      (equal['aws:sourceaccount'] ?? deployed.account) === deployed.account &&
      new RegExp(`^${like.replaceAll('*', '.*')}$`).test(from.sourceArn)
    return isTheirs && Resource === topicArn && isFrom
  })
}

/** Names of condition keys are written in any case. */
const byLowerCase = (keys: Properties = {}): Properties =>
  Object.fromEntries(Object.entries(keys).map(([name, value]) => [name.toLowerCase(), value]))
