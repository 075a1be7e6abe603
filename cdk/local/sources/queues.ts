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

export async function startQueues(deployed: Deployed): Promise<Queues> {
  const app = buildApp({ logger: false, defaultRegion: deployed.region })
  await app.ready()
  /** each queue of the emulator by its ARN in the template, and those ARNs by the address there */
  const own = new Map<string, { readonly url: string; readonly arn: string }>()
  const arns = new Map<string, string>()
  const watching = new Map<string, (() => void)[]>()

  async function answered(operation: string, body: object): Promise<EmulatorAnswer> {
    const headers = { 'x-amz-target': `AmazonSQS.${operation}`, 'content-type': 'application/x-amz-json-1.0' }
    const { statusCode, payload } = await app.inject({
      method: 'POST',
      url: '/',
      headers,
      payload: JSON.stringify(body),
    })
    return { status: statusCode, text: payload }
  }

  async function done(operation: string, body: object): Promise<Properties> {
    const { status, text } = await answered(operation, body)
    if (status !== 200) throw new Error(`${operation}: ${text}`)
    return text === '' ? {} : JSON.parse(text)
  }

  function at(queueArn: string) {
    const found = own.get(queueArn)
    if (found === undefined) throw new Error(`the template has no queue ${queueArn}`)
    return found
  }

  async function create({ id, name, properties }: Resource): Promise<void> {
    const { MessageRetentionPeriod = 345_600, VisibilityTimeout = 30, RedrivePolicy } = properties
    const Attributes = {
      MessageRetentionPeriod: String(MessageRetentionPeriod),
      VisibilityTimeout: String(VisibilityTimeout),
      ...(RedrivePolicy === undefined ? {} : { RedrivePolicy: JSON.stringify(redrive(RedrivePolicy)) }),
    }
    const { QueueUrl: url } = await done('CreateQueue', { QueueName: name, Attributes })
    const { Attributes: made } = await done('GetQueueAttributes', { QueueUrl: url, AttributeNames: ['QueueArn'] })
    const arn = deployed.arn(id)
    own.set(arn, { url, arn: made.QueueArn })
    arns.set(deployed.url(id), arn)
  }

  const redrive = ({ deadLetterTargetArn, maxReceiveCount }: Properties) => ({
    deadLetterTargetArn: at(deadLetterTargetArn).arn,
    maxReceiveCount,
  })

  function wake(queueArn: string): void {
    for (const one of watching.get(queueArn) ?? []) one()
  }

  async function messages(queueArn: string): Promise<unknown[]> {
    const found: unknown[] = []
    for (;;) {
      const lent = { QueueUrl: at(queueArn).url, MaxNumberOfMessages: 10, VisibilityTimeout: 1 }
      const { Messages = [] } = await done('ReceiveMessage', lent)
      if (Messages.length === 0) return found
      found.push(...Messages.map(({ Body }: QueueMessage) => JSON.parse(Body)))
    }
  }

  // queues of dead letters come first, since other queues name them
  const all = deployed.all('AWS::SQS::Queue').sort((a, b) => rank(a) - rank(b))
  for (const queue of all) await create(queue)

  return {
    send: async (queueArn, body) => {
      await done('SendMessage', { QueueUrl: at(queueArn).url, MessageBody: JSON.stringify(body) })
      wake(queueArn)
    },
    messages,
    lying: async (queueArn) => {
      const AttributeNames = ['ApproximateNumberOfMessages']
      const { Attributes } = await done('GetQueueAttributes', { QueueUrl: at(queueArn).url, AttributeNames })
      return Number(Attributes.ApproximateNumberOfMessages)
    },
    receive: async (queueArn) => {
      const asked = { QueueUrl: at(queueArn).url, MaxNumberOfMessages: 10, AttributeNames: ['All'] }
      return (await done('ReceiveMessage', asked)).Messages ?? []
    },
    remove: async (queueArn, { ReceiptHandle }) => {
      await done('DeleteMessage', { QueueUrl: at(queueArn).url, ReceiptHandle })
    },
    giveBack: async (queueArn, { ReceiptHandle }) => {
      await done('ChangeMessageVisibility', { QueueUrl: at(queueArn).url, ReceiptHandle, VisibilityTimeout: 0 })
      wake(queueArn)
    },
    watch: (queueArn, listener) => {
      watching.set(queueArn, [...(watching.get(queueArn) ?? []), listener])
    },
    call: async (operation, body) => {
      const arn = arns.get(body.QueueUrl)
      const answer = await answered(operation, arn === undefined ? body : { ...body, QueueUrl: at(arn).url })
      if (arn !== undefined && /^SendMessage/.test(operation)) wake(arn)
      return answer
    },
    stop: () => app.close(),
  }
}

const rank = ({ properties }: Resource) => (properties.RedrivePolicy === undefined ? 0 : 1)
