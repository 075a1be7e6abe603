/** The floor of a cold start that works on the table and in a bucket: the clients of both, and nothing else. */
import { DynamoDBClient } from '@aws-sdk/client-dynamodb'
import { S3Client } from '@aws-sdk/client-s3'
import { DynamoDBDocumentClient } from '@aws-sdk/lib-dynamodb'

const clients = [DynamoDBDocumentClient.from(new DynamoDBClient({})), new S3Client({})]

export const handler = async () => clients.length
