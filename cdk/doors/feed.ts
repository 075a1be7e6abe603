import { Duration } from 'aws-cdk-lib'
import { HttpMethod, HttpNoneAuthorizer } from 'aws-cdk-lib/aws-apigatewayv2'
import { HttpLambdaIntegration } from 'aws-cdk-lib/aws-apigatewayv2-integrations'
import { Construct } from 'constructs'
import { alarmWords } from '../../functions/store/table-shape.ts'
import { acknowledge } from '../constructs/accept.ts'
import { houseFunction } from '../constructs/function.ts'
import type { Mail } from '../mail.ts'
import type { Shared } from '../shared.ts'
import { readsIndexes, readsTable } from '../table.ts'

/** Calendars fetch it by themselves and cannot sign in: the secret in the address opens it, and it can only read. */
export function feedDoor(parent: Construct, shared: Shared, mail: Mail): void {
  const scope = new Construct(parent, 'Feed')
  const { table, api } = shared
  const { live } = houseFunction(scope, 'Door', {
    ...shared,
    name: 'feed',
    description: 'Answers calendars with the due dates of a crew',
    timeout: Duration.seconds(20),
    memoryMegabytes: 512,
    environment: { TABLE_NAME: table.tableName, MAIL_FROM: mail.from },
    grants: {
      ...readsTable(table),
      ...readsIndexes(table, 'by-crew-standing', 'by-depot-next-tell'),
    },
    failsWith: { name: 'FeedsFailed', words: `"${alarmWords.feedFailed}"` },
    errorsMean: {
      meansForPeople: 'calendars of crews may show due dates that have moved since; mails go out all the same.',
      firstThingToDo: 'read the log of the feed for the first error, and compare its time with the last deployment.',
    },
  })
  const routes = api.addRoutes({
    path: '/feeds/{file}',
    methods: [HttpMethod.GET, HttpMethod.HEAD],
    integration: new HttpLambdaIntegration('Feed', live),
    authorizer: new HttpNoneAuthorizer(),
  })
  for (const route of routes)
    acknowledge(
      route,
      'AwsSolutions-APIG4',
      'calendars cannot sign in: the secret in the address stands for a token, and can be revoked',
    )
}
