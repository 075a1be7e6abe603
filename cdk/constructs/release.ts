/**
 * Versions of functions, and the alias that everything calls. A deployment moves the alias to the new version all at
 * once, since builds side by side would judge a stick in two ways; where an alarm of the function rings meanwhile, the
 * alias goes back.
 */
import { ArnFormat, Stack } from 'aws-cdk-lib'
import type { Alarm } from 'aws-cdk-lib/aws-cloudwatch'
import { CfnDeploymentGroup, LambdaApplication, LambdaDeploymentConfig } from 'aws-cdk-lib/aws-codedeploy'
import { PolicyStatement, Role } from 'aws-cdk-lib/aws-iam'
import {
  Alias,
  type CfnAlias,
  type IFunction,
  type IVersion,
  type Function as LambdaFunction,
} from 'aws-cdk-lib/aws-lambda'
import { Construct } from 'constructs'
import { acknowledge } from './accept.ts'
import { trusting } from './trust.ts'

export const liveAlias = 'live'

export interface Releases {
  readonly application: LambdaApplication
  readonly role: Role
}

export function theReleases(parent: Construct): Releases {
  const scope = new Construct(parent, 'Releases')
  const role = new Role(scope, 'Role', { assumedBy: trusting(scope, 'codedeploy.amazonaws.com') })
  role.addToPolicy(new PolicyStatement({ sid: 'SeeAlarms', actions: ['cloudwatch:DescribeAlarms'], resources: ['*'] }))
  acknowledge(role, 'AwsSolutions-IAM5[Resource::*]', 'alarms can only be described all at once')
  return { application: new LambdaApplication(scope, 'Application'), role }
}

interface Released {
  readonly run: LambdaFunction
  /** alarms that take the new version back */
  readonly alarms: readonly Alarm[]
}

export function released(scope: Construct, { application, role }: Releases, { run, alarms }: Released): IFunction {
  const live = new Alias(scope, 'Live', { aliasName: liveAlias, version: run.currentVersion as IVersion })
  const { deploymentConfigName } = LambdaDeploymentConfig.ALL_AT_ONCE
  const group = new CfnDeploymentGroup(scope, 'Release', {
    applicationName: application.applicationName,
    serviceRoleArn: role.roleArn,
    deploymentConfigName,
    deploymentStyle: { deploymentType: 'BLUE_GREEN', deploymentOption: 'WITH_TRAFFIC_CONTROL' },
    alarmConfiguration: { enabled: true, alarms: alarms.map(({ alarmName }) => ({ name: alarmName })) },
    autoRollbackConfiguration: {
      enabled: true,
      events: ['DEPLOYMENT_FAILURE', 'DEPLOYMENT_STOP_ON_ALARM', 'DEPLOYMENT_STOP_ON_REQUEST'],
    },
  })
  const made = live.node.defaultChild as CfnAlias
  made.cfnOptions.updatePolicy = {
    codeDeployLambdaAliasUpdate: { applicationName: application.applicationName, deploymentGroupName: group.ref },
  }
  // the alias by its name: its own reference would lead from the role back to the alias that waits for the role
  const named = Stack.of(scope).formatArn({
    service: 'lambda',
    resource: 'function',
    resourceName: `${run.functionName}:${liveAlias}`,
    arnFormat: ArnFormat.COLON_RESOURCE_NAME,
  })
  role.addToPolicy(
    new PolicyStatement({
      sid: `Move${run.node.path.replaceAll(/[^A-Za-z0-9]/g, '')}`,
      actions: ['lambda:GetAlias', 'lambda:UpdateAlias', 'lambda:GetProvisionedConcurrencyConfig'],
      resources: [named],
    }),
  )
  // types of the CDK do not know `exactOptionalPropertyTypes`
  return live as IFunction
}
