import { Stack } from 'aws-cdk-lib'
import { ServicePrincipal } from 'aws-cdk-lib/aws-iam'
import type { Construct } from 'constructs'

/**
 * A service that may take a role on behalf of this account and no other (IAM User Guide, "The confused deputy
 * problem").
 */
export const trusting = (scope: Construct, service: string): ServicePrincipal =>
  new ServicePrincipal(service, { conditions: { StringEquals: { 'aws:SourceAccount': Stack.of(scope).account } } })
