import type { Duration } from 'aws-cdk-lib'
import { Effect, PolicyDocument, PolicyStatement, Role, ServicePrincipal } from 'aws-cdk-lib/aws-iam'
import { CfnEventInvokeConfig, type Function as LambdaFunction } from 'aws-cdk-lib/aws-lambda'
import { CfnSchedule } from 'aws-cdk-lib/aws-scheduler'
import type { Queue } from 'aws-cdk-lib/aws-sqs'
import { Construct } from 'constructs'

export interface ScheduleProps {
  readonly description: string
  readonly expression: string
  readonly run: LambdaFunction
  readonly payload: object
  readonly deadLetters: Queue
  /** a run that could not start by then is given up: the next one does its work */
  readonly worthStartingFor: Duration
}

/** Runs a function by the clock (UTC). What could not be started ends in the dead letters. */
export function schedule(parent: Construct, id: string, props: ScheduleProps): void {
  const scope = new Construct(parent, id)
  const mayStart = new PolicyDocument({
    statements: [
      new PolicyStatement({
        effect: Effect.ALLOW,
        actions: ['lambda:InvokeFunction'],
        resources: [props.run.functionArn],
      }),
      new PolicyStatement({
        effect: Effect.ALLOW,
        actions: ['sqs:SendMessage'],
        resources: [props.deadLetters.queueArn],
      }),
    ],
  })
  const role = new Role(scope, 'Role', {
    assumedBy: new ServicePrincipal('scheduler.amazonaws.com'),
    inlinePolicies: { MayStart: mayStart },
  })
  new CfnSchedule(scope, 'Schedule', {
    description: props.description,
    scheduleExpression: props.expression,
    scheduleExpressionTimezone: 'UTC',
    flexibleTimeWindow: { mode: 'OFF' },
    state: 'ENABLED',
    target: {
      arn: props.run.functionArn,
      roleArn: role.roleArn,
      input: JSON.stringify(props.payload),
      deadLetterConfig: { arn: props.deadLetters.queueArn },
      retryPolicy: { maximumRetryAttempts: 10, maximumEventAgeInSeconds: props.worthStartingFor.toSeconds() },
    },
  })
}

/** What becomes of a run that was started and threw: tried again twice, then kept. The function's role must allow sending. */
export function keepFailedRuns(
  scope: Construct,
  run: LambdaFunction,
  deadLetters: Queue,
  worthStartingFor: Duration,
): void {
  new CfnEventInvokeConfig(scope, 'FailedRuns', {
    functionName: run.functionName,
    qualifier: '$LATEST',
    maximumRetryAttempts: 2,
    maximumEventAgeInSeconds: worthStartingFor.toSeconds(),
    destinationConfig: { onFailure: { destination: deadLetters.queueArn } },
  })
}
