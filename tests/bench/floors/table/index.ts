/** The floor of a cold start: builds the clients of a function that works on the table, and does nothing else. */
import { DynamoDBClient } from '@aws-sdk/client-dynamodb'
import { DynamoDBDocumentClient } from '@aws-sdk/lib-dynamodb'

const table = DynamoDBDocumentClient.from(new DynamoDBClient({}))

export const handler = async () => typeof table
