import { type Duration, RemovalPolicy } from 'aws-cdk-lib'
import { Effect, PolicyDocument, PolicyStatement, Role, ServicePrincipal } from 'aws-cdk-lib/aws-iam'
import { Architecture, Code, Function as LambdaFunction, Runtime, Tracing } from 'aws-cdk-lib/aws-lambda'
import { LogGroup, RetentionDays } from 'aws-cdk-lib/aws-logs'
import type { ITopic } from 'aws-cdk-lib/aws-sns'
import { Construct } from 'constructs'
import { alarmWords } from '../../functions/store/table-shape.ts'
import { acknowledge } from './accept.ts'
import { type AlarmText, alarm, any, doesNotRead, everyFiveMinutes, timesSaid } from './alarm.ts'

/** Rights of a function, written out: `[actions, resources]`. */
export type Grants = Readonly<Record<string, readonly [actions: readonly string[], resources: readonly string[]]>>

export interface FunctionProps {
  /** name of the folder among the bundles */
  readonly name: string
  readonly bundles: string
  readonly description: string
  readonly timeout: Duration
  readonly memoryMegabytes: number
  readonly environment: Record<string, string>
  readonly grants: Grants
  readonly operators: ITopic
  readonly errorsMean: AlarmText
  /** words in the log of a door that answers a failure with 500, and the name to count them by */
  readonly failsWith?: { readonly name: string; readonly words: `"${string}"` }
}

/** A function with a role of its own, a log of its own and an alarm that says what its errors mean. */
export function houseFunction(parent: Construct, id: string, props: FunctionProps): LambdaFunction {
  const scope = new Construct(parent, id)
  const logGroup = new LogGroup(scope, 'Log', {
    retention: RetentionDays.THREE_MONTHS,
    removalPolicy: RemovalPolicy.DESTROY,
  })
  const made = new LambdaFunction(scope, 'Function', {
    description: props.description,
    runtime: Runtime.NODEJS_24_X,
    architecture: Architecture.ARM_64,
    code: Code.fromAsset(`${props.bundles}/${props.name}`),
    handler: 'index.handler',
    memorySize: props.memoryMegabytes,
    timeout: props.timeout,
    tracing: Tracing.DISABLED,
    environment: props.environment,
    logGroup,
    role: roleOf(scope, {
      WriteLog: [['logs:CreateLogStream', 'logs:PutLogEvents'], [logGroup.logGroupArn]],
      ...props.grants,
    }),
  })
  timesSaid(logGroup, { name: doesNotRead, words: `"${alarmWords.doesNotRead}"` })
  const errors = made.metricErrors({ period: everyFiveMinutes })
  alarm(scope, 'Errors', { operators: props.operators, bell: any(errors), means: props.errorsMean })
  if (props.failsWith !== undefined) {
    const failed = timesSaid(logGroup, props.failsWith)
    alarm(scope, 'Failures', { operators: props.operators, bell: any(failed), means: props.errorsMean })
  }
  return made
}

function roleOf(scope: Construct, grants: Grants): Role {
  const statements = Object.entries(grants).map(
    ([sid, [actions, resources]]) =>
      new PolicyStatement({ sid, effect: Effect.ALLOW, actions: [...actions], resources: [...resources] }),
  )
  const role = new Role(scope, 'Role', {
    assumedBy: new ServicePrincipal('lambda.amazonaws.com'),
    inlinePolicies: { Grants: new PolicyDocument({ statements }) },
  })
  acknowledge(role, 'AwsSolutions-IAM5', 'the streams of its own log group have no names before they are made')
  return role
}
