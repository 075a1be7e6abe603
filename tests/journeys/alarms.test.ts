/** Faults against alarms: each fault rings its own, in the mailbox of the operators, and no other. */
import { DynamoDBClient } from '@aws-sdk/client-dynamodb'
import { DeleteCommand, DynamoDBDocumentClient, GetCommand, PutCommand } from '@aws-sdk/lib-dynamodb'
import { afterAll, beforeAll, beforeEach, expect, test } from 'vitest'
import type { ServiceRefusal } from '../../cdk/local/table/gateway.ts'
import { restoredMark } from '../../functions/store/keys.ts'
import { uuidOf } from '../../seed/chance.ts'
import { enterFirstPeople } from '../../seed/first-people.ts'
import { type LocalStack, startStack } from '../local-stack.ts'
import { signedInAs } from '../support/browser.ts'
import { aCrew, aDepot, anInstrument, aProcedure, aStick, aTest, day } from '../support/trade.ts'
import { ana, bring, furnish, put } from './furnish.ts'

const operators = 'operators@quarterturn.example'
const minute = 60_000
const hour = 60 * minute

let stack: LocalStack
let now = Date.parse('2026-03-02T14:00:00Z')

beforeAll(async () => {
  stack = await startStack({ now: new Date(now).toISOString() })
  await furnish(stack)
  await put(stack, '/v1/sticks/S-2', aStick)
  await bring(stack, aTest({ factId: uuidOf('first'), testedOn: day('2026-03-02') }))
})
afterAll(() => stack.stop())

/** All is quiet, and the alarms were looked at. */
async function settled(): Promise<void> {
  await stack.settle()
  await stack.parts.alarms.look()
}

let heard = 0
const everRung = new Set<string>()
/** What began to ring since it was asked last, without what the template adds to a name. */
async function rung(): Promise<string[]> {
  await settled()
  const mails = await stack.mail(operators)
  const fresh = mails.slice(0, mails.length - heard)
  heard = mails.length
  const names = fresh.map(({ subject }) => /^Alarm: Quarterturn-(.+)[0-9A-F]{8}$/.exec(subject)?.[1] ?? subject).sort()
  for (const name of names) everRung.add(name)
  return names
}

/** Time goes by: in steps of the schedules, so that none of it is leapt over. */
async function pass(millis: number, step: number): Promise<void> {
  for (const end = now + millis; now < end; ) {
    now += step
    await stack.clock(new Date(now).toISOString())
    await settled()
  }
}

/** Longer than any alarm goes on ringing by what is over. */
beforeEach(async () => {
  stack.parts.trouble.refuses = () => undefined
  stack.parts.trouble.quota = undefined
  now += 24 * hour
  await stack.clock(new Date(now).toISOString())
  await rung()
})

/** From now on the calls of a function to a service are refused. */
function refuse(functionName: string, service: string, refusal: ServiceRefusal, operation?: string): void {
  stack.parts.trouble.refuses = (call) =>
    call.functionName.includes(functionName) &&
    call.service === service &&
    (operation ?? call.operation) === call.operation
      ? refusal
      : undefined
}

const away = { error: 'InternalServerError', status: 500 }
const defect = (id: string) => ({
  factId: uuidOf(id),
  occurredOn: new Date(now).toISOString().slice(0, 10),
  kind: 'tingle',
})
/** By the clock of the depot. */
const localHour = () =>
  new Date(now).toLocaleTimeString('en-GB', { timeZone: aDepot.timeZone, hour: '2-digit', minute: '2-digit' })
const report = (id: string) => stack.call('POST', '/v1/sticks/S-1/defects', defect(id), 'bench')
const functionOf = (part: string) =>
  stack.parts.functionOf(
    stack.parts.deployed.all('AWS::Lambda::Function').find(({ id }) => id.startsWith(part))?.name ?? part,
  )
const queueOf = (part: string) =>
  stack.parts.deployed.arn(
    stack.parts.deployed.all('AWS::SQS::Queue').find(({ id }) => id.startsWith(part))?.id ?? part,
  )

test('four fifths of the mail quota are used up, and something is to leave that can wait', async () => {
  // what an instance was told of its quota it knows for a minute of real time
  await functionOf('DeliverNotices').layAside()
  stack.parts.trouble.quota = { max24HourSend: 100, maxSendRate: 14, sentLast24Hours: 85 }
  await report('to come back')
  await pass(20 * minute, 5 * minute)
  const testedOn = day(new Date(now).toISOString().slice(0, 10))
  await bring(stack, aTest({ factId: uuidOf('comes back'), testedOn, at: localHour() }))
  expect(await rung()).toEqual(['DeliverNoticesQuotaNearlyUsedUp'])
  stack.parts.trouble.quota = undefined
  await functionOf('DeliverNotices').layAside()
  await pass(10 * minute, 5 * minute)
})

test('nothing fails: nothing rings, on a morning with all that runs in it', async () => {
  await pass(hour, 5 * minute)
  expect(await rung()).toEqual([])
})

test('the table is away for the API', async () => {
  refuse('Rest', 'dynamodb', away)
  expect((await stack.call('GET', '/v1/depots')).status).toBe(500)
  expect(await rung()).toEqual(['RestDoorFailures'])
})

test('the API goes on failing', async () => {
  refuse('Rest', 'dynamodb', away)
  for (let period = 0; period < 2; period++) {
    await stack.call('GET', '/v1/depots')
    await pass(5 * minute, 5 * minute)
  }
  await stack.call('GET', '/v1/depots')
  expect(await rung()).toEqual(['RestDoorFailures', 'RestFailingCalls'])
})

test('the table is away for the links of mails', async () => {
  refuse('Answers', 'dynamodb', away)
  const link = `/answers/demo-utility/AAAA-BBBB-CCCC/2030-01-01T00%3A00%3A00.000Z/none`
  expect((await stack.call('GET', link, undefined, '')).status).toBe(500)
  expect(await rung()).toEqual(['AnswersDoorFailures'])
})

test('the table is away for somebody who is signed in', async () => {
  const visitor = await signedInAs(stack.api, 'manager')
  refuse('Pages', 'dynamodb', away)
  expect((await visitor.get('/roster')).status).toBe(500)
  expect(await rung()).toEqual(['PagesDoorFailures'])
})

test('the table is away for feeds', async () => {
  refuse('Feed', 'dynamodb', away)
  expect((await stack.call('GET', `/feeds/${'a'.repeat(43)}.ics`, undefined, '')).status).toBe(500)
  expect(await rung()).toEqual(['FeedDoorFailures'])
})

test('the table is away for the sweep: the run fails three times, and is kept', async () => {
  refuse('Sweep', 'dynamodb', away)
  await pass(hour, hour)
  expect(await rung()).toEqual(['MissedRunsArrived', 'SweepDoorErrors'])
})

test.each([
  ['sweep', 'Sweep', 4 * hour, hour],
  ['mailer', 'DeliverNotices', 40 * minute, 5 * minute],
  ['follow-up', 'FollowUp', 40 * minute, 5 * minute],
  ['reindex', 'Reindex', 70 * minute, 5 * minute],
  ['accounts', 'Accounts', 4 * hour, hour],
  ['plans', 'Plan', 7 * hour, hour],
  ['trees', 'Sequence', 75 * minute, 15 * minute],
  ['journal', 'Journal', 40 * minute, 5 * minute],
])('the schedule of the %s is switched off', async (_, part, millis, step) => {
  const { arn } = functionOf(part)
  stack.parts.schedules.switchOff(arn)
  await pass(millis, step)
  stack.parts.schedules.switchOn(arn)
  expect(await rung()).toEqual([`${part}Silent`])
})

test('a queue takes nothing', async () => {
  refuse('HandOn', 'sqs', away)
  await report('queue away')
  const rings = await rung()
  expect(rings).toContain('HandOnQueueAway')
  // what was tried for good lies among the dead letters
  expect(rings.filter((one) => one !== 'HandOnQueueAway')).toEqual(['HandOnNotHandedOnArrived'])
})

test('the mail quota of the day is used up', async () => {
  refuse(
    'DeliverNotices',
    'ses',
    { error: 'Throttling', status: 400, message: 'Daily message quota exceeded.' },
    'SendRawEmail',
  )
  await report('quota')
  // its message is tried in vain and lies among the dead letters; the runs every five minutes go on with it
  expect(await rung()).toEqual(['DeliverNoticesQuotaUsedUp', 'DeliverNoticesUnsentArrived'])
})

test('the account may not send', async () => {
  refuse('DeliverNotices', 'ses', { error: 'AccountSendingPausedException', status: 400 }, 'SendRawEmail')
  await report('paused')
  expect(await rung()).toEqual(['DeliverNoticesMailsRefused', 'DeliverNoticesUnsentArrived'])
})

test('one mail is refused for good, and others are taken', async () => {
  stack.parts.trouble.refuses = ({ service, body }) =>
    service === 'ses' && body.includes(encodeURIComponent(ana))
      ? { error: 'InvalidParameterValue', status: 400 }
      : undefined
  await report('for one')
  await pass(40 * minute, 5 * minute)
  expect(await rung()).toEqual(['DeliverNoticesNoticesSetAside'])
})

test('the table is away for what becomes of mails', async () => {
  refuse('Feedback', 'dynamodb', away)
  await report('unheard')
  expect(await rung()).toEqual(['FeedbackDoorErrors', 'FeedbackUnheardArrived'])
})

test('the user pool is away: whoever is entered is recorded, and gets an account once it is back', async () => {
  const email = 'nora@demo-utility.example'
  refuse('Accounts', 'cognito-idp', away)
  await put(stack, '/v1/people/nora', { name: 'Nora Lund', email, role: 'bench', depots: ['*'] })
  // its message is tried in vain and lies among the dead letters; the run of each hour goes on with it, and fails
  expect(await rung()).toEqual(['AccountsNotSeenToArrived'])
  await pass(hour, hour)
  expect(await rung()).toEqual(['AccountsDoorErrors', 'MissedRunsArrived'])
  stack.parts.trouble.refuses = () => undefined
  expect(stack.parts.pool.userOf(email)).toBeUndefined()
  await pass(hour, hour)
  expect(stack.parts.pool.userOf(email)?.enabled).toBe(true)
})

test('facts get no place in the tree: at once, by the clock, and after an hour', async () => {
  refuse('Sequence', 'dynamodb', away, 'TransactWriteItems')
  await report('no place')
  expect(await rung()).toEqual(['SequenceNotSequencedArrived'])
  await pass(15 * minute, 15 * minute)
  expect(await rung()).toEqual(['MissedRunsArrived', 'SequenceDoorErrors'])
  await pass(hour, 15 * minute)
  expect(await rung()).toContain('SequenceNotInTree')
  stack.parts.trouble.refuses = () => undefined
  await pass(15 * minute, 15 * minute)
  expect(await stack.prove()).toMatch(/none was altered, and no head either$/m)
})

test('the bucket of the journal takes nothing: what was written lies among the dead letters', async () => {
  refuse('Journal', 's3', away)
  await report('not kept')
  expect(await rung()).toEqual(['JournalNotJournalledArrived'])
})

test('mail is paused since the records were brought back, until a person lets it go on', async () => {
  const { name: TableName } = stack.parts.table
  const at = new Date(now).toISOString()
  const Item = { ...restoredMark, entity: 'restored', backupAt: at, pausedSince: at, filledAt: at }
  await documents().send(new PutCommand({ TableName, Item }))
  await report('while paused')
  await pass(5 * minute, 5 * minute)
  await documents().send(new DeleteCommand({ TableName, Key: restoredMark }))
  expect(await rung()).toEqual(['DeliverNoticesMailPaused'])
})

test.each([
  ['Rest', null],
  ['Answers', null],
  ['Feed', null],
  ['Pages', null],
  ['HandOn', { Records: [null] }],
  ['DeliverNotices', null],
  ['FollowUp', null],
  ['Journal', null],
  ['Import', null],
  ['Plan', null],
])('%s breaks off', async (part, event) => {
  await functionOf(part).invoke(event)
  expect(await rung()).toEqual([`${part}DoorErrors`])
})

test('the table is away for reindex', async () => {
  refuse('Reindex', 'dynamodb', away)
  await functionOf('Reindex').invoke({ kind: 'reindex' })
  expect(await rung()).toEqual(['ReindexDoorErrors'])
})

test.each([
  'MissedRuns',
  'FeedbackUnheard',
  'HandOnNotHandedOn',
  'FollowUpUntold',
  'DeliverNoticesUnsent',
  'AccountsNotSeenTo',
  'SequenceNotSequenced',
  'JournalNotJournalled',
  'ImportNotImported',
  'PlanNotPlanned',
])('something arrives among the dead letters of %s, and something more later: both ring', async (part) => {
  await stack.parts.queues.send(queueOf(part), { of: 'a test' })
  expect(await rung()).toEqual([`${part}Arrived`])
  await pass(10 * minute, 5 * minute)
  expect(await rung()).toEqual([])
  await stack.parts.queues.send(queueOf(part), { of: 'a test, again' })
  expect(await rung()).toEqual([`${part}Arrived`])
})

/** The table, past everything that guards it. */
function documents(): DynamoDBDocumentClient {
  const { endpoint } = stack.parts.table
  const credentials = { accessKeyId: 'local', secretAccessKey: 'local' }
  return DynamoDBDocumentClient.from(new DynamoDBClient({ endpoint, region: 'us-east-1', credentials }))
}

test('an item of the table does not read', async () => {
  const { name } = stack.parts.table
  const table = documents()
  const Key = { pk: 'ORG#demo-utility#STICK#S-2', sk: 'STATE' }
  const { Item } = await table.send(new GetCommand({ TableName: name, Key }))
  await table.send(new PutCommand({ TableName: name, Item: { ...Item, state: 'broken' } }))
  await stack.call('GET', '/v1/roster')
  await table.send(new PutCommand({ TableName: name, Item: Item ?? Key }))
  expect(await rung()).toEqual(['DoesNotRead'])
})

test('nobody who could be told of a due stick has an address', async () => {
  const { identity, pool, table } = stack.parts
  const owner = { organisation: 'lone-utility', name: 'Lou Brandt', email: 'owner@lone-utility.example' }
  pool.call('AdminCreateUser', { Username: owner.email }, undefined)
  const signIn = { issuer: identity.issuer, sub: pool.userOf(owner.email)?.sub ?? '' }
  const people = [{ ...signIn, organisation: owner.organisation, personId: 'owner' }]
  await enterFirstPeople(table, { owners: [owner], people, now: '2020-01-01T00:00:00.000Z' })
  const token = await identity.accessToken(owner.email)
  const enter = async (path: string, body: object) =>
    expect((await stack.call('PUT', path, body, token)).status, path).toBeLessThan(202)
  await enter('/v1/policies/employer', { packs: ['us-29-cfr-1910-269-j'], effectiveFrom: '2020-01-01' })
  // whatever the hour here, its morning has begun
  await enter('/v1/depots/DEP-1', { ...aDepot, sweepHour: 0 })
  await enter('/v1/crews/CR-1', { ...aCrew, recipients: [{ name: 'Edo', phone: '1', role: 'crew' }] })
  await enter('/v1/instruments/INS-1', { ...anInstrument, calibratedOn: '2024-01-01' })
  await enter('/v1/procedures/PRC-1', aProcedure)
  await enter('/v1/sticks/S-1', aStick)
  const tested = aTest({ factId: uuidOf('lone'), testedOn: day('2024-04-02') })
  expect((await stack.call('POST', '/v1/sticks/S-1/bench-tests', tested, token)).status).toBe(201)
  // with the owner's entry the last address is gone
  await documents().send(
    new DeleteCommand({ TableName: table.name, Key: { pk: 'ORG#lone-utility#REGISTER#person', sk: 'owner' } }),
  )
  await pass(hour, hour)
  expect(await rung()).toEqual(['SweepNobodyToTell'])
})

test('every alarm that runs here was rung by a fault above', () => {
  const names = Object.keys(stack.parts.alarms.states()).map((one) => one.replace(/^Quarterturn-|[0-9A-F]{8}$/g, ''))
  const without = names.filter((one) => !everRung.has(one)).sort()
  expect(without).toEqual([])
})
