/**
 * The plain document client with this product's few verbs: get, query to the end, transact or say which part failed.
 */
import { DynamoDBClient, TransactionCanceledException } from '@aws-sdk/client-dynamodb'
import {
  BatchGetCommand,
  type BatchGetCommandOutput,
  DynamoDBDocumentClient,
  GetCommand,
  QueryCommand,
  type QueryCommandInput,
  TransactWriteCommand,
  type TransactWriteCommandInput,
  UpdateCommand,
} from '@aws-sdk/lib-dynamodb'
import { Refused } from '../ground/errors.ts'
import { sleep } from '../ground/sleep.ts'
import { isNew, onlyIf } from './change.ts'
import { sharing } from './sharing.ts'
import type { Entity, IndexName } from './table-shape.ts'

export interface Key {
  readonly pk: string
  readonly sk: string
}
export type Item = Key & { readonly entity?: Entity } & Record<string, unknown>
export type Write = NonNullable<TransactWriteCommandInput['TransactItems']>[number]

export interface Range {
  readonly index?: IndexName
  readonly partition: readonly [name: string, value: string]
  /** bounds of the sort key, `[name, from, to]`, both inclusive */
  readonly between?: readonly [name: string, from: string, to: string]
  readonly descending?: boolean
  readonly limit?: number
  readonly after?: Record<string, unknown> | undefined
  readonly consistent?: boolean
  /** items come with their keys and those of the index alone, so that no more is sent than is counted */
  readonly keysOnly?: boolean
}

export interface Page {
  readonly items: Item[]
  readonly next: Record<string, unknown> | undefined
}

/**
 * The outcome of a transaction. `failed` names the parts whose condition did not hold. It is empty when the transaction
 * was lost to a race and may simply run again.
 */
export type Transacted = { readonly done: true } | { readonly done: false; readonly failed: readonly number[] }

/** DynamoDB takes at most 100 items in one transaction. */
export const mostInOneTransaction = 100

export type Table = ReturnType<typeof openTable>

/**
 * The patience of a call: how long it waits for an answer, and how often it is tried. The client waits between tries,
 * by chance and longer each time.
 *
 * Where somebody waits, a table that answers nothing is told to them within five seconds. Where nobody does, patience
 * saves a run.
 */
const patience = {
  'somebody waits': { maxAttempts: 2, connectionTimeout: 400, requestTimeout: 1_700 },
  'nobody waits': { maxAttempts: 4, connectionTimeout: 1_000, requestTimeout: 5_000 },
} as const

export function documentClient(who: keyof typeof patience = 'nobody waits'): DynamoDBDocumentClient {
  const { maxAttempts, ...timeouts } = patience[who]
  const client = new DynamoDBClient({ maxAttempts, requestHandler: { ...timeouts, throwOnRequestTimeout: true } })
  return DynamoDBDocumentClient.from(client, { marshallOptions: { removeUndefinedValues: true } })
}

/** The one table by its name, and what was asked for at this moment. */
interface Opened {
  readonly client: DynamoDBDocumentClient
  readonly name: string
  asked: Asked[]
}

interface Asked {
  readonly key: Key
  readonly found: (item: Item | undefined) => void
  readonly failed: (error: unknown) => void
}

type PutOptions = Partial<NonNullable<Write['Put']>>
type Change = Omit<NonNullable<Write['Update']>, 'Key' | 'TableName'>

export function openTable(client: DynamoDBDocumentClient, name: string) {
  const opened: Opened = { client, name, asked: [] }
  return {
    /** undefined where it is no table of the service, as in a test */
    name: name as string | undefined,
    ...sharing(opened, { get, getAll, page, count, all, transact, update }),
    put: (item: Item, condition?: PutOptions): Write => ({ Put: { TableName: name, Item: item, ...condition } }),
    /** a put that fails when the key was ever used */
    putNew: (item: Item): Write => ({ Put: { TableName: name, Item: item, ...onlyIf(isNew) } }),
    change: (key: Key, change: Change): Write => ({ Update: { ...change, TableName: name, Key: key } }),
  }
}

/** Items asked for at the same moment are read in one call. */
function get(opened: Opened, { pk, sk }: Key): Promise<Item | undefined> {
  return new Promise((found, failed) => {
    opened.asked.push({ key: { pk, sk }, found, failed })
    if (opened.asked.length === 1) queueMicrotask(() => void answerAsked(opened))
  })
}

async function answerAsked(opened: Opened): Promise<void> {
  const together = opened.asked
  opened.asked = []
  try {
    const items = await getTogether(
      opened,
      together.map(({ key }) => key),
    )
    for (const { key, found } of together) found(items.find((item) => item.pk === key.pk && item.sk === key.sk))
  } catch (error) {
    for (const { failed } of together) failed(error)
  }
}

async function getTogether(opened: Opened, keys: readonly Key[]): Promise<Item[]> {
  const different = [...new Map(keys.map((key) => [`${key.pk}\u0000${key.sk}`, key])).values()]
  const [only, ...others] = different
  if (only === undefined || others.length > 0) return getAll(opened, different)
  const { Item } = await opened.client.send(new GetCommand({ TableName: opened.name, Key: only, ConsistentRead: true }))
  return Item === undefined ? [] : [Item as Item]
}

/** Reads all items that exist of `keys`; what comes back unprocessed is asked for again. */
async function getAll({ client, name }: Opened, keys: readonly Key[]): Promise<Item[]> {
  const found: Item[] = []
  for (let i = 0; i < keys.length; i += 100) {
    let left: Key[] | undefined = keys.slice(i, i + 100).map(({ pk, sk }) => ({ pk, sk }))
    for (let tries = 0; left !== undefined && left.length > 0; tries++) {
      if (tries > 0) await sleep(waitAfter(tries))
      const answer: BatchGetCommandOutput = await client.send(
        new BatchGetCommand({ RequestItems: { [name]: { Keys: left, ConsistentRead: true } } }),
      )
      found.push(...((answer.Responses?.[name] ?? []) as Item[]))
      left = answer.UnprocessedKeys?.[name]?.Keys as Key[] | undefined
    }
  }
  return found
}

async function page(opened: Opened, range: Range): Promise<Page> {
  const { Items, LastEvaluatedKey } = await opened.client.send(new QueryCommand(queryOf(opened, range)))
  return { items: (Items ?? []) as Item[], next: LastEvaluatedKey }
}

function queryOf({ name }: Opened, range: Range): QueryCommandInput {
  const [sort, from, to] = range.between ?? []
  return {
    TableName: name,
    IndexName: range.index,
    KeyConditionExpression: `#p = :p${sort === undefined ? '' : ' AND #s BETWEEN :from AND :to'}`,
    ...(range.keysOnly && range.index !== undefined && sort !== undefined
      ? { ProjectionExpression: 'pk, sk, #s' }
      : {}),
    ExpressionAttributeNames: { '#p': range.partition[0], ...(sort === undefined ? {} : { '#s': sort }) },
    ExpressionAttributeValues: {
      ':p': range.partition[1],
      ...(sort === undefined ? {} : { ':from': from, ':to': to }),
    },
    ScanIndexForward: !range.descending,
    Limit: range.limit,
    ExclusiveStartKey: range.after,
    ConsistentRead: range.consistent,
  }
}

/** Counts the items in the range, no further than its limit. Only their number is told, not what they hold. */
async function count(opened: Opened, { limit: most = Number.POSITIVE_INFINITY, ...range }: Range): Promise<number> {
  let counted = 0
  let after: Record<string, unknown> | undefined
  do {
    const left = most - counted
    const { Count, LastEvaluatedKey } = await opened.client.send(
      new QueryCommand({
        ...queryOf(opened, { ...range, after, ...(Number.isFinite(left) ? { limit: left } : {}) }),
        Select: 'COUNT',
      }),
    )
    counted += Count ?? 0
    after = LastEvaluatedKey
  } while (after !== undefined && counted < most)
  return counted
}

/** Reads everything in the range: the key is followed until there is none, through empty pages too. */
async function all(opened: Opened, range: Range): Promise<Item[]> {
  const items: Item[] = []
  let after: Record<string, unknown> | undefined
  do {
    const answer = await page(opened, { ...range, after })
    items.push(...answer.items)
    after = answer.next
  } while (after !== undefined)
  return items
}

/**
 * A transaction refused for the table's load alone is tried again as it is: nobody else came first, so there is
 * nothing to read anew.
 */
async function transact({ client }: Opened, writes: readonly Write[]): Promise<Transacted> {
  for (let tries = 1; ; tries++) {
    try {
      await client.send(new TransactWriteCommand({ TransactItems: [...writes] }))
      return { done: true }
    } catch (error) {
      if (!(error instanceof TransactionCanceledException)) throw error
      const { failed, isThrottled } = reasonsOf(error)
      if (!isThrottled) return { done: false, failed }
      if (tries === mostTriesThrottled) throw new Refused({ kind: 'try again' })
      await sleep(waitAfter(tries))
    }
  }
}

/** Changes one item under a condition; false when the condition does not hold. */
async function update({ client, name }: Opened, key: Key, change: Change): Promise<boolean> {
  try {
    await client.send(new UpdateCommand({ ...change, TableName: name, Key: key }))
    return true
  } catch (error) {
    if (error instanceof Error && error.name === 'ConditionalCheckFailedException') return false
    throw error
  }
}

/** A table that can be told of items before they are needed. */
export interface ReadingAhead extends Table {
  readonly ahead: (keys: readonly Key[]) => void
}

/** An item read ahead answers the first that asks for it and no other: who tries again after a lost race reads anew. */
export function readingAhead(table: Table): ReadingAhead {
  const foretold = new Map<string, Promise<Item | undefined>>()
  const nameOf = ({ pk, sk }: Key) => `${pk}\u0000${sk}`

  function ahead(keys: readonly Key[]): void {
    for (const key of keys) {
      const read = table.get(key)
      // the failure reaches whoever asks for the item
      read.catch(() => undefined)
      foretold.set(nameOf(key), read)
    }
  }

  function get(key: Key): Promise<Item | undefined> {
    const read = foretold.get(nameOf(key))
    foretold.delete(nameOf(key))
    return read ?? table.get(key)
  }

  return { ...table, get, ahead }
}

/**
 * The waits double, and are by chance anywhere below: "Error retries and exponential backoff", AWS SDK reference guide.
 */
const mostTriesThrottled = 6
const firstWaitMillis = 25
const longestWaitMillis = 1000
const waitAfter = (tries: number) => Math.random() * Math.min(longestWaitMillis, firstWaitMillis * 2 ** tries)

const races = ['None', 'ConditionalCheckFailed', 'TransactionConflict']
const throttles = ['ThrottlingError', 'ProvisionedThroughputExceeded']

/**
 * A lost race is told apart from a table that is asked too much; anything else is an error of ours and is thrown on.
 */
function reasonsOf(error: TransactionCanceledException): { failed: number[]; isThrottled: boolean } {
  const codes = (error.CancellationReasons ?? []).map((reason) => reason.Code ?? 'None')
  if (codes.length === 0 || codes.some((code) => !races.includes(code) && !throttles.includes(code))) throw error
  return {
    failed: codes.flatMap((code, i) => (code === 'ConditionalCheckFailed' ? [i] : [])),
    // a part lost to a race decides, whatever else was refused
    isThrottled:
      codes.some((code) => throttles.includes(code)) && !codes.some((code) => code !== 'None' && races.includes(code)),
  }
}
