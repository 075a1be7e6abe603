/**
 * A utility in memory, its clock, its stream, its queues and its functions, each invocation with clients of its own. Nothing here asks
 * the machine for time or chance, so that one seed is one run.
 */
import { type SESClient, SendRawEmailCommand } from '@aws-sdk/client-ses'
import { SendMessageCommand, type SQSClient } from '@aws-sdk/client-sqs'
import { marshall } from '@aws-sdk/util-dynamodb'
import type { DynamoDBRecord, SQSBatchResponse, SQSRecord } from 'aws-lambda'
import { buildAnswers } from '../../functions/answers/answers.ts'
import { buildApi } from '../../functions/api/api.ts'
import { deliverUnsent, type Parts } from '../../functions/deliver-notices/deliver-notices.ts'
import { deliverFromQueue } from '../../functions/deliver-notices/from-queue.ts'
import { type Mailer, sesMailer } from '../../functions/deliver-notices/mail.ts'
import { accountPace } from '../../functions/deliver-notices/pace.ts'
import { takeAll } from '../../functions/feedback/feedback.ts'
import { followUp } from '../../functions/follow-up/follow-up.ts'
import { tellFromQueue, tellOfUndelivered } from '../../functions/follow-up/undelivered.ts'
import { handOn, type QueueName } from '../../functions/hand-on/hand-on.ts'
import { proveStick } from '../../functions/prove-states/prove-states.ts'
import { standingToday } from '../../functions/questions/today.ts'
import { reindex } from '../../functions/reindex/reindex.ts'
import type { Notice } from '../../functions/store/notices.ts'
import { openOrganisation } from '../../functions/store/organisation.ts'
import { type Item, openTable, type Table } from '../../functions/store/table.ts'
import { queuePrefix } from '../../functions/store/table-shape.ts'
import { sweep } from '../../functions/sweep/sweep.ts'
import { answerPath } from '../../functions/web/answer-link.ts'
import { chanceOf, uuidOf, whole } from '../../seed/chance.ts'
import { type Instant, instantOf } from '../../shared-domain/calendar.ts'
import { depotOf } from '../../shared-domain/state/whereabouts.ts'
import { demo, furnish, openHouse } from '../functions/house.ts'
import { fakeTable } from '../support/fake-table.ts'
import { aCrew, aStick, aTest, day, overTheLimit } from '../support/trade.ts'
import { clientsOf } from './clients.ts'
import { type Away, type Plan, pick } from './plan.ts'

const begin = Date.parse('2026-03-06T15:00:00.000Z')
const minute = 60_000
const hour = 60 * minute
const settings = {
  from: 'notices@quarterturn.example',
  configurationSet: 'feedback',
  pagesUrl: 'https://pages.example',
  answersUrl: 'https://answers.example',
}

/** S-1 and S-5 are sound, S-2 runs out soon and S-4 has run out, S-3 failed once and was refinished: its next failure removes it. */
export async function furnished(): Promise<readonly Item[]> {
  const house = openHouse([], '2026-03-05T15:00:00.000Z')
  await furnish(house)
  for (const id of ['S-2', 'S-3', 'S-4', 'S-5']) await house.done('PUT', `/v1/sticks/${id}`, aStick)
  const test = (id: string, on: string, over = false) =>
    house.done('POST', `/v1/sticks/${id}/bench-tests`, (over ? overTheLimit : aTest)({ testedOn: day(on) }))
  for (const id of ['S-1', 'S-3', 'S-5']) await test(id, '2026-01-10')
  await test('S-2', '2024-03-20')
  await test('S-4', '2024-03-04')
  await test('S-3', '2026-03-02', true)
  const step = {
    factId: uuidOf('refinished'),
    occurredOn: '2026-03-03',
    at: '10:00',
    kind: 'refinished',
    by: 'Ines Roth',
  }
  await house.done('POST', '/v1/sticks/S-3/corrective-steps', step)
  const { notices } = house.organisation()
  for (const notice of noticesIn(house.table.items())) await notices.confirm(notice, house.clock())
  return house.table.items()
}

const yearly = {
  packs: ['us-29-cfr-1910-269-j'],
  shorten: [{ requirement: 'us-29-cfr-1910-269-j-frp', interval: { months: 12 }, source: 'company rule 7' }],
}

const noticesIn = (items: readonly Item[]) => items.filter(({ entity }) => entity === 'notice') as unknown as Notice[]

export interface Outcome {
  /** those owed since the beginning */
  readonly notices: readonly Notice[]
  /** by number: how often SES has accepted it */
  readonly accepted: ReadonlyMap<string, number>
  /** what does not hold of the states */
  readonly faults: readonly string[]
}

const everyDeed = ['hold', 'second hold', 'removal', 'sweep'] as const
/** What lists have to follow; after all else, so that the next morning tells of it whatever came before. */
const everyChange = ['shorter rule', 'crew moved'] as const
type Deed = (typeof everyDeed)[number] | (typeof everyChange)[number]
const crewMember = 'ana@crew-one.example'
const foreman = 'bo@crew-one.example'
export const southManager = 'sol@demo-utility.example'

export interface Scene {
  readonly deeds: readonly Deed[]
  /** an address that mail comes back from, for good */
  readonly bounces: string | null
  /** the crew member confirms what came within minutes */
  readonly answers: boolean
  /** for an hour */
  readonly away: Away | null
}

const neverAway = Array.from({ length: 10 }, () => null)

/** What is done in a run, each at least now and then and in any order, and what the people do. */
export function sceneOf(seed: string): Scene {
  const chance = chanceOf(`${seed} deeds`)
  const some = everyDeed.filter(() => chance() < 0.4)
  const deeds = some.length > 0 ? some.sort(() => chance() - 0.5) : [pick(chance, everyDeed)]
  const people = { bounces: pick(chance, [null, null, foreman, crewMember]), answers: chance() < 0.3 }
  const changes = everyChange.filter(() => chance() < 0.15)
  return { deeds: [...deeds, ...changes], ...people, away: pick(chance, [...neverAway, 'mail', 'items']) }
}

interface Lying {
  readonly record: SQSRecord
  readonly received: number
}

export async function simulate(
  kept: readonly Item[],
  seed: string,
  { deeds, bounces, answers, away }: Scene,
  plan: Plan,
): Promise<Outcome> {
  const chance = chanceOf(`${seed} order`)
  const composes = chance() < 0.1
  const before = new Set(noticesIn(kept).map(({ number }) => number))
  const table = fakeTable(kept)
  const accepted = new Map<string, number>()
  let stream: Item[] = []
  const queues: Record<QueueName, Lying[]> = { urgent: [], others: [], undelivered: [] }
  let sent = 0
  let said: { id: string; message: string }[] = []
  let now = begin
  let troubled = true

  const clock = () => instantOf(now)
  const surroundings = {
    table,
    plan,
    onWrite: (items: readonly Item[], changed: readonly Item[]) => {
      stream.push(...items.filter(({ entity }) => entity === 'notice'))
      stream.push(...changed.filter(({ queue }) => String(queue).startsWith(queuePrefix.undelivered)))
    },
    onSent: (queue: string, body: string) => {
      sent += 1
      queues[queue as QueueName].push({ record: { messageId: String(sent), body } as SQSRecord, received: 0 })
    },
    onAccepted: (number: string) => {
      accepted.set(number, (accepted.get(number) ?? 0) + 1)
      said.push(...saidOf(number, noticesIn(table.items()), bounces, accepted.get(number) ?? 0))
    },
  }

  /** Null where the function ended or failed. */
  async function invoke<T>(work: (table: Table, parts: Parts, sqs: SQSClient) => Promise<T>): Promise<T | null> {
    const { promise: ended, resolve: end } = Promise.withResolvers<null>()
    const { document, ses, sqs } = clientsOf(surroundings, () => end(null))
    const own = openTable(document, 'faults')
    const mailer = composes ? sesMailer(ses, settings) : bareMailer(ses)
    const sleep = async (millis: number) => {
      now += Math.ceil(millis)
    }
    const pace = accountPace(mailer.quota, { now: () => now, sleep, random: chance })(now + 45_000)
    table.trouble(troubled && chance() < 0.3 ? { indexLag: whole(chance, 1, 6) } : {})
    try {
      return await Promise.race([work(own, { table: own, mailer, clock, pace }, sqs), ended])
    } catch {
      return null
    } finally {
      now += whole(chance, 5, 500)
    }
  }

  /** As people do: the same body again until there is an answer. */
  const post = (path: string, body: unknown) => send('POST', path, body)
  async function send(method: 'POST' | 'PUT', path: string, body: unknown): Promise<void> {
    for (let tries = 0; tries < 9; tries++) {
      const answer = await invoke((own) =>
        Promise.resolve(apiOn(own, clock).request(path, { method, body: JSON.stringify(body) })),
      )
      if (answer !== null && answer.status < 500) {
        if (answer.status > 201) throw new Error(`${path}: ${answer.status} ${await answer.text()}`)
        return
      }
    }
    throw new Error(`${path} was never answered`)
  }

  const defect = (kind: string) => ({ factId: uuidOf(`${seed} ${kind}`), occurredOn: '2026-03-06', kind })
  const does: Record<Deed, () => Promise<unknown>> = {
    hold: () => post('/v1/sticks/S-1/defects', defect('tingle')),
    'second hold': () => post('/v1/sticks/S-5/defects', defect('drop')),
    removal: () =>
      post(
        '/v1/sticks/S-3/bench-tests',
        overTheLimit({ factId: uuidOf(`${seed} removal`), testedOn: day('2026-03-06') }),
      ),
    sweep: () => invoke((own) => sweep(own, clock)),
    'shorter rule': () => send('PUT', '/v1/policies/employer', yearly),
    'crew moved': () => send('PUT', '/v1/crews/CR-1', { ...aCrew, depotId: 'DEP-2' }),
  }
  const changes = deeds.some((deed) => deed === 'shorter rule' || deed === 'crew moved')
  const mornings = deeds.includes('sweep') || changes

  /** The topic hands over each message in any order, now and then twice; its function is tried three times, then by hand. */
  async function hear(): Promise<void> {
    const left = troubled ? said.toSorted(() => chance() - 0.5) : said
    said = []
    for (const one of left) {
      for (let times = troubled && chance() < 0.2 ? 2 : 1; times > 0; times--) {
        if (!(await thrice((own) => takeAll({ table: own, clock }, [one])))) said.push(one)
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

  /** Presses the button in each mail that came, until the page says that it is recorded. */
  async function confirm(): Promise<void> {
    const open = noticesIn(table.items()).filter(
      ({ number, to, answerKey, answeredAt }) =>
        accepted.has(number) && to.email === crewMember && answerKey !== undefined && answeredAt === undefined,
    )
    for (const notice of open) {
      for (let tries = 0; tries < 5; tries++) {
        const page = await invoke((own) => Promise.resolve(pressed(own, clock, notice)))
        if (page !== null && page.status < 500) break
      }
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
    await read('urgent', (_, parts, message) => deliverFromQueue(parts, [message]))
    await read('others', (_, parts, message) => deliverFromQueue(parts, [message]))
  }

  /** Tried again from the first that is left, five times; after that nothing but the runs every few minutes is left. */
  async function handOver(batch: readonly DynamoDBRecord[]): Promise<void> {
    let rest = batch
    for (let tries = 0; tries < 6; tries++) {
      const send = (sqs: SQSClient) => (queue: QueueName, MessageBody: string) =>
        sqs.send(new SendMessageCommand({ QueueUrl: queue, MessageBody }))
      const outcome = await invoke((_, __, sqs) => handOn(send(sqs), rest))
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

  const unsent = () => invoke((_, parts) => deliverUnsent(parts))
  const follow = async () => {
    await invoke((own) => followUp(own, clock()))
    await invoke((own) => tellOfUndelivered(own, clock()))
  }

  async function round(minutes: number): Promise<void> {
    now += minutes * minute
    await drain()
    // side by side, as nothing keeps them apart
    await Promise.all([unsent(), troubled && chance() < 0.3 ? unsent() : undefined])
    await hear()
    await drain()
    await read('undelivered', (own, _, message) => tellFromQueue(own, clock, [message]))
    if (answers) await confirm()
    if (changes) await invoke((own) => reindex(own, clock(), () => !troubled || chance() > 0.1))
  }

  for (const deed of deeds) {
    await does[deed]()
    if (away === null && chance() < 0.5) await round(whole(chance, 0, 4))
  }
  plan.sendAway(away)
  for (let rounds = 0; away !== null && rounds < 12; rounds++) await round(5)
  plan.sendAway(null)
  await round(whole(chance, 0, 3))
  await round(5)
  now += 4 * hour
  await follow()
  await round(1)

  plan.stop()
  troubled = false
  for (let rounds = 0; rounds < 3; rounds++) await round(5)
  // as often as the crew's silence can climb, and what was due meanwhile
  for (let climbs = 0; climbs < 3; climbs++) {
    now += 4 * hour + 5 * minute
    if (mornings) await does.sweep()
    await follow()
    await round(0)
  }
  now = begin + 24 * hour
  if (mornings) await does.sweep()
  for (let rounds = 0; rounds < 2; rounds++) await round(5)

  const notices = noticesIn(table.items()).filter(({ number }) => !before.has(number))
  const faults = [...(await statesAgainstFacts(table)), ...(await listsAgainstStates(table, clock()))]
  return { notices, accepted, faults }
}

/** As the mail service tells it: handed over, and then delivered or come back for good. */
function saidOf(number: string, notices: readonly Notice[], bounces: string | null, time: number) {
  const notice = notices.find((one) => one.number === number)
  if (notice === undefined) throw new Error(`${number} was accepted and is not in the table`)
  const { organisation, to } = notice
  const tags = { notice: [number], organisation: [organisation] }
  const mail = { messageId: `ses-${number}`, destination: [to.email], tags }
  const bounce = {
    bounceType: 'Permanent',
    bounceSubType: 'General',
    bouncedRecipients: [{}],
    feedbackId: `${number} ${time}`,
  }
  const became = to.email === bounces ? { eventType: 'Bounce', mail, bounce } : { eventType: 'Delivery', mail }
  return [{ eventType: 'Send', mail }, became].map((event, i) => ({
    id: `${number} ${time} ${i}`,
    message: JSON.stringify(event),
  }))
}

const pressed = (table: Table, clock: Parts['clock'], notice: Notice) =>
  buildAnswers({ table, clock }).request(answerPath(notice) ?? '', { method: 'POST' })

/** Composing takes longer than all else and fails nowhere here: a run in ten does it. */
const bareMailer = (ses: SESClient): Mailer => ({
  async send({ number }) {
    const Tags = [{ Name: 'notice', Value: number }]
    const { MessageId } = await ses.send(new SendRawEmailCommand({ Tags, RawMessage: { Data: new Uint8Array() } }))
    return MessageId ?? ''
  },
  quota: sesMailer(ses, settings).quota,
})

const apiOn = (table: Table, clock: Parts['clock']) =>
  buildApi({
    table,
    clock,
    claimsOf: () => ({ sub: 'owner', organisation: demo, role: 'owner' }),
    openApi: async () => ({}),
    feedsUrl: 'https://api.example',
  })

function recordOf(item: Item, place: number): DynamoDBRecord {
  const { pk, sk } = item
  const NewImage = marshall(item, { removeUndefinedValues: true })
  const dynamodb = { SequenceNumber: String(place), Keys: marshall({ pk, sk }), NewImage }
  return { eventName: 'INSERT', dynamodb } as DynamoDBRecord
}

async function statesAgainstFacts(table: Table): Promise<string[]> {
  const organisation = openOrganisation(table, demo)
  const proofs = await Promise.all(['S-1', 'S-2', 'S-3', 'S-4', 'S-5'].map((id) => proveStick(organisation, id)))
  return proofs.flatMap(({ stickId, faults }) => faults.map((fault) => `${stickId}: ${fault}`))
}

/** Every stick lies where its crew belongs, and by the date that the rules of the day give it, unless it is out for good. */
async function listsAgainstStates(table: Table, now: Instant): Promise<string[]> {
  const organisation = openOrganisation(table, demo)
  const crew = await organisation.crewNow('CR-1', now)
  const sticks = await organisation.sticks.fresh(['S-1', 'S-2', 'S-3', 'S-4', 'S-5'])
  const wrong = sticks.map(async (stored) => {
    const { dueOn, status } = (await standingToday({ organisation, now }, stored)).standing
    const depotId = depotOf(stored.state, crew?.body.depotId ?? null)
    const inPlace = status === 'removed from service' || stored.shownDueOn === dueOn
    if (stored.depotId === depotId && inPlace) return []
    return [`${stored.stickId} lies at ${stored.depotId} by ${stored.shownDueOn}, not at ${depotId} by ${dueOn}`]
  })
  return (await Promise.all(wrong)).flat()
}
