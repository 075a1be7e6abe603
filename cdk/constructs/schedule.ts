import type { Duration } from 'aws-cdk-lib'
import { Effect, PolicyDocument, PolicyStatement, Role } from 'aws-cdk-lib/aws-iam'
import { CfnEventInvokeConfig, type IFunction } from 'aws-cdk-lib/aws-lambda'
import { CfnSchedule } from 'aws-cdk-lib/aws-scheduler'
import type { Queue } from 'aws-cdk-lib/aws-sqs'
import { Construct } from 'constructs'
import { type AlarmText, absence, alarm, timesSaid } from './alarm.ts'
import { type FunctionProps, type HouseFunction, houseFunction } from './function.ts'
import { liveAlias } from './release.ts'
import { trusting } from './trust.ts'

export interface ScheduledFunctionProps extends FunctionProps {
  readonly runs: {
    readonly description: string
    /** the times of runs, by the clock of UTC */
    readonly expression: string
    /** the time between two runs by the expression */
    readonly every: Duration
    readonly payload: object
    /** a run that could not start by then is given up: the next one does its work */
    readonly worthStartingFor: Duration
  }
  /** keeps what could not be started, and runs that failed */
  readonly missedRuns: Queue
  readonly silence: {
    /** rings when it has not run for so long, as where its schedule was switched off */
    readonly rings: Duration
    readonly means: AlarmText
    /** words in the log of each run by the clock, where others start the function too */
    readonly words?: `"${string}"`
  }
}

/** A function that the clock runs. */
export function scheduledFunction(scope: Construct, props: ScheduledFunctionProps): HouseFunction {
  const { missedRuns, runs, silence, operators } = props
  const { run, live } = houseFunction(scope, 'Door', {
    ...props,
    grants: { ...props.grants, KeepFailedRuns: [['sqs:SendMessage'], [missedRuns.queueArn]] },
  })
  keepFailedRuns(scope, { run, live }, { deadLetters: missedRuns, worthStartingFor: runs.worthStartingFor })
  schedule(scope, live, props)
  const heard =
    silence.words === undefined
      ? run.metricInvocations({ period: runs.every })
      : timesSaid(run.logGroup, { name: `${scope.node.id}Runs`, words: silence.words }, runs.every)
  const bell = absence(heard, silence.rings.toSeconds() / runs.every.toSeconds())
  alarm(scope, 'Silent', { operators, bell, means: silence.means })
  return { run, live }
}

function schedule(parent: Construct, live: IFunction, { runs, missedRuns }: ScheduledFunctionProps): void {
  const scope = new Construct(parent, 'ByTheClock')
  const mayStart = new PolicyDocument({
    statements: [
      new PolicyStatement({ effect: Effect.ALLOW, actions: ['lambda:InvokeFunction'], resources: [live.functionArn] }),
      new PolicyStatement({ effect: Effect.ALLOW, actions: ['sqs:SendMessage'], resources: [missedRuns.queueArn] }),
    ],
  })
  const role = new Role(scope, 'Role', {
    assumedBy: trusting(scope, 'scheduler.amazonaws.com'),
    inlinePolicies: { MayStart: mayStart },
  })
  new CfnSchedule(scope, 'Schedule', {
    description: runs.description,
    scheduleExpression: runs.expression,
    scheduleExpressionTimezone: 'UTC',
    flexibleTimeWindow: { mode: 'OFF' },
    state: 'ENABLED',
    target: {
      arn: live.functionArn,
      roleArn: role.roleArn,
      input: JSON.stringify(runs.payload),
      deadLetterConfig: { arn: missedRuns.queueArn },
      retryPolicy: { maximumRetryAttempts: 10, maximumEventAgeInSeconds: runs.worthStartingFor.toSeconds() },
    },
  })
}

/** A run that threw is tried again twice and then kept. The function's role must allow sending. */
export function keepFailedRuns(
  scope: Construct,
  { run, live }: HouseFunction,
  { deadLetters, worthStartingFor }: { readonly deadLetters: Queue; readonly worthStartingFor: Duration },
): void {
  const configured = new CfnEventInvokeConfig(scope, 'FailedRuns', {
    functionName: run.functionName,
    qualifier: liveAlias,
    maximumRetryAttempts: 2,
    maximumEventAgeInSeconds: worthStartingFor.toSeconds(),
    destinationConfig: { onFailure: { destination: deadLetters.queueArn } },
  })
  // a configuration names the alias by its name alone, and AWS makes none for an alias that is not there
  configured.node.addDependency(live)
}
