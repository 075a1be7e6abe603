/** From the report of a defect to the mail: on the local stack, beside the same bytes over the same protocols and no more. */
import { createServer, type IncomingMessage, type ServerResponse } from 'node:http'
import type { AddressInfo } from 'node:net'
import { buffer } from 'node:stream/consumers'
import { setTimeout as pause } from 'node:timers/promises'
import {
  CreateTableCommand,
  type CreateTableCommandInput,
  DescribeTableCommand,
  DynamoDBClient,
} from '@aws-sdk/client-dynamodb'
import { DynamoDBDocumentClient, ScanCommand, TransactWriteCommand } from '@aws-sdk/lib-dynamodb'
import MailComposer from 'nodemailer/lib/mail-composer/index.js'
import type { KeptMail } from '../../cdk/local/mail/mail.ts'
import { type Instant, localDateAt } from '../../shared-domain/calendar.ts'
import { furnish, put } from '../journeys/furnish.ts'
import { type LocalStack, startStack } from '../local-stack.ts'
import { aCrew, aDepot, aStick } from '../support/trade.ts'
import { median } from './interleaved.ts'

export interface HoldMail {
  readonly seconds: number
  readonly floorSeconds: number
  readonly ratio: number
}

/** The first rounds load functions, fill pools and are slow until what runs often is compiled. */
const warmUp = 10
/** A median needs no more, and each takes half a second. */
const mostRounds = 40
/** In which nobody asks the stack for anything: its answers would take the process in which the mail is taken. */
const undisturbedMillis = 150

let known: Promise<HoldMail> | undefined

/** Measured once for the figures that tell of it. */
export function holdMail(rounds: number): Promise<HoldMail> {
  known ??= measure(Math.min(rounds, mostRounds))
  return known
}

async function measure(rounds: number): Promise<HoldMail> {
  const stack = await startStack()
  try {
    await put(stack, '/v1/policies/employer', { packs: ['us-29-cfr-1910-269-j'], effectiveFrom: '2020-01-01' })
    await furnish(stack)
    const floor = await floorOf(stack)
    const times: { floor: number; hold: number }[] = []
    for (let round = -warmUp; round < rounds; round++) {
      const time = { floor: await floor.round(), hold: await holdRound(stack, `R${round + warmUp}`) }
      if (round >= 0) times.push(time)
    }
    await floor.stop()
    return {
      seconds: median(times.map(({ hold }) => hold)) / 1000,
      floorSeconds: median(times.map((time) => time.floor)) / 1000,
      ratio: median(times.map((time) => time.hold / time.floor)),
    }
  } finally {
    await stack.stop()
  }
}

const addressOf = (name: string) => `${name.toLowerCase()}@crew-one.example`
const defect = () => ({ factId: crypto.randomUUID(), occurredOn: today(), kind: 'tingle' })
/** at the depot of the crew */
const today = () => localDateAt(new Date().toISOString() as Instant, aDepot.timeZone)

/** A stick and a crew of its own, so that its mailbox holds one mail. */
async function holdRound(stack: LocalStack, name: string): Promise<number> {
  const recipient = { name: 'Ana Ferro', email: addressOf(name), role: 'crew' }
  await put(stack, `/v1/crews/CR-${name}`, { ...aCrew, recipients: [recipient] })
  await put(stack, `/v1/sticks/S-${name}`, { ...aStick, crewId: `CR-${name}` })
  await stack.settle()
  const started = Date.now()
  const { status, text } = await stack.call('POST', `/v1/sticks/S-${name}/defects`, defect())
  if (status !== 201) throw new Error(`a defect of S-${name}: ${status} ${text}`)
  await pause(undisturbedMillis)
  await stack.settle()
  if ((await stack.mail(addressOf(name))).length !== 1) throw new Error(`no mail about S-${name}`)
  return (await sentAt(stack, name)) - started
}

/** As the mailer noted it: to look into the mailbox meanwhile would take the process that has to answer and to take the mail. */
async function sentAt(stack: LocalStack, name: string): Promise<number> {
  const { json } = await stack.call('GET', `/v1/notices?stick=S-${name}`)
  const { items } = json as { items: { to: { email: string }; sentAt: string }[] }
  const notice = items.find(({ to }) => to.email === addressOf(name))
  if (notice === undefined) throw new Error(`no notice about S-${name}`)
  return Date.parse(notice.sentAt)
}

/**
 * What no way of doing it could leave out: the request, one transaction of the same items, one mail of the same text. The
 * items go into a table of the same keys, indexes and stream: a plain one would write each of them once where ours is
 * written to every list it stands in and to the stream that the mailer hears of it by.
 */
async function floorOf(stack: LocalStack) {
  await holdRound(stack, 'floor')
  const [mail] = await stack.mail(addressOf('floor'))
  if (mail === undefined) throw new Error('no mail to take the bytes of')
  const { endpoint, name } = stack.parts.table
  const client = new DynamoDBClient({
    endpoint,
    region: 'local',
    credentials: { accessKeyId: 'local', secretAccessKey: 'local' },
  })
  const document = DynamoDBDocumentClient.from(client, { marshallOptions: { removeUndefinedValues: true } })
  const items = await itemsOf(document, name, 'S-floor')
  const TableName = `${name}-floor`
  await client.send(new CreateTableCommand({ TableName, ...(await shapeOf(client, name)) }))
  const raw = (await rawOf(mail)).toString('base64')
  let count = 0

  async function take(message: IncomingMessage, answer: ServerResponse): Promise<void> {
    const sent = JSON.parse((await buffer(message)).toString())
    count += 1
    const TransactItems = items.map((item) => ({
      Put: { TableName, Item: { ...item, pk: `${item.pk} ${count}` }, ConditionExpression: 'attribute_not_exists(pk)' },
    }))
    await document.send(new TransactWriteCommand({ TransactItems }))
    answer.writeHead(201).end(JSON.stringify(sent))
    await send(stack.mailbox, raw)
    mailed()
  }

  const server = createServer((message, answer) => void take(message, answer))
  let mailed = () => {}
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve))
  const address = `http://127.0.0.1:${(server.address() as AddressInfo).port}`

  async function round(): Promise<number> {
    const done = new Promise<void>((resolve) => {
      mailed = resolve
    })
    const started = performance.now()
    const answer = await fetch(address, { method: 'POST', body: JSON.stringify(defect()) })
    await answer.text()
    await done
    return performance.now() - started
  }

  async function stop(): Promise<void> {
    client.destroy()
    server.closeAllConnections()
    await new Promise((resolve) => server.close(resolve))
  }

  return { round, stop }
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

/** What the report of a defect put into the table: its fact, the guard, the state, and the notices as they were before they left. */
async function itemsOf(document: DynamoDBDocumentClient, TableName: string, stickId: string) {
  const { Items = [] } = await document.send(new ScanCommand({ TableName }))
  const named = Items.filter((item) => JSON.stringify(item).includes(stickId))
  const report = named.find(({ entity, fact }) => entity === 'fact' && fact.kind === 'defect reported')
  const written = named.filter(
    ({ entity, seq, fact }) => (entity !== 'fact' && entity !== 'guard') || (seq ?? fact.seq) === report?.fact.seq,
  )
  const kinds = ['fact', 'guard', 'stick', 'notice'].filter((kind) => written.some(({ entity }) => entity === kind))
  if (report === undefined || kinds.length < 4) throw new Error(`of a report only ${kinds} were found`)
  return written.map(({ attempts: _, sentAt: __, messageId: ___, deliveredAt: ____, ...item }) => item)
}

function rawOf({ to, subject, text, html, attachments }: KeptMail): Promise<Buffer> {
  const files = attachments.map(({ filename, content }) => ({ filename, content: Buffer.from(content, 'base64') }))
  const from = 'notices@quarterturn.example'
  return new MailComposer({ from, to, subject, text, html, attachments: files }).compile().build()
}

async function send(page: string, raw: string): Promise<void> {
  const body = new URLSearchParams({ Action: 'SendRawEmail', 'RawMessage.Data': raw })
  const answer = await fetch(page, { method: 'POST', body, headers: { authorization: 'AWS local' } })
  if (!answer.ok) throw new Error(`the mail emulator refused a message: ${await answer.text()}`)
  await answer.arrayBuffer()
}
