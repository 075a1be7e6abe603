/** Every item of a table, read by whoever runs a command. */
import { type DynamoDBDocumentClient, paginateScan } from '@aws-sdk/lib-dynamodb'
import type { Item } from '../store/table.ts'

export const scanOf = (client: DynamoDBDocumentClient, name: string) =>
  async function* (): AsyncGenerator<Item> {
    const pages = paginateScan({ client }, { TableName: name, ConsistentRead: true })
    for await (const { Items = [] } of pages) yield* Items as Item[]
  }
