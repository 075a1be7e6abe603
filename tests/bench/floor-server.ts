/**
 * What no way of recording a fact could leave out, as a plain server: a request, and one transaction of the same items.
 */
import { createServer, type IncomingMessage, type ServerResponse } from 'node:http'
import type { AddressInfo } from 'node:net'
import { buffer } from 'node:stream/consumers'
import {
  CreateTableCommand,
  type CreateTableCommandInput,
  DescribeTableCommand,
  DynamoDBClient,
} from '@aws-sdk/client-dynamodb'
import {
  DynamoDBDocumentClient,
  paginateScan,
  type ScanCommandOutput,
  TransactWriteCommand,
} from '@aws-sdk/lib-dynamodb'
import type { LocalStack } from '../local-stack.ts'

export interface FloorServer {
  /** until the answer is there */
  readonly post: (body: object) => Promise<void>
  readonly stop: () => Promise<void>
}

export interface Floor {
  /**
   * of whose newest fact the items are written again, each time under keys of their own and about a stick of
   * its own: where many lie at one place of an index the table grows slow, which would flatter us */
  readonly stickId: string
  /** what must be among them */
  readonly entities: readonly string[]
  /** what it does besides, once it has answered */
  readonly afterwards?: () => Promise<void>
}

/**
 * The items go into a table of the same keys, indexes and stream: a plain one would write each of them once where ours
 * is written to every list it stands in and to the stream that others hear of it by.
 */
export async function floorServer(stack: LocalStack, { stickId, entities, afterwards }: Floor): Promise<FloorServer> {
  const { endpoint, name } = stack.parts.table
  const client = new DynamoDBClient({
    endpoint,
    region: 'local',
    credentials: { accessKeyId: 'local', secretAccessKey: 'local' },
  })
  const document = DynamoDBDocumentClient.from(client, { marshallOptions: { removeUndefinedValues: true } })
  const items = await itemsOf(document, name, stickId)
  const missing = entities.filter((entity) => !items.some((item) => item.entity === entity))
  if (missing.length > 0) throw new Error(`of a fact of ${stickId} there is no ${missing.join(', ')}`)
  const text = JSON.stringify(items)
  const TableName = await tableLike(client, name)
  let count = 0

  async function take(message: IncomingMessage, answer: ServerResponse): Promise<void> {
    const sent = JSON.parse((await buffer(message)).toString())
    count += 1
    const own = JSON.parse(text.replaceAll(stickId, `${stickId}-${count}`)) as typeof items
    const TransactItems = own.map((item) => ({
      Put: { TableName, Item: { ...item, pk: `${item.pk} ${count}` }, ConditionExpression: 'attribute_not_exists(pk)' },
    }))
    await document.send(new TransactWriteCommand({ TransactItems }))
    answer.writeHead(201).end(JSON.stringify(sent))
    await afterwards?.()
  }

  const server = createServer((message, answer) => {
    take(message, answer).catch((error) => answer.writeHead(500).end(String(error)))
  })
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve))
  const address = `http://127.0.0.1:${(server.address() as AddressInfo).port}`

  async function post(body: object): Promise<void> {
    const answer = await fetch(address, { method: 'POST', body: JSON.stringify(body) })
    const said = await answer.text()
    if (answer.status !== 201) throw new Error(`the floor: ${answer.status} ${said}`)
  }

  async function stop(): Promise<void> {
    client.destroy()
    server.closeAllConnections()
    await new Promise((resolve) => server.close(resolve))
  }

  return { post, stop }
}

let tables = 0

/** A table of the same keys, indexes and stream, which nobody reads. */
export async function tableLike(client: DynamoDBClient, name: string): Promise<string> {
  tables += 1
  const TableName = `${name}-floor-${tables}`
  await client.send(new CreateTableCommand({ TableName, ...(await shapeOf(client, name)) }))
  return TableName
}

async function shapeOf(client: DynamoDBClient, TableName: string): Promise<Omit<CreateTableCommandInput, 'TableName'>> {
  const { Table } = await client.send(new DescribeTableCommand({ TableName }))
  if (Table === undefined) throw new Error(`no table ${TableName}`)
  const { AttributeDefinitions, KeySchema, GlobalSecondaryIndexes = [], StreamSpecification } = Table
  return {
    BillingMode: 'PAY_PER_REQUEST',
    AttributeDefinitions,
    KeySchema,
    StreamSpecification,
    GlobalSecondaryIndexes: GlobalSecondaryIndexes.map(({ IndexName, KeySchema, Projection }) => ({
      IndexName,
      KeySchema,
      Projection,
    })),
  }
}

/**
 * What the newest fact of a stick put into the table: itself, its guard, the state, and its notices as they were before
 * they left.
 */
async function itemsOf(document: DynamoDBDocumentClient, TableName: string, stickId: string) {
  const all: NonNullable<ScanCommandOutput['Items']> = []
  for await (const { Items = [] } of paginateScan({ client: document }, { TableName })) all.push(...Items)
  const named = all.filter((item) => JSON.stringify(item).includes(stickId))
  const newest = Math.max(...named.flatMap(({ entity, fact }) => (entity === 'fact' ? [fact.seq as number] : [])))
  const written = named.filter(
    ({ entity, seq, fact }) => (entity !== 'fact' && entity !== 'guard') || (seq ?? fact.seq) === newest,
  )
  return written.map(({ attempts: _, sentAt: __, messageId: ___, deliveredAt: ____, ...item }) => item)
}
