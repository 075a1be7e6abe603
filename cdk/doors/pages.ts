import { Duration } from 'aws-cdk-lib'
import { HttpMethod, HttpNoneAuthorizer } from 'aws-cdk-lib/aws-apigatewayv2'
import { HttpLambdaIntegration } from 'aws-cdk-lib/aws-apigatewayv2-integrations'
import { Construct } from 'constructs'
import { acknowledge } from '../constructs/accept.ts'
import { houseFunction } from '../constructs/function.ts'
import type { Shared } from '../shared.ts'
import { everyIndexArn, readsTable } from '../table.ts'

const lists = ['/', '/roster', '/outlook', '/notices', '/instruments', '/proposals']
const paths = [...lists, '/instruments/{id}', '/sticks/{id}', '/sticks/{id}/bench-tests/{factId}']

/** Read by whoever reaches them, since nobody can sign in to them yet: made for the local stack, never deployed. */
export function openPages(parent: Construct, shared: Shared, organisation: string): void {
  const scope = new Construct(parent, 'Pages')
  const { table, api } = shared
  const handler = houseFunction(scope, 'Door', {
    ...shared,
    name: 'pages',
    description: 'Shows the roster, sticks and notices',
    timeout: Duration.seconds(20),
    memoryMegabytes: 512,
    environment: { TABLE_NAME: table.tableName, PAGES_ORGANISATION: organisation },
    grants: {
      ...readsTable(table),
      ReadIndexes: [['dynamodb:Query'], everyIndexArn(table)],
    },
    errorsMean: {
      meansForPeople: 'managers cannot look up the roster.',
      firstThingToDo: 'read the log of the pages.',
    },
  })
  const integration = new HttpLambdaIntegration('Pages', handler)
  for (const path of paths) {
    const options = {
      path,
      methods: [HttpMethod.GET, HttpMethod.HEAD],
      integration,
      authorizer: new HttpNoneAuthorizer(),
    }
    for (const route of api.addRoutes(options)) acknowledge(route, 'AwsSolutions-APIG4', 'on the local stack only')
  }
}
