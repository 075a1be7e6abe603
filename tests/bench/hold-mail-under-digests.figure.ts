/** How long somebody may go on holding a stick that was reported while a whole utility's digests are leaving. */
import { setTimeout as pause } from 'node:timers/promises'
import { DynamoDBClient } from '@aws-sdk/client-dynamodb'
import { DynamoDBDocumentClient } from '@aws-sdk/lib-dynamodb'
import type { RefusedCall } from '../../cdk/local/table/gateway.ts'
import { openOrganisation } from '../../functions/store/organisation.ts'
import { mostInOneTransaction, openTable } from '../../functions/store/table.ts'
import { type Instant, instantOf, localDateAt } from '../../shared-domain/calendar.ts'
import type { OwedNotice } from '../../shared-domain/notices/notice.ts'
import { bring, put } from '../journeys/furnish.ts'
import type { LocalStack } from '../local-stack.ts'
import { aCrew, aDepot, aStick, aTest } from '../support/trade.ts'
import type { Figure } from './figure.ts'
import { median } from './interleaved.ts'
import { theStack } from './stack.ts'

const digests = 3000
const mailsPerSecond = 14
const mostRounds = 15
/** Between two reports, so that they meet the queue in more than one place. */
const breathMillis = 500

export const figure: Figure = {
  unit:
    `seconds from a reported defect to its mail being accepted behind ${digests} digests at ${mailsPerSecond} mails ` +
    'a second, median',
  better: 'lower',
  goal: 5,
  floorIn: 's',
  async measure(rounds) {
    const stack = await theStack()
    const names = Array.from({ length: Math.min(rounds, mostRounds) }, (_, i) => `D${i + 1}`)
    for (const name of names) await enter(stack, name)
    await bring(stack, aTest({ testedOn: today() }))
    await stack.settle()
    limit(stack)
    await oweDigests(stack)
    const seconds: number[] = []
    for (const name of names) {
      await pause(breathMillis)
      seconds.push(await hold(stack, name))
    }
    const waiting = digests - (await stack.mail()).filter(({ to }) => to.endsWith(readers)).length
    if (waiting < digests / 2) throw new Error(`only ${waiting} digests were still to leave`)
    await letLeave(stack)
    // one mail at that rate
    return { value: median(seconds), floor: 1 / mailsPerSecond }
  },
}

const readers = '@reader.example'
const addressOf = (name: string) => `${name.toLowerCase()}@crew-one.example`
const now = () => instantOf(Date.now())
const today = () => localDateAt(now(), aDepot.timeZone)

async function enter(stack: LocalStack, name: string): Promise<void> {
  const recipient = { name: 'Ana Ferro', email: addressOf(name), role: 'crew' }
  await put(stack, `/v1/crews/CR-${name}`, { ...aCrew, recipients: [recipient] })
  await put(stack, `/v1/sticks/S-${name}`, { ...aStick, crewId: `CR-${name}` })
}

/** As the mail service does: it tells its rate, and refuses what comes faster. */
function limit(stack: LocalStack): void {
  const { trouble } = stack.parts
  trouble.quota = { max24HourSend: 1_000_000, maxSendRate: mailsPerSecond, sentLast24Hours: 0 }
  let left = mailsPerSecond
  let at = performance.now()
  trouble.refuses = ({ service, operation }: RefusedCall) => {
    if (service !== 'ses' || operation !== 'SendRawEmail') return undefined
    left = Math.min(mailsPerSecond, left + ((performance.now() - at) / 1000) * mailsPerSecond)
    at = performance.now()
    if (left < 1) return { error: 'Throttling', status: 400, message: 'Maximum sending rate exceeded.' }
    left -= 1
    return undefined
  }
}

/** Written as the morning's round writes them. */
async function oweDigests(stack: LocalStack): Promise<void> {
  const { name, endpoint } = stack.parts.table
  const credentials = { accessKeyId: 'local', secretAccessKey: 'local' }
  const client = DynamoDBDocumentClient.from(new DynamoDBClient({ endpoint, region: 'us-east-1', credentials }), {
    marshallOptions: { removeUndefinedValues: true },
  })
  const table = openTable(client, name)
  const { notices } = openOrganisation(table, 'demo-utility')
  for (let from = 0; from < digests; from += mostInOneTransaction) {
    const some = Array.from({ length: Math.min(mostInOneTransaction, digests - from) }, (_, i) => digestFor(from + i))
    await table.transact(some.map((digest) => notices.owedWrite(digest, now() as Instant)))
  }
  client.destroy()
}

function digestFor(i: number): OwedNotice {
  const email = `reader-${i}${readers}`
  const day = today()
  const line = {
    stickId: 'S-1',
    crewId: 'CR-1',
    crewName: aCrew.name,
    status: 'in service' as const,
    dueOn: day,
    daysLeft: 0,
    bringTo: aDepot.name,
    why: 'It may be used today.',
    source: '29 CFR 1910.269(j)(2)(iii)',
    holds: [],
  }
  return {
    kind: 'digest',
    key: ['digest', day, 'bench', email].join('|'),
    to: { name: `Reader ${i}`, email, role: 'crew', tellInPerson: [] },
    day,
    lines: [line],
  }
}

async function hold(stack: LocalStack, name: string): Promise<number> {
  const started = Date.now()
  const body = { factId: crypto.randomUUID(), occurredOn: today(), kind: 'tingle' }
  const { status, text } = await stack.call('POST', `/v1/sticks/S-${name}/defects`, body)
  if (status !== 201) throw new Error(`a defect of S-${name}: ${status} ${text}`)
  for (;;) {
    const { json } = await stack.call('GET', `/v1/notices?stick=S-${name}`)
    const { items } = json as { items: { to: { email: string }; sentAt: string | null }[] }
    const sentAt = items.find(({ to }) => to.email === addressOf(name))?.sentAt
    if (typeof sentAt === 'string') return (Date.parse(sentAt) - started) / 1000
    await pause(100)
  }
}

/** What is left leaves as fast as it goes, so that it meets no other figure. */
async function letLeave(stack: LocalStack): Promise<void> {
  stack.parts.trouble.quota = undefined
  stack.parts.trouble.refuses = () => undefined
  const [mailer] = stack.parts.deployed.all('AWS::Lambda::Function').filter(({ id }) => id.startsWith('DeliverNotices'))
  await stack.parts.functionOf(mailer?.name ?? '').layAside()
  for (let tries = 0; tries < 20; tries++) {
    const { status } = await stack.call('POST', '/local/settle', {}, '')
    if (status === 200) return
  }
  throw new Error('the digests did not leave')
}
