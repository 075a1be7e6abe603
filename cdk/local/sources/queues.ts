/** The queues of the template, in an emulator that listens on this machine only. */
import { buildApp } from 'fauxqs'
import { loopback } from '../free-port.ts'
import type { Deployed, Properties } from '../template/template.ts'

export interface Queues {
  readonly send: (queueArn: string, body: object) => Promise<void>
  /** what lies in a queue, oldest first; it stays there */
  readonly messages: (queueArn: string) => Promise<unknown[]>
  readonly stop: () => Promise<void>
}

export async function queues(deployed: Deployed): Promise<Queues> {
  const app = buildApp({ logger: false, defaultRegion: deployed.region })
  const address = await app.listen({ host: loopback, port: 0 })
  const urls = new Map<string, string>()

  async function call(operation: string, body: object): Promise<Properties> {
    const headers = { 'x-amz-target': `AmazonSQS.${operation}`, 'content-type': 'application/x-amz-json-1.0' }
    const answer = await fetch(address, { method: 'POST', headers, body: JSON.stringify(body) })
    const text = await answer.text()
    if (!answer.ok) throw new Error(`${operation}: ${text}`)
    return text === '' ? {} : JSON.parse(text)
  }

  for (const { id, name, properties } of deployed.all('AWS::SQS::Queue')) {
    const { MessageRetentionPeriod = 345_600 } = properties
    const Attributes = { MessageRetentionPeriod: String(MessageRetentionPeriod) }
    const { QueueUrl } = await call('CreateQueue', { QueueName: name, Attributes })
    urls.set(deployed.arn(id), QueueUrl)
  }

  const urlOf = (queueArn: string) => {
    const url = urls.get(queueArn)
    if (url === undefined) throw new Error(`the template has no queue ${queueArn}`)
    return url
  }

  async function messages(queueArn: string): Promise<unknown[]> {
    const found: unknown[] = []
    for (;;) {
      const { Messages = [] } = await call('ReceiveMessage', {
        QueueUrl: urlOf(queueArn),
        MaxNumberOfMessages: 10,
        VisibilityTimeout: 1,
      })
      if (Messages.length === 0) return found
      found.push(...Messages.map(({ Body }: { Body: string }) => JSON.parse(Body)))
    }
  }

  return {
    send: async (queueArn, body) => {
      await call('SendMessage', { QueueUrl: urlOf(queueArn), MessageBody: JSON.stringify(body) })
    },
    messages,
    stop: () => app.close(),
  }
}
