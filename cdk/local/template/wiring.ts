/** What AWS checks when the parts are put together, or finds out at the first run: that each may do what it is wired to do. */
import type { Permission, Permissions } from '../table/permissions.ts'
import type { Deployed, Properties } from './template.ts'

export async function checkWiring(deployed: Deployed, permissions: Permissions): Promise<void> {
  const faults: string[] = []
  for (const { part, roleArn, needed } of partsWithRoles(deployed)) {
    const missing = await permissions.missing(roleArn, needed)
    if (missing !== undefined)
      faults.push(`${part} needs ${missing.action} on ${missing.resource}, which its role does not allow`)
  }
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
  const roleOf = (functionName: string) => roles.get(functionName) ?? ''
  return [
    ...deployed.all('AWS::Scheduler::Schedule').map(({ id, properties: { Target } }) => ({
      part: id,
      roleArn: Target.RoleArn,
      needed: [{ action: 'lambda:InvokeFunction', resource: Target.Arn }, ...mayKeep(Target.DeadLetterConfig?.Arn)],
    })),
    ...deployed.all('AWS::Lambda::EventSourceMapping').map(({ id, properties }) => ({
      part: id,
      roleArn: roleOf(properties.FunctionName),
      needed: [...mayRead(properties.EventSourceArn), ...mayKeep(failuresOf(properties))],
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

const mayRead = (streamArn: string): Permission[] => [
  ...['DescribeStream', 'GetRecords', 'GetShardIterator'].map((name) => ({
    action: `dynamodb:${name}`,
    resource: streamArn,
  })),
  { action: 'dynamodb:ListStreams', resource: '*' },
]
