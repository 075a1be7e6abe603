/**
 * The service in one process: a table in memory, its stream, its queues, mail, and its functions, each invocation with
 * clients of its own. Nothing here asks the machine for time or chance, so that one seed is one run.
 */
import { type SESClient, SendRawEmailCommand } from '@aws-sdk/client-ses'
import { SendMessageCommand, type SQSClient } from '@aws-sdk/client-sqs'
import { marshall } from '@aws-sdk/util-dynamodb'
import type { DynamoDBRecord, SQSBatchResponse, SQSRecord } from 'aws-lambda'
import type { Parts } from '../../functions/deliver-notices/deliver-notices.ts'
import type { Mailer } from '../../functions/deliver-notices/mail.ts'
import type { QueueName } from '../../functions/hand-on/hand-on.ts'
import type { Notice } from '../../functions/store/notices.ts'
import type { Item, Table } from '../../functions/store/table.ts'
import { queuePrefix } from '../../functions/store/table-shape.ts'
import { type Chance, whole } from '../../seed/chance.ts'
import { instantOf } from '../../shared-domain/calendar.ts'
import type { FakeTable } from '../support/fake-table.ts'
import { claimsOf, tokenRules } from '../support/sign-in.ts'
import { clientsOf } from './clients.ts'
import type { Strikes } from './plan.ts'

export type Deployed = typeof import('./deployed.ts')

type Api = ReturnType<Deployed['buildApi']>

export const minute = 60_000
export const hour = 60 * minute

const settings = {
  from: 'notices@quarterturn.example',
  replyTo: 'bench@quarterturn.example',
  configurationSet: 'feedback',
  pagesUrl: 'https://pages.example',
  answersUrl: 'https://answers.example',
}

/** How long the mailer may run. */
const mostMillis = 45_000

export interface Around {
  readonly table: FakeTable
  readonly plan: Strikes
  readonly chance: Chance
  /** in milliseconds */
  readonly begin: number
  readonly organisation: string
  /** mails are composed as they are sent, or only their numbers are sent */
  readonly composes: boolean
  /** whether mail to this address comes back for good */
  readonly bounces: (email: string) => boolean
  /** what was written: new items, and notices as they are after a change */
  readonly onWrite?: (items: readonly Item[], changed: readonly Item[]) => void
  /** as it leaves, before the mail service has it */
  readonly onLeaving?: (notice: Notice) => void
  readonly onAccepted?: (notice: Notice) => void
}

interface Lying {
  readonly record: SQSRecord
  readonly received: number
}

interface Said {
  readonly id: string
  readonly message: string
}

export type Service = ReturnType<typeof serviceOf>

export function serviceOf(deployed: Deployed, around: Around) {
  const { table, plan, chance, bounces } = around
  const accepted = new Map<string, number>()
  const leaving = new Map<string, Notice>()
  const queues: Record<QueueName, Lying[]> = {
    urgent: [],
    others: [],
    undelivered: [],
    accounts: [],
    journal: [],
    sequence: [],
    imports: [],
    plans: [],
  }
  const apis = new Map<Deployed, Api>()
  let asking: { readonly table: Table; readonly personId: string }
  let build = deployed
  let stream: Item[] = []
  let said: Said[] = []
  let sent = 0
  let now = around.begin
  let troubled = true

  const clock = () => instantOf(now)
  const surroundings = {
    table,
    plan,
    onWrite: (items: readonly Item[], changed: readonly Item[]) => {
      stream.push(...items.filter(({ entity }) => entity === 'notice'))
      stream.push(...changed.filter(({ queue }) => String(queue).startsWith(queuePrefix.undelivered)))
      around.onWrite?.(items, changed)
    },
    onSent: (queue: string, body: string) => {
      sent += 1
      queues[queue as QueueName].push({ record: { messageId: String(sent), body } as SQSRecord, received: 0 })
    },
    onAccepted: (number: string) => {
      const notice = leaving.get(number)
      if (notice === undefined) throw new Error(`${number} was accepted and never left`)
      accepted.set(number, (accepted.get(number) ?? 0) + 1)
      said.push(...saidOf(notice, bounces(notice.to.email), accepted.get(number) ?? 0))
      around.onAccepted?.(notice)
    },
  }

  /** Null where the function ended or failed. */
  async function invoke<T>(work: (table: Table, parts: Parts, sqs: SQSClient) => Promise<T>): Promise<T | null> {
    const { promise: ended, resolve: end } = Promise.withResolvers<null>()
    const { document, ses, sqs } = clientsOf(surroundings, () => end(null))
    const own = build.openTable(document, 'faults')
    const mailer = watched(around.composes ? build.sesMailer(ses, settings) : bareMailer(ses))
    const sleep = async (millis: number) => {
      now += Math.ceil(millis)
    }
    const pace = build.accountPace(mailer.quota, { now: () => now, sleep, random: chance })(now + mostMillis)
    table.trouble(troubled && chance() < 0.3 ? { indexLag: whole(chance, 1, 6) } : {})
    try {
      return await Promise.race([work(own, { table: own, mailer, clock, pace }, sqs), ended])
    } catch {
      return null
    } finally {
      now += whole(chance, 5, 500)
    }
  }

  function watched(mailer: Mailer): Mailer {
    return {
      ...mailer,
      send: (notice) => {
        leaving.set(notice.number, notice)
        around.onLeaving?.(notice)
        return mailer.send(notice)
      },
    }
  }

  /** Composing takes longer than all else and fails nowhere here. */
  const bareMailer = (ses: SESClient): Mailer => ({
    async send({ number }) {
      const Tags = [{ Name: 'notice', Value: number }]
      const { MessageId } = await ses.send(new SendRawEmailCommand({ Tags, RawMessage: { Data: new Uint8Array() } }))
      return MessageId ?? ''
    },
    quota: build.sesMailer(ses, settings).quota,
  })

  /** As people do: the same again until there is an answer. */
  async function ask(method: string, path: string, body?: unknown, personId = 'owner'): Promise<Response> {
    for (let tries = 0; tries < mostTries; tries++) {
      const init = { method, ...(body === undefined ? {} : { body: JSON.stringify(body) }) }
      const answer = await invoke((own) => Promise.resolve(apiOn(own, personId).request(path, init)))
      if (answer !== null && answer.status < 500) return answer
      now += Math.min(tries, mostMinutesBetweenTries) * minute
    }
    throw new Error(`${method} ${path} was never answered`)
  }

  /** Built once: each request takes the table of its own invocation as it begins. */
  function apiOn(own: Table, personId: string): Api {
    asking = { table: own, personId }
    const known =
      apis.get(build) ??
      build.buildApi({
        get table() {
          return asking.table
        },
        clock,
        claimsOf: () => claimsOf([around.organisation, asking.personId], clock()),
        tokens: tokenRules,
        openApi: async () => ({}),
        feedsUrl: 'https://api.example',
      })
    apis.set(build, known)
    return known
  }

  /** What was refused is a slip of whoever wrote the run. */
  async function done(method: string, path: string, body: unknown): Promise<void> {
    const answer = await ask(method, path, body)
    if (answer.status > 201) throw new Error(`${path}: ${answer.status} ${await answer.text()}`)
  }

  /**
   * The topic hands over each message in any order, now and then twice; its function is tried three times, then by
   * hand.
   */
  async function hear(): Promise<void> {
    const left = troubled ? said.toSorted(() => chance() - 0.5) : said
    said = []
    for (const one of left) {
      for (let times = troubled && chance() < 0.2 ? 2 : 1; times > 0; times--) {
        if (!(await thrice((own) => build.takeAll({ table: own, clock }, [one])))) said.push(one)
      }
    }
  }

  async function thrice(work: (own: Table) => Promise<unknown>): Promise<boolean> {
    for (let tries = 0; tries < 3; tries++) {
      if ((await invoke(work)) !== null) return true
      now += minute
    }
    return false
  }

  /** Presses the button of a mail, until the page says what became of it. */
  async function press(notice: Notice): Promise<void> {
    const pressed = (own: Table) =>
      Promise.resolve(
        build.buildAnswers({ table: own, clock }).request(build.confirmationPath(notice) ?? '', { method: 'POST' }),
      )
    for (let tries = 0; tries < 5; tries++) {
      const page = await invoke(pressed)
      if (page !== null && page.status < 500) return
    }
  }

  async function drain(): Promise<void> {
    const left = troubled ? stream.toSorted(() => chance() - 0.5) : stream
    stream = []
    while (left.length > 0) {
      const batch = left.splice(0, whole(chance, 1, 10)).map(recordOf)
      if (troubled && chance() < 0.1) continue
      for (let times = troubled && chance() < 0.2 ? 2 : 1; times > 0; times--) await handOver(batch)
    }
    await read('urgent', (_, parts, message) => build.deliverFromQueue(parts, [message]))
    await read('others', (_, parts, message) => build.deliverFromQueue(parts, [message]))
  }

  /** Tried again from the first that is left, five times; after that nothing but the runs every few minutes is left. */
  async function handOver(batch: readonly DynamoDBRecord[]): Promise<void> {
    let rest = batch
    for (let tries = 0; tries < 6; tries++) {
      // the journal reads nothing back, and what strikes is counted by the other calls
      const send = (sqs: SQSClient) => async (queue: QueueName, MessageBody: string) =>
        queue === 'journal' ? undefined : sqs.send(new SendMessageCommand({ QueueUrl: queue, MessageBody }))
      const outcome = await invoke((_, __, sqs) => build.handOn(send(sqs), rest))
      const left = outcome?.batchItemFailures.map(({ itemIdentifier }) => itemIdentifier)
      if (left?.length === 0) return
      const first = rest.findIndex(({ dynamodb }) => left?.includes(dynamodb?.SequenceNumber ?? ''))
      rest = rest.slice(Math.max(first, 0))
      now += 1000 * 2 ** tries
    }
  }

  /** In any order, now and then twice at once; what is not done lies there again the next time, five times in all. */
  async function read(
    queue: QueueName,
    take: (own: Table, parts: Parts, message: SQSRecord) => Promise<SQSBatchResponse>,
  ): Promise<void> {
    const lying = troubled ? queues[queue].toSorted(() => chance() - 0.5) : queues[queue]
    queues[queue] = []
    for (const { record, received } of lying) {
      const times = troubled && chance() < 0.2 ? 2 : 1
      const outcomes = await Promise.all(
        Array.from({ length: times }, () => invoke((own, parts) => take(own, parts, record))),
      )
      const isDone = outcomes.some((outcome) => outcome !== null && outcome.batchItemFailures.length === 0)
      if (!isDone && received < 4) queues[queue].push({ record, received: received + 1 })
    }
  }

  const unsent = () => invoke((_, parts) => build.deliverUnsent(parts))

  return {
    accepted,
    clock,
    invoke,
    ask,
    done,
    hear,
    press,
    drain,
    now: () => now,
    isTroubled: () => troubled,
    /** never back */
    until(millis: number) {
      now = Math.max(now, millis)
    },
    wait(millis: number) {
      now += millis
    },
    /** from here on, or until it is said otherwise, nothing is doubled, late, lost or out of order */
    calm(isCalm = true) {
      troubled = !isCalm
    },
    build: () => build,
    deploy(next: Deployed) {
      build = next
    },
    /** What the queues hold in memory is not everything that waits: the table knows the rest. */
    isIdle: () =>
      stream.length + said.length + Object.values(queues).reduce((sum, lying) => sum + lying.length, 0) === 0,
    /** side by side now and then, as nothing keeps them apart */
    unsent: () => Promise.all([unsent(), troubled && chance() < 0.3 ? unsent() : undefined]),
    tellUndelivered: () => read('undelivered', (own, _, message) => build.tellFromQueue(own, clock, [message])),
    followUp: async () => {
      await invoke((own) => build.writeStillOwed(own, clock()))
      await invoke((own) => build.followUp(own, clock()))
      await invoke((own) => build.tellOfUndelivered(own, clock()))
    },
    sweep: () => invoke((own) => build.sweep(own, clock)),
    reindex: () => invoke((own) => build.reindex(own, clock(), () => !troubled || chance() > 0.1)),
  }
}

/** a day's worth: whoever has something to record comes back to it */
const mostTries = 150
const mostMinutesBetweenTries = 10

/** As the mail service tells it: handed over, and then delivered or come back for good. */
function saidOf({ number, organisation, to }: Notice, comesBack: boolean, time: number): Said[] {
  const tags = { notice: [number], organisation: [organisation] }
  const mail = { messageId: `ses-${number}`, destination: [to.email], tags }
  const bounce = {
    bounceType: 'Permanent',
    bounceSubType: 'General',
    bouncedRecipients: [{}],
    feedbackId: `${number} ${time}`,
  }
  const became = comesBack ? { eventType: 'Bounce', mail, bounce } : { eventType: 'Delivery', mail }
  return [{ eventType: 'Send', mail }, became].map((event, i) => ({
    id: `${number} ${time} ${i}`,
    message: JSON.stringify(event),
  }))
}

function recordOf(item: Item, place: number): DynamoDBRecord {
  const { pk, sk } = item
  const NewImage = marshall(item, { removeUndefinedValues: true })
  const dynamodb = { SequenceNumber: String(place), Keys: marshall({ pk, sk }), NewImage }
  return { eventName: 'INSERT', dynamodb } as DynamoDBRecord
}
