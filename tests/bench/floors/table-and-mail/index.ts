/** The floor of a cold start that sends mail: the clients of the table and of the mail service. */
import { DynamoDBClient } from '@aws-sdk/client-dynamodb'
import { SESClient } from '@aws-sdk/client-ses'
import { DynamoDBDocumentClient } from '@aws-sdk/lib-dynamodb'

const clients = [DynamoDBDocumentClient.from(new DynamoDBClient({})), new SESClient({})]

export const handler = async () => clients.length
