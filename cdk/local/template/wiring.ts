/** Checks that each part may do what it is wired to do. AWS would find out at deployment or at the first run. */
import type { Permission, Permissions } from '../table/permissions.ts'
import { kindOf } from './event-source.ts'
import { type Deployed, functionNamed, type Properties, type Resource } from './template.ts'

export async function checkWiring(deployed: Deployed, permissions: Permissions): Promise<void> {
  const faults: string[] = []
  for (const { part, roleArn, needed } of partsWithRoles(deployed)) {
    const missing = await permissions.missing(roleArn, needed)
    if (missing !== undefined)
      faults.push(`${part} needs ${missing.action} on ${missing.resource}, which its role does not allow`)
  }
  faults.push(...untaken(deployed), ...tooShortlyHidden(deployed), ...pastTheAlias(deployed))
  if (faults.length > 0) throw new Error(faults.join('\n'))
}

interface Wired {
  readonly part: string
  readonly roleArn: string
  readonly needed: Permission[]
}

function partsWithRoles(deployed: Deployed): Wired[] {
  const roles = new Map<string, string>(
    deployed.all('AWS::Lambda::Function').map(({ name, properties }) => [name, properties.Role]),
  )
  const roleOf = (functionName: string) => roles.get(functionNamed(functionName)) ?? ''
  return [
    ...deployed.all('AWS::Scheduler::Schedule').map(({ id, properties: { Target } }) => ({
      part: id,
      roleArn: Target.RoleArn,
      needed: [{ action: 'lambda:InvokeFunction', resource: Target.Arn }, ...mayKeep(Target.DeadLetterConfig?.Arn)],
    })),
    ...deployed.all('AWS::Lambda::EventSourceMapping').map((mapping) => ({
      part: mapping.id,
      roleArn: roleOf(mapping.properties.FunctionName),
      needed: [...mayRead(mapping), ...mayKeep(failuresOf(mapping.properties))],
    })),
    ...deployed.all('AWS::Lambda::EventInvokeConfig').map(({ id, properties }) => ({
      part: id,
      roleArn: roleOf(properties.FunctionName),
      needed: mayKeep(failuresOf(properties)),
    })),
  ]
}

const failuresOf = ({ DestinationConfig }: Properties): string | undefined => DestinationConfig?.OnFailure?.Destination

const mayKeep = (queueArn: string | undefined): Permission[] =>
  queueArn === undefined ? [] : [{ action: 'sqs:SendMessage', resource: queueArn }]

function mayRead(mapping: Resource): Permission[] {
  const resource: string = mapping.properties.EventSourceArn
  const each = (service: string, actions: readonly string[]) =>
    actions.map((action) => ({ action: `${service}:${action}`, resource }))
  if (kindOf(mapping) === 'queue') return each('sqs', ['ReceiveMessage', 'DeleteMessage', 'GetQueueAttributes'])
  return [
    ...each('dynamodb', ['DescribeStream', 'GetRecords', 'GetShardIterator']),
    { action: 'dynamodb:ListStreams', resource: '*' },
  ]
}

/** A message that shows again while its reader is at work would have two readers. AWS makes no such mapping. */
function tooShortlyHidden(deployed: Deployed): string[] {
  const byName = (type: string, named: (one: Resource) => [name: string, seconds: number]) =>
    new Map(deployed.all(type).map(named))
  const hidden = byName('AWS::SQS::Queue', ({ id, properties }) => [
    deployed.arn(id),
    properties.VisibilityTimeout ?? 30,
  ])
  const mayRun = byName('AWS::Lambda::Function', ({ name, properties }) => [name, properties.Timeout ?? 3])
  return deployed.all('AWS::Lambda::EventSourceMapping').flatMap(({ id, properties }) => {
    const [hides, runs] = [
      hidden.get(properties.EventSourceArn),
      mayRun.get(functionNamed(properties.FunctionName)) ?? 3,
    ]
    if (hides === undefined || hides >= runs) return []
    return [`${id}: a message is hidden for ${hides} s, and its reader may run for ${runs} s`]
  })
}

/**
 * Parts that call a function past its alias: they would run what a deployment has only begun to try. What becomes of
 * failed runs is said for the alias, or AWS passes it over.
 */
function pastTheAlias(deployed: Deployed): string[] {
  const aliases = deployed.all('AWS::Lambda::Alias').map(({ properties: { FunctionName, Name } }) => ({
    name: `${FunctionName}:${Name}`,
    ofFunction: FunctionName,
  }))
  const called = [
    ...deployed.all('AWS::Scheduler::Schedule').map(({ id, properties }) => [id, properties.Target.Arn]),
    ...deployed.all('AWS::Lambda::EventSourceMapping').map(({ id, properties }) => [id, properties.FunctionName]),
    ...deployed.all('AWS::ApiGatewayV2::Integration').map(({ id, properties }) => [id, properties.IntegrationUri]),
    ...deployed
      .all('AWS::Lambda::EventInvokeConfig')
      .map(({ id, properties }) => [id, `${properties.FunctionName}:${properties.Qualifier}`]),
    ...deployed
      .all('AWS::SNS::Subscription')
      .flatMap(({ id, properties }) => (properties.Protocol === 'lambda' ? [[id, properties.Endpoint]] : [])),
  ]
  return called.flatMap(([id, target]) => {
    const own = aliases.find(({ ofFunction }) => ofFunction === functionNamed(target))
    return own === undefined || String(target).endsWith(own.name) ? [] : [`${id} calls ${target} past its alias`]
  })
}

/** Roles that their service may not take, by the trust in the template: AWS would make or run nothing of theirs. */
function untaken(deployed: Deployed): string[] {
  const taking = [
    ...deployed.all('AWS::Lambda::Function').map(({ id, properties }) => [id, properties.Role, 'lambda']),
    ...deployed
      .all('AWS::Scheduler::Schedule')
      .map(({ id, properties }) => [id, properties.Target.RoleArn, 'scheduler']),
    ...deployed
      .all('AWS::CodeDeploy::DeploymentGroup')
      .map(({ id, properties }) => [id, properties.ServiceRoleArn, 'codedeploy']),
  ] as const
  const roles = new Map(deployed.all('AWS::IAM::Role').map((role) => [deployed.arn(role.id), role.properties]))
  return taking.flatMap(([id, roleArn, service]) => {
    const statements: Properties[] = roles.get(roleArn)?.AssumeRolePolicyDocument.Statement ?? []
    const isTrusted = statements.some(
      ({ Effect, Action, Principal, Condition }) =>
        Effect === 'Allow' &&
        Action === 'sts:AssumeRole' &&
        Principal?.Service === `${service}.amazonaws.com` &&
        (Condition?.StringEquals?.['aws:SourceAccount'] ?? deployed.account) === deployed.account,
    )
    return isTrusted ? [] : [`${id}: its role does not trust ${service}.amazonaws.com for this account`]
  })
}
