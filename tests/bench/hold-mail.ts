/** From the report of a defect to the mail: on the local stack, beside the same bytes over the same protocols and no more. */
import { createServer, type IncomingMessage, type ServerResponse } from 'node:http'
import type { AddressInfo } from 'node:net'
import { buffer } from 'node:stream/consumers'
import { CreateTableCommand, DynamoDBClient } from '@aws-sdk/client-dynamodb'
import { DynamoDBDocumentClient, ScanCommand, TransactWriteCommand } from '@aws-sdk/lib-dynamodb'
import MailComposer from 'nodemailer/lib/mail-composer/index.js'
import type { KeptMail } from '../../cdk/local/mail.ts'
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
/** A median needs no more, and each takes its seconds. */
const mostRounds = 25

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

/** What no way of doing it could leave out: the request, one transaction of the same items, one mail of the same text. */
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
  await client.send(
    new CreateTableCommand({
      TableName,
      BillingMode: 'PAY_PER_REQUEST',
      AttributeDefinitions: ['pk', 'sk'].map((AttributeName) => ({ AttributeName, AttributeType: 'S' as const })),
      KeySchema: [
        { AttributeName: 'pk', KeyType: 'HASH' },
        { AttributeName: 'sk', KeyType: 'RANGE' },
      ],
    }),
  )
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

/** What the hold of a stick put into the table: its fact, the guard, the state, and the notices. */
async function itemsOf(document: DynamoDBDocumentClient, TableName: string, stickId: string) {
  const { Items = [] } = await document.send(new ScanCommand({ TableName }))
  const named = Items.filter((item) => JSON.stringify(item).includes(`"${stickId}"`))
  const written = named.filter(({ entity, fact }) => entity !== 'fact' || fact.kind === 'reported')
  if (written.filter(({ entity }) => entity === 'notice').length === 0) throw new Error('a hold without a notice')
  return written
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
