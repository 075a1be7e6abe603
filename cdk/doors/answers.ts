import { Duration } from 'aws-cdk-lib'
import { HttpMethod, HttpNoneAuthorizer } from 'aws-cdk-lib/aws-apigatewayv2'
import { HttpLambdaIntegration } from 'aws-cdk-lib/aws-apigatewayv2-integrations'
import { Construct } from 'constructs'
import { alarmWords } from '../../functions/store/table-shape.ts'
import { acknowledge } from '../constructs/accept.ts'
import { houseFunction } from '../constructs/function.ts'
import type { Shared } from '../shared.ts'
import { readsIndexes } from '../table.ts'

/** A reader in the field cannot sign in: the signature in the link opens the page, and its button confirms. */
export function answersDoor(parent: Construct, shared: Shared): void {
  const scope = new Construct(parent, 'Answers')
  const { table, api } = shared
  const { live } = houseFunction(scope, 'Door', {
    ...shared,
    name: 'answers',
    description: 'Takes the confirmation that a notice was read',
    timeout: Duration.seconds(10),
    memoryMegabytes: 512,
    environment: { TABLE_NAME: table.tableName },
    grants: {
      ReadNotices: [['dynamodb:GetItem', 'dynamodb:BatchGetItem'], [table.tableArn]],
      // Entries of people say whether the reader has left.
      ReadPeople: [['dynamodb:Query'], [table.tableArn]],
      // what else waits for the reader
      ...readsIndexes(table, 'notices-by-mailbox'),
      MarkNotices: [['dynamodb:UpdateItem'], [table.tableArn]],
    },
    failsWith: { name: 'AnswersFailed', words: `"${alarmWords.answerFailed}"` },
    errorsMean: {
      meansForPeople: 'people cannot confirm that they have read a notice; the next person up is told in their place.',
      firstThingToDo: 'read the log of answers for the first error, and compare its time with the last deployment.',
    },
  })
  const routes = api.addRoutes({
    path: '/answers/{organisation}/{number}/{until}/{signature}',
    methods: [HttpMethod.GET, HttpMethod.HEAD, HttpMethod.POST],
    integration: new HttpLambdaIntegration('Answers', live),
    authorizer: new HttpNoneAuthorizer(),
  })
  for (const route of routes)
    acknowledge(
      route,
      'AwsSolutions-APIG4',
      'the signature in the link stands for a token, good for one notice and one purpose',
    )
}
