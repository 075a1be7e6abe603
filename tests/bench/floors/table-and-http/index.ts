/** The floor of a cold start that answers HTTP: the table's clients, and a router without a route. */
import { DynamoDBClient } from '@aws-sdk/client-dynamodb'
import { DynamoDBDocumentClient } from '@aws-sdk/lib-dynamodb'
import { Hono } from 'hono'
import { handle } from 'hono/aws-lambda'

DynamoDBDocumentClient.from(new DynamoDBClient({}))

export const handler = handle(new Hono())
