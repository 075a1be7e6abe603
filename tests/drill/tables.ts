/** Tables of the local stack as a restore meets them: a backup of one, its loss, and what is made of the backup. */
import {
  BatchWriteItemCommand,
  CreateTableCommand,
  type CreateTableCommandInput,
  DeleteTableCommand,
  DescribeTableCommand,
  DynamoDBClient,
  paginateScan,
  type ScanCommandOutput,
  UpdateTableCommand,
} from '@aws-sdk/client-dynamodb'
import { DynamoDBDocumentClient } from '@aws-sdk/lib-dynamodb'
import { scanOf } from '../../functions/restore/scan.ts'
import { openTable } from '../../functions/store/table.ts'

type Items = NonNullable<ScanCommandOutput['Items']>

/** What a backup holds: the items, and the keys and indexes that they lie by. */
export interface Backup {
  readonly items: Items
  readonly shape: Omit<CreateTableCommandInput, 'TableName'>
}

export function tablesAt(endpoint: string) {
  const client = new DynamoDBClient({
    endpoint,
    region: 'us-east-1',
    credentials: { accessKeyId: 'local', secretAccessKey: 'local' },
  })

  async function backup(TableName: string): Promise<Backup> {
    const items: Items = []
    for await (const page of paginateScan({ client }, { TableName })) items.push(...(page.Items ?? []))
    const { Table } = await client.send(new DescribeTableCommand({ TableName }))
    const indexes = Table?.GlobalSecondaryIndexes?.map(({ IndexName, KeySchema, Projection }) => ({
      IndexName,
      KeySchema,
      Projection,
    }))
    return {
      items,
      shape: {
        KeySchema: Table?.KeySchema,
        AttributeDefinitions: Table?.AttributeDefinitions,
        GlobalSecondaryIndexes: indexes,
        BillingMode: 'PAY_PER_REQUEST',
      },
    }
  }

  async function lose(TableName: string): Promise<void> {
    await client.send(new UpdateTableCommand({ TableName, DeletionProtectionEnabled: false }))
    await client.send(new DeleteTableCommand({ TableName }))
  }

  /** A table brought back has no stream until somebody switches one on. */
  async function bringBack({ items, shape }: Backup, TableName: string): Promise<void> {
    await client.send(new CreateTableCommand({ ...shape, TableName }))
    for (let i = 0; i < items.length; i += 25) {
      const puts = items.slice(i, i + 25).map((Item) => ({ PutRequest: { Item } }))
      await client.send(new BatchWriteItemCommand({ RequestItems: { [TableName]: puts } }))
    }
  }

  async function streamOn(TableName: string): Promise<void> {
    const StreamSpecification = { StreamEnabled: true, StreamViewType: 'NEW_AND_OLD_IMAGES' } as const
    await client.send(new UpdateTableCommand({ TableName, StreamSpecification }))
  }

  function open(name: string) {
    const document = DynamoDBDocumentClient.from(client, { marshallOptions: { removeUndefinedValues: true } })
    return { table: openTable(document, name), scan: scanOf(document, name) }
  }

  return { backup, lose, bringBack, streamOn, open }
}
