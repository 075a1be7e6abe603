import { type Duration, RemovalPolicy } from 'aws-cdk-lib'
import { Effect, PolicyDocument, PolicyStatement, Role } from 'aws-cdk-lib/aws-iam'
import {
  Architecture,
  Code,
  type IFunction,
  Function as LambdaFunction,
  Runtime,
  Tracing,
} from 'aws-cdk-lib/aws-lambda'
import { LogGroup } from 'aws-cdk-lib/aws-logs'
import type { ITopic } from 'aws-cdk-lib/aws-sns'
import { Construct } from 'constructs'
import { alarmWords } from '../../functions/store/table-shape.ts'
import { acknowledge } from './accept.ts'
import { type AlarmText, alarm, any, doesNotRead, everyFiveMinutes, timesSaid } from './alarm.ts'
import { type Releases, released } from './release.ts'
import { trusting } from './trust.ts'

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
  /** runs at once that are kept free for it; else it takes part in what the account has */
  readonly reserved?: number | undefined
  readonly logDays: number
  readonly releases: Releases
  readonly grants: Grants
  readonly operators: ITopic
  readonly errorsMean: AlarmText
  /** words in the log of a door that answers a failure with 500, and the name to count them by */
  readonly failsWith?: { readonly name: string; readonly words: `"${string}"` }
}

export interface HouseFunction {
  /** the alias, which everything calls */
  readonly live: IFunction
  /** the function, whose runs are counted and logged whichever version ran */
  readonly run: LambdaFunction
}

/** A function with a role of its own, a log of its own and an alarm that says what its errors mean. */
export function houseFunction(parent: Construct, id: string, props: FunctionProps): HouseFunction {
  const scope = new Construct(parent, id)
  const logGroup = new LogGroup(scope, 'Log', {
    retention: props.logDays,
    removalPolicy: RemovalPolicy.DESTROY,
  })
  const run = new LambdaFunction(scope, 'Function', {
    description: props.description,
    runtime: Runtime.NODEJS_24_X,
    architecture: Architecture.ARM_64,
    code: Code.fromAsset(`${props.bundles}/${props.name}`),
    handler: 'index.handler',
    memorySize: props.memoryMegabytes,
    timeout: props.timeout,
    tracing: Tracing.DISABLED,
    environment: props.environment,
    ...(props.reserved === undefined ? {} : { reservedConcurrentExecutions: props.reserved }),
    // an alias can be pointed back, by hand and at night, to a version that stays
    currentVersionOptions: { removalPolicy: RemovalPolicy.RETAIN },
    logGroup,
    role: roleOf(scope, {
      WriteLog: [['logs:CreateLogStream', 'logs:PutLogEvents'], [logGroup.logGroupArn]],
      ...props.grants,
    }),
  })
  timesSaid(logGroup, { name: doesNotRead, words: `"${alarmWords.doesNotRead}"` })
  const [operators, means] = [props.operators, props.errorsMean]
  const errors = alarm(scope, 'Errors', {
    operators,
    bell: any(run.metricErrors({ period: everyFiveMinutes })),
    means,
  })
  const failures =
    props.failsWith === undefined
      ? []
      : [alarm(scope, 'Failures', { operators, bell: any(timesSaid(logGroup, props.failsWith)), means })]
  return { run, live: released(scope, props.releases, { run, alarms: [errors, ...failures] }) }
}

function roleOf(scope: Construct, grants: Grants): Role {
  const statements = Object.entries(grants).map(
    ([sid, [actions, resources]]) =>
      new PolicyStatement({ sid, effect: Effect.ALLOW, actions: [...actions], resources: [...resources] }),
  )
  const role = new Role(scope, 'Role', {
    assumedBy: trusting(scope, 'lambda.amazonaws.com'),
    inlinePolicies: { Grants: new PolicyDocument({ statements }) },
  })
  acknowledge(role, 'AwsSolutions-IAM5', 'the streams of its own log group have no names before they are made')
  return role
}
