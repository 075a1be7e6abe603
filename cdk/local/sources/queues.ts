/** The queues of the template, in an emulator inside this process that listens nowhere. */
import { buildApp } from 'fauxqs'
import type { Deployed, Properties, Resource } from '../template/template.ts'

export interface QueueMessage {
  readonly MessageId: string
  readonly ReceiptHandle: string
  readonly Body: string
  readonly MD5OfBody: string
  readonly Attributes: Readonly<Record<string, string>>
}

export interface Queues {
  readonly send: (queueArn: string, body: object) => Promise<void>
  /** the messages in a queue, oldest first; they stay there */
  readonly messages: (queueArn: string) => Promise<unknown[]>
  /** the number of messages in a queue that are not lent to anybody */
  readonly lying: (queueArn: string) => Promise<number>
  /** messages lent until they are removed or given back, or the visibility timeout is over */
  readonly receive: (queueArn: string) => Promise<QueueMessage[]>
  readonly remove: (queueArn: string, message: QueueMessage) => Promise<void>
  readonly giveBack: (queueArn: string, message: QueueMessage) => Promise<void>
  /** calls back each time that something new may lie in the queue */
  readonly watch: (queueArn: string, wake: () => void) => void
  /** a call of a function to a queue, by the address that the template gives the queue */
  readonly call: (operation: string, body: Properties) => Promise<EmulatorAnswer>
  readonly stop: () => Promise<void>
}

export interface EmulatorAnswer {
  readonly status: number
  readonly text: string
}

/** The emulator, and each of its queues by what the template calls it. */
interface Emulator {
  readonly deployed: Deployed
  readonly app: ReturnType<typeof buildApp>
  /** each queue of the emulator by its ARN in the template, and those ARNs by the address there */
  readonly own: Map<string, { readonly url: string; readonly arn: string }>
  readonly arns: Map<string, string>
  readonly watching: Map<string, (() => void)[]>
}

export async function startQueues(deployed: Deployed): Promise<Queues> {
  const app = buildApp({ logger: false, defaultRegion: deployed.region })
  await app.ready()
  const emulator: Emulator = { deployed, app, own: new Map(), arns: new Map(), watching: new Map() }
  // queues of dead letters come first, since other queues name them
  const all = deployed.all('AWS::SQS::Queue').sort((a, b) => rank(a) - rank(b))
  for (const queue of all) await create(emulator, queue)
  const { watching } = emulator
  return {
    send: (queueArn, body) => send(emulator, queueArn, body),
    messages: (queueArn) => messages(emulator, queueArn),
    lying: (queueArn) => lying(emulator, queueArn),
    receive: (queueArn) => receive(emulator, queueArn),
    call: (operation, body) => call(emulator, operation, body),
    remove: async (queueArn, { ReceiptHandle }) => {
      await done(emulator, 'DeleteMessage', { QueueUrl: at(emulator, queueArn).url, ReceiptHandle })
    },
    giveBack: async (queueArn, { ReceiptHandle }) => {
      const lent = { QueueUrl: at(emulator, queueArn).url, ReceiptHandle, VisibilityTimeout: 0 }
      await done(emulator, 'ChangeMessageVisibility', lent)
      wake(emulator, queueArn)
    },
    watch: (queueArn, listener) => {
      watching.set(queueArn, [...(watching.get(queueArn) ?? []), listener])
    },
    stop: () => app.close(),
  }
}

async function answered({ app }: Emulator, operation: string, body: object): Promise<EmulatorAnswer> {
  const headers = { 'x-amz-target': `AmazonSQS.${operation}`, 'content-type': 'application/x-amz-json-1.0' }
  const { statusCode, payload } = await app.inject({
    method: 'POST',
    url: '/',
    headers,
    payload: JSON.stringify(body),
  })
  return { status: statusCode, text: payload }
}

async function done(emulator: Emulator, operation: string, body: object): Promise<Properties> {
  const { status, text } = await answered(emulator, operation, body)
  if (status !== 200) throw new Error(`${operation}: ${text}`)
  return text === '' ? {} : JSON.parse(text)
}

function at({ own }: Emulator, queueArn: string) {
  const found = own.get(queueArn)
  if (found === undefined) throw new Error(`the template has no queue ${queueArn}`)
  return found
}

async function create(emulator: Emulator, { id, name, properties }: Resource): Promise<void> {
  const { MessageRetentionPeriod = 345_600, VisibilityTimeout = 30, RedrivePolicy } = properties
  const Attributes = {
    MessageRetentionPeriod: String(MessageRetentionPeriod),
    VisibilityTimeout: String(VisibilityTimeout),
    ...(RedrivePolicy === undefined ? {} : { RedrivePolicy: JSON.stringify(redrive(emulator, RedrivePolicy)) }),
  }
  const { QueueUrl: url } = await done(emulator, 'CreateQueue', { QueueName: name, Attributes })
  const asked = { QueueUrl: url, AttributeNames: ['QueueArn'] }
  const { Attributes: made } = await done(emulator, 'GetQueueAttributes', asked)
  const arn = emulator.deployed.arn(id)
  emulator.own.set(arn, { url, arn: made.QueueArn })
  emulator.arns.set(emulator.deployed.url(id), arn)
}

const redrive = (emulator: Emulator, { deadLetterTargetArn, maxReceiveCount }: Properties) => ({
  deadLetterTargetArn: at(emulator, deadLetterTargetArn).arn,
  maxReceiveCount,
})

function wake({ watching }: Emulator, queueArn: string): void {
  for (const one of watching.get(queueArn) ?? []) one()
}

async function send(emulator: Emulator, queueArn: string, body: object): Promise<void> {
  await done(emulator, 'SendMessage', { QueueUrl: at(emulator, queueArn).url, MessageBody: JSON.stringify(body) })
  wake(emulator, queueArn)
}

async function messages(emulator: Emulator, queueArn: string): Promise<unknown[]> {
  const found: unknown[] = []
  for (;;) {
    const lent = { QueueUrl: at(emulator, queueArn).url, MaxNumberOfMessages: 10, VisibilityTimeout: 1 }
    const { Messages = [] } = await done(emulator, 'ReceiveMessage', lent)
    if (Messages.length === 0) return found
    found.push(...Messages.map(({ Body }: QueueMessage) => JSON.parse(Body)))
  }
}

async function lying(emulator: Emulator, queueArn: string): Promise<number> {
  const asked = { QueueUrl: at(emulator, queueArn).url, AttributeNames: ['ApproximateNumberOfMessages'] }
  const { Attributes } = await done(emulator, 'GetQueueAttributes', asked)
  return Number(Attributes.ApproximateNumberOfMessages)
}

async function receive(emulator: Emulator, queueArn: string): Promise<QueueMessage[]> {
  const asked = { QueueUrl: at(emulator, queueArn).url, MaxNumberOfMessages: 10, AttributeNames: ['All'] }
  return (await done(emulator, 'ReceiveMessage', asked)).Messages ?? []
}

async function call(emulator: Emulator, operation: string, body: Properties): Promise<EmulatorAnswer> {
  const arn = emulator.arns.get(body.QueueUrl)
  const asked = arn === undefined ? body : { ...body, QueueUrl: at(emulator, arn).url }
  const answer = await answered(emulator, operation, asked)
  if (arn !== undefined && /^SendMessage/.test(operation)) wake(emulator, arn)
  return answer
}

const rank = ({ properties }: Resource) => (properties.RedrivePolicy === undefined ? 0 : 1)
