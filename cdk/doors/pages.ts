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
    description: 'Shows the roster, sticks and notices, and takes what people enter there',
    timeout: Duration.seconds(20),
    memoryMegabytes: 512,
    environment: { TABLE_NAME: table.tableName, PAGES_ORGANISATION: organisation, FEEDS_URL: api.apiEndpoint },
    grants: {
      ...readsTable(table),
      ReadIndexes: [['dynamodb:Query'], everyIndexArn(table)],
      WriteTable: [['dynamodb:PutItem', 'dynamodb:UpdateItem'], [table.tableArn]],
    },
    errorsMean: {
      meansForPeople: 'managers cannot look up the roster.',
      firstThingToDo: 'read the log of the pages.',
    },
  })
  const integration = new HttpLambdaIntegration('Pages', handler)
  const open = { authorizer: new HttpNoneAuthorizer(), integration }
  const acts = api.addRoutes({ ...open, path: '/sticks/{id}/report', methods: [HttpMethod.ANY] })
  for (const route of acts) acknowledge(route, 'AwsSolutions-APIG4', 'on the local stack only')
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
