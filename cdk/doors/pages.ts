import { Duration } from 'aws-cdk-lib'
import { HttpNoneAuthorizer, HttpRoute, HttpRouteKey } from 'aws-cdk-lib/aws-apigatewayv2'
import { HttpLambdaIntegration } from 'aws-cdk-lib/aws-apigatewayv2-integrations'
import { Secret } from 'aws-cdk-lib/aws-secretsmanager'
import { Construct } from 'constructs'
import { alarmWords } from '../../functions/store/table-shape.ts'
import { acknowledge } from '../constructs/accept.ts'
import { houseFunction } from '../constructs/function.ts'
import type { People } from '../people.ts'
import type { Shared } from '../shared.ts'
import { askedByPeople, readsIndexes, readsTable } from '../table.ts'
import { uploadGrants } from './import.ts'

/** Whatever address no other door has. A page asks for a session itself: only it can lead to the sign-in and back. */
export function pagesDoor(parent: Construct, shared: Shared, at: People['signIn']): void {
  const scope = new Construct(parent, 'Pages')
  const { table, api, addresses, settings } = shared
  const { live } = houseFunction(scope, 'Door', {
    ...shared,
    name: 'pages',
    description: 'Signs people in, and shows the roster, sticks and notices',
    timeout: Duration.seconds(20),
    memoryMegabytes: 1024,
    environment: {
      TABLE_NAME: table.tableName,
      UPLOADS_BUCKET: shared.uploads.bucketName,
      FEEDS_URL: addresses.feeds,
      ORIGIN_URL: addresses.pages,
      REQUESTS_PER_SECOND: settings.requestsPerSecond,
      ISSUER_URL: at.issuer,
      SIGN_IN_CLIENT: at.clientId,
      SIGN_IN_SCOPE: at.scope,
      SIGN_IN_CLAIMS: JSON.stringify(at.claims),
      ...(at.poolRegion === undefined ? {} : { POOL_REGION: at.poolRegion }),
      // a secret is read where something else of the function changes
      SEALS_CHANGED_ON: settings.sealsChangedOn,
      SEAL_NOW: sealedBy(scope, 'SealNow', 'Seals the sessions of the pages'),
      SEAL_BEFORE: sealedBy(scope, 'SealBefore', 'What sealed sessions before: they open by it until they are over'),
    },
    grants: {
      ...readsTable(table),
      ...readsIndexes(table, ...askedByPeople),
      WriteTable: [['dynamodb:PutItem', 'dynamodb:UpdateItem'], [table.tableArn]],
      ...uploadGrants(scope, shared),
    },
    failsWith: { name: 'PagesFailed', words: `"${alarmWords.pageFailed}"` },
    errorsMean: {
      meansForPeople:
        'managers cannot see what is overdue or on hold, or nobody can sign in; mails go out all the same.',
      firstThingToDo: 'read the log of the pages for the first error, and see whether the sign-in service answers.',
    },
  })
  const route = new HttpRoute(scope, 'Default', {
    httpApi: api,
    routeKey: HttpRouteKey.DEFAULT,
    integration: new HttpLambdaIntegration('Pages', live),
    authorizer: new HttpNoneAuthorizer(),
  })
  acknowledge(route, 'AwsSolutions-APIG4', 'each page asks for a session itself and leads to the sign-in without one')
}

/** The value is put in place of the reference when the function is deployed, so that no page waits for it. */
function sealedBy(scope: Construct, id: string, description: string): string {
  const secret = new Secret(scope, id, {
    description,
    generateSecretString: { passwordLength: 64, excludePunctuation: true },
  })
  acknowledge(
    secret,
    'AwsSolutions-SMG4',
    'changed by hand, in two steps (cdk/README.md): a change by itself ends sessions',
  )
  return secret.secretValue.unsafeUnwrap()
}
