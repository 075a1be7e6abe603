/**
 * Addresses by which people and programs reach the service. They stand in mails, calendars and links for years, so a
 * stage has hosts of its own; an API of its own making would take them with it when it goes.
 */
import { CfnOutput, type Stack } from 'aws-cdk-lib'
import { ApiMapping, DomainName, type HttpApi, type HttpStage } from 'aws-cdk-lib/aws-apigatewayv2'
import { Certificate } from 'aws-cdk-lib/aws-certificatemanager'
import { Construct } from 'constructs'
import type { Settings } from './settings.ts'

/** Addresses without a slash at their end. */
export interface PublicAddresses {
  readonly pages: string
  readonly api: string
  readonly answers: string
  readonly feeds: string
}

interface Reached {
  readonly api: HttpApi
  readonly stage: HttpStage
}

export function addressesOf(
  stack: Stack,
  { api, stage }: Reached,
  { domains, certificate }: Pick<Settings, 'domains' | 'certificate'>,
): PublicAddresses {
  if (domains === null || certificate === null) {
    const own = api.apiEndpoint
    return { pages: own, api: own, answers: own, feeds: own }
  }
  const scope = new Construct(stack, 'Addresses')
  const certified = Certificate.fromCertificateArn(scope, 'Certificate', certificate)
  for (const host of new Set(Object.values(domains))) {
    // the host is part of the id: another host is another resource, and the one before is seen to go
    const made = new DomainName(scope, host, { domainName: host, certificate: certified })
    new ApiMapping(scope, `${host} leads here`, { api, domainName: made, stage })
    new CfnOutput(scope, `${host} record`, {
      value: `${host} CNAME ${made.regionalDomainName}`,
      description: 'Hand it to whoever owns the domain',
    })
  }
  const at = (host: string) => `https://${host}`
  return { pages: at(domains.pages), api: at(domains.api), answers: at(domains.answers), feeds: at(domains.feeds) }
}
