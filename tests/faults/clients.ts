/** The SDK clients of one invocation, over the table in memory: each call is a step at which the plan may strike. */
import { TransactionCanceledException } from '@aws-sdk/client-dynamodb'
import { GetSendQuotaCommand, type SESClient, type SendRawEmailCommand } from '@aws-sdk/client-ses'
import type { SendMessageCommand, SQSClient } from '@aws-sdk/client-sqs'
import {
  BatchGetCommand,
  type DynamoDBDocumentClient,
  GetCommand,
  QueryCommand,
  TransactWriteCommand,
  UpdateCommand,
} from '@aws-sdk/lib-dynamodb'
import { keysIn } from '../../functions/store/handed-on.ts'
import type { Item, Key, Range, Write } from '../../functions/store/table.ts'
import type { IndexName } from '../../functions/store/table-shape.ts'
import type { FakeTable } from '../support/fake-table.ts'
import type { Fault, Step } from './faults.ts'
import type { Strikes } from './plan.ts'

export interface Surroundings {
  readonly table: FakeTable
  readonly plan: Strikes
  /** new items of a transaction, and notices that were changed */
  readonly onWrite: (items: readonly Item[], changed: readonly Item[]) => void
  readonly onAccepted: (number: string) => void
  readonly onSent: (queue: string, body: string) => void
}

/** Whoever calls once the function has ended hears nothing more. */
const silence = new Promise<never>(() => undefined)

export function clientsOf({ table, plan, onWrite, onAccepted, onSent }: Surroundings, end: () => void) {
  let alive = true

  async function step<T>(fault: Fault | undefined, parts: number, work: () => Promise<T>): Promise<T> {
    if (!alive) return silence
    if (fault?.when === 'before') await strike(fault, parts)
    const answer = await work()
    if (!alive) return silence
    if (fault?.when === 'after') await strike(fault, parts)
    return answer
  }

  function strike({ error }: Fault, parts: number): Promise<never> {
    if (error !== null) return Promise.reject(error(parts))
    alive = false
    end()
    return silence
  }

  async function toTable(command: unknown): Promise<unknown> {
    if (command instanceof TransactWriteCommand) {
      const writes = command.input.TransactItems as Write[]
      const items = writes.flatMap(({ Put }) => (Put?.Item === undefined ? [] : [Put.Item as Item]))
      const changed = writes.flatMap(({ Update }) => (Update?.Key === undefined ? [] : [Update.Key as unknown as Key]))
      const isAnswer = writes.some(({ Update }) => stepOf(Update?.UpdateExpression ?? '') === 'answer')
      return step(faultOf(items, changed, isAnswer), writes.length, async () => {
        const outcome = await table.transact(writes)
        if (!outcome.done) throw conditionsFailed(writes.length, outcome.failed)
        onWrite(items, await table.getAll(changed))
        return {}
      })
    }
    if (command instanceof UpdateCommand) {
      const { Key, ...change } = command.input
      const key = Key as unknown as Key
      const fault =
        numberIn(key) === '' ? plan.atOther('lists') : plan.at(stepOf(change.UpdateExpression ?? ''), [numberIn(key)])
      return step(fault, 1, async () => {
        if (!(await table.update(key, change as Parameters<FakeTable['update']>[1]))) throw conditionFailed()
        onWrite([], await table.getAll([key]))
        return {}
      })
    }
    if (plan.isAway('items') && !(command instanceof QueryCommand)) throw refused('ThrottlingException')
    return step(plan.atOther('read'), 1, () => read(table, command))
  }

  /**
   * A transaction writes notices, keeps feedback on one, confirms one, or ends what was awaited of one; or it is about
   * none.
   */
  function faultOf(items: readonly Item[], changed: readonly Key[], isAnswer: boolean): Fault | undefined {
    const owed = items.filter(({ entity }) => entity === 'notice').map(({ number }) => String(number))
    const about = changed.map(numberIn).filter((number) => number !== '')
    const ending = isAnswer ? 'answer' : items.some(({ entity }) => entity === 'feedback') ? 'feedback' : 'tell'
    if (owed.length + about.length === 0) return plan.atOther('lists')
    return plan.at('record', owed) ?? plan.at(ending, about)
  }

  async function toMail(command: SendRawEmailCommand | GetSendQuotaCommand): Promise<unknown> {
    if (command instanceof GetSendQuotaCommand) return step(plan.atOther('read'), 1, async () => ({ MaxSendRate: 14 }))
    if (plan.isAway('mail')) throw refused('MessageRejected')
    const number = command.input.Tags?.[0]?.Value ?? ''
    return step(plan.at('send', [number]), 1, async () => {
      onAccepted(number)
      return { MessageId: `ses-${number}` }
    })
  }

  async function toQueue({ input: { QueueUrl = '', MessageBody = '' } }: SendMessageCommand): Promise<unknown> {
    return step(plan.at('hand on', keysIn(MessageBody).map(numberIn)), 1, async () => {
      onSent(QueueUrl, MessageBody)
      return { MessageId: 'sqs' }
    })
  }

  return {
    document: { send: toTable } as unknown as DynamoDBDocumentClient,
    ses: { send: toMail } as unknown as SESClient,
    sqs: { send: toQueue } as unknown as SQSClient,
  }
}

const numberIn = ({ pk }: Key) => /#NOTICE#([^#]+)$/.exec(pk)?.[1] ?? ''

function stepOf(change: string): Step {
  if (change.includes('#leaseUntil = ')) return 'claim'
  if (change.includes('#sentAt = ')) return 'mark'
  if (change.includes('#deliveredAt = ')) return 'feedback'
  return change.includes('#answeredAt = ') ? 'answer' : 'settle'
}

const refused = (name: string) => Object.assign(new Error('away'), { name, $metadata: { httpStatusCode: 400 } })

const conditionFailed = () =>
  Object.assign(new Error('The conditional request failed'), { name: 'ConditionalCheckFailedException' })

function conditionsFailed(parts: number, failed: readonly number[]): Error {
  const code = (i: number) =>
    failed.length === 0 ? 'TransactionConflict' : failed.includes(i) ? 'ConditionalCheckFailed' : 'None'
  return new TransactionCanceledException({
    message: 'Transaction cancelled',
    $metadata: {},
    CancellationReasons: Array.from({ length: parts }, (_, i) => ({ Code: code(i) })),
  })
}

async function read(table: FakeTable, command: unknown): Promise<unknown> {
  if (command instanceof GetCommand) return { Item: await table.get(command.input.Key as unknown as Key) }
  if (command instanceof BatchGetCommand) {
    const [[name, { Keys = [] } = {}] = ['']] = Object.entries(command.input.RequestItems ?? {})
    // the first answer of two leaves half of it undone, as the service may
    const now = Keys.length > 1 ? Keys.slice(0, Math.ceil(Keys.length / 2)) : Keys
    const rest = Keys.slice(now.length)
    return {
      Responses: { [name]: await table.getAll(now as unknown as Key[]) },
      ...(rest.length === 0 ? {} : { UnprocessedKeys: { [name]: { Keys: rest } } }),
    }
  }
  if (command instanceof QueryCommand) {
    const { items, next } = await table.page(rangeOf(command))
    return { Items: items, LastEvaluatedKey: next }
  }
  throw new Error('a command that this table does not know')
}

function rangeOf({ input }: QueryCommand): Range {
  const { ExpressionAttributeNames: names = {}, ExpressionAttributeValues: values = {} } = input
  const sort = names['#s']
  return {
    ...(input.IndexName === undefined ? {} : { index: input.IndexName as IndexName }),
    partition: [names['#p'] ?? '', String(values[':p'])],
    ...(sort === undefined ? {} : { between: [sort, String(values[':from']), String(values[':to'])] as const }),
    descending: input.ScanIndexForward === false,
    ...(input.Limit === undefined ? {} : { limit: input.Limit }),
    after: input.ExclusiveStartKey,
    ...(input.ConsistentRead === undefined ? {} : { consistent: input.ConsistentRead }),
  }
}
