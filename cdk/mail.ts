import { Stack } from 'aws-cdk-lib'
import { ConfigurationSet, ConfigurationSetTlsPolicy, EmailIdentity, Identity } from 'aws-cdk-lib/aws-ses'
import { Construct } from 'constructs'

export interface Mail {
  readonly from: string
  readonly configurationSet: string
  /** the identity and the configuration set: sending needs leave for both */
  readonly arns: readonly string[]
}

export function theMail(parent: Construct, domain: string): Mail {
  const scope = new Construct(parent, 'Mail')
  const configurationSet = new ConfigurationSet(scope, 'ConfigurationSet', {
    tlsPolicy: ConfigurationSetTlsPolicy.REQUIRE,
    reputationMetrics: true,
  })
  new EmailIdentity(scope, 'Identity', { identity: Identity.domain(domain), configurationSet })
  const arn = (resource: string, resourceName: string) =>
    Stack.of(scope).formatArn({ service: 'ses', resource, resourceName })
  return {
    from: `notices@${domain}`,
    configurationSet: configurationSet.configurationSetName,
    arns: [arn('identity', domain), arn('configuration-set', configurationSet.configurationSetName)],
  }
}
