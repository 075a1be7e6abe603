import { Duration, RemovalPolicy } from 'aws-cdk-lib'
import { AccessLogFormat } from 'aws-cdk-lib/aws-apigateway'
import {
  HttpApi,
  HttpMethod,
  HttpNoneAuthorizer,
  HttpStage,
  LogGroupLogDestination,
} from 'aws-cdk-lib/aws-apigatewayv2'
import { HttpJwtAuthorizer } from 'aws-cdk-lib/aws-apigatewayv2-authorizers'
import { HttpLambdaIntegration } from 'aws-cdk-lib/aws-apigatewayv2-integrations'
import { LogGroup } from 'aws-cdk-lib/aws-logs'
import { Construct } from 'constructs'
import { alarmWords } from '../../functions/store/table-shape.ts'
import { acknowledge } from '../constructs/accept.ts'
import { alarm, everyFiveMinutes, share } from '../constructs/alarm.ts'
import { houseFunction } from '../constructs/function.ts'
import type { People } from '../people.ts'
import type { Settings } from '../settings.ts'
import type { Shared } from '../shared.ts'
import { askedByPeople, readsIndexes, readsTable } from '../table.ts'
import { uploadGrants } from './import.ts'

/** Claims that tell who called, as far as they name nobody. */
export interface LoggedClaims {
  /** the claim of the client */
  readonly client: string
  /** a subject of our own pool is a number that says nothing; another provider's may be a mail address */
  readonly isSubjectNameless: boolean
}

/**
 * Access logs name the route and not the path: the address of a feed is a secret. Errors of the authoriser say why a
 * call was answered 401; which client and whose token, a number, say to whom it happens.
 */
function callsByRoute({ client, isSubjectNameless }: LoggedClaims): AccessLogFormat {
  const names = [
    ...['requestId', 'requestTime', 'identity.sourceIp', 'routeKey', 'protocol', 'status', 'responseLength'],
    ...['responseLatency', 'integrationLatency', 'integrationErrorMessage', 'error.message', 'authorizer.error'],
    `authorizer.claims.${client}`,
    ...(isSubjectNameless ? ['authorizer.claims.sub'] : []),
  ]
  return AccessLogFormat.custom(JSON.stringify(Object.fromEntries(names.map((name) => [name, `$context.${name}`]))))
}

interface HttpApiProps extends Pick<Settings, 'domains' | 'logDays'> {
  readonly claims: LoggedClaims
}

/** Made before the functions, since mails link to it. No cross-origin use: the pages come from the same origin. */
export function httpApi(parent: Construct, { domains, logDays, claims }: HttpApiProps) {
  const scope = new Construct(parent, 'Http')
  const api = new HttpApi(scope, 'Api', {
    description: 'Quarterturn',
    createDefaultStage: false,
    // an address of the gateway's making is for nobody to keep, where the API has hosts of its own
    disableExecuteApiEndpoint: domains !== null,
  })
  // mails and calendars that were sent lead to it
  api.applyRemovalPolicy(RemovalPolicy.RETAIN)
  const accessLog = new LogGroup(scope, 'AccessLog', {
    retention: logDays,
    removalPolicy: RemovalPolicy.DESTROY,
  })
  const stage = new HttpStage(scope, 'Stage', {
    httpApi: api,
    stageName: '$default',
    autoDeploy: true,
    throttle: { rateLimit: 500, burstLimit: 1000 },
    accessLogSettings: { destination: new LogGroupLogDestination(accessLog), format: callsByRoute(claims) },
  })
  return { api, stage }
}

export function apiDoor(parent: Construct, shared: Shared, people: People): void {
  const scope = new Construct(parent, 'Rest')
  const { table, api } = shared
  const { live } = houseFunction(scope, 'Door', {
    ...shared,
    name: 'api',
    description: 'Records facts and answers for the state of sticks',
    timeout: Duration.seconds(20),
    memoryMegabytes: 1024,
    environment: {
      TABLE_NAME: table.tableName,
      UPLOADS_BUCKET: shared.uploads.bucketName,
      FEEDS_URL: shared.addresses.feeds,
      // codes on papers lead to the pages
      ORIGIN_URL: shared.addresses.pages,
      REQUESTS_PER_SECOND: shared.settings.requestsPerSecond,
      TOKEN_CLIENTS: people.clients.join(' '),
      TOKEN_SCOPE: people.scope,
      TOKEN_CLAIMS: JSON.stringify(people.claims),
    },
    grants: {
      ...readsTable(table),
      ...readsIndexes(table, ...askedByPeople),
      WriteTable: [['dynamodb:PutItem', 'dynamodb:UpdateItem'], [table.tableArn]],
      ...uploadGrants(scope, shared),
    },
    failsWith: { name: 'RequestsFailed', words: `"${alarmWords.requestFailed}"` },
    errorsMean: {
      meansForPeople: 'bench tests, defects and uses may not be recorded, and nobody can look up a stick.',
      firstThingToDo: 'read the log of the api for the first error, and compare its time with the last deployment.',
    },
  })
  const perFiveMinutes = { period: everyFiveMinutes, statistic: 'Sum' }
  const failed = share(
    { part: api.metricServerError(perFiveMinutes), whole: api.metricCount(perFiveMinutes) },
    5,
    everyFiveMinutes,
  )
  alarm(scope, 'FailingCalls', {
    operators: shared.operators,
    bell: failed,
    means: {
      meansForPeople:
        'one call in twenty or more is answered with a failure; facts are not recorded, links do not open.',
      firstThingToDo: 'see in the access log which routes fail, then read the log of the function behind them.',
    },
  })
  const integration = new HttpLambdaIntegration('Door', live)
  const signedIn = new HttpJwtAuthorizer('SignedIn', people.issuer, { jwtAudience: [...people.clients] })
  // without the scope a token about the person would open the door too
  const withToken = { authorizer: signedIn, authorizationScopes: [people.scope] }
  api.addRoutes({ path: '/v1/{proxy+}', methods: [HttpMethod.ANY], integration, ...withToken })
  const contract = api.addRoutes({
    path: '/v1/openapi.json',
    methods: [HttpMethod.GET, HttpMethod.HEAD],
    integration,
    authorizer: new HttpNoneAuthorizer(),
  })
  for (const route of contract)
    acknowledge(route, 'AwsSolutions-APIG4', 'the contract of the API is public and holds no data')
}
