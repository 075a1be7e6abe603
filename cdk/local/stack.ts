/** A synthesised template that runs: every part of it on this machine, wired as the template says. */

import { existsSync, mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { createServer, type RequestListener } from 'node:http'
import { join } from 'node:path'
import { type Alarms, alarms } from './alarms/alarms.ts'
import { logFilters } from './alarms/log-filters.ts'
import { lyingIn, type Metrics, metrics, ofApi, ofFunction } from './alarms/metrics.ts'
import { type SettableClock, settableClock } from './clock.ts'
import { type Closers, closers } from './closers.ts'
import { close, listen, loopback } from './free-port.ts'
import { controls } from './front/controls.ts'
import { front } from './front/http.ts'
import { type LocalFunction, type LogLine, localFunction } from './functions/functions.ts'
import { backgroundRuns } from './functions/runs.ts'
import { type Schedules, schedules } from './functions/schedules.ts'
import { mailFeedback, type SentMail } from './mail/feedback.ts'
import { type MailService, mailService } from './mail/mail.ts'
import { type IdentityParts, type IdentityProvider, identityProvider } from './people/identity.ts'
import { buttonOf, type DemoPerson, emailOf, furnish, people, tokenName } from './people/people.ts'
import { type LocalPool, localPool } from './people/pool.ts'
import { startBuckets } from './sources/buckets.ts'
import { type Queues, startQueues } from './sources/queues.ts'
import { eventSources } from './sources/sources.ts'
import { type DynamoDb, provideTable, sharedDynamoDb, startDynamoDb, streamOf } from './table/dynamodb.ts'
import { type CallingFunction, gateway, type PlantedTrouble } from './table/gateway.ts'
import { permissionsOf } from './table/permissions.ts'
import { secretsIn } from './template/secrets.ts'
import { type Deployed, functionNamed, type Resource, readTemplate } from './template/template.ts'
import { checkWiring } from './template/wiring.ts'

export interface StackOptions {
  /** the folder with the synthesised template, once it is there */
  readonly template: Promise<string>
  /** the folder of the data; without one nothing is kept */
  readonly dataFolder?: string
  /** the port of a table emulator that several stacks share; without it this one has its own */
  readonly sharedTable?: number | undefined
  readonly fresh?: boolean
  /** loads each function at its first event, not at the start */
  readonly lazy?: boolean
  readonly port?: number
  readonly now?: number
  /** two organisations and their people on the first start */
  readonly furnished?: boolean
  readonly log?: (line: LogLine) => void
  /** hears what is being started */
  readonly say?: (text: string) => void
}

export interface RunningStack {
  readonly api: string
  readonly mailbox: string
  /** the table's name and address, for commands and tools */
  readonly table: { readonly name: string; readonly endpoint: string }
  readonly tokens: Readonly<Record<string, string>>
  readonly identity: IdentityProvider
  readonly pool: LocalPool
  /** where commands of whoever runs the service find AWS */
  readonly aws: string
  readonly deployed: Deployed
  readonly queues: Queues
  readonly alarms: Alarms
  /** calls that a test has services refuse from now on */
  readonly trouble: PlantedTrouble
  readonly functionOf: (name: string) => LocalFunction
  /** the schedules of functions, by their ARN */
  readonly schedules: Pick<Schedules, 'switchOff' | 'switchOn'>
  readonly stop: () => Promise<void>
  /** the reason of an end that nobody asked for, such as that of the table */
  readonly died: Promise<string>
}

const mailDomain = 'quarterturn.example'
/** The address at which alarms ring. */
const operators = `operators@${mailDomain}`
/**
 * What the template's parameters are here: the demo fleet comes in within a minute or two, through the doors of one
 * organisation. @lintignore what looks at the grants reads the template as the stack does
 */
export const localParameters = { MailDomain: mailDomain, AlarmEmail: operators, RequestsPerSecond: '1000' }

export async function startStack(options: StackOptions, closing = closers()): Promise<RunningStack> {
  try {
    return await start(options, closing)
  } catch (error) {
    await closing.closeAll()
    throw error
  }
}

async function start(options: StackOptions, closing: Closers): Promise<RunningStack> {
  const clock = settableClock(options.now)
  let handle: RequestListener = (_, response) => response.writeHead(503).end()
  const server = createServer({ keepAliveTimeout: 65_000 }, (message, response) => handle(message, response))
  const api = `http://${loopback}:${await listen(server, options.port)}`
  closing.add(() => close(server))
  options.say?.('Starting the local table (Java) …')
  const invitations: { send: (email: string) => void } = { send: () => undefined }
  const pool = poolOf(options, invitations)
  const { dynamodb, identity, folder } = await groundwork(options, { pool, pages: api }, closing)
  const deployed = templateAt(folder, { identity, apiEndpoint: api, dataFolder: options.dataFolder })
  const figures = metrics(clock)
  const trouble: PlantedTrouble = { refuses: () => undefined }
  options.say?.('Starting the functions, the queues and the mail service …')
  const log = counting(deployed, figures, options.log)
  const bucketFolder = options.dataFolder && join(options.dataFolder, 'buckets')
  const ground: Ground = { deployed, dynamodb, clock, log, figures, trouble, pool, identity, bucketFolder }
  const running = await services(ground, closing)
  if (!options.lazy) await running.warm()
  const { functionOf, mail, runs, letters, poller, aws } = running
  invitations.send = invitationBy(deployed, mail.receive)
  const bells = closable(bellsOf(ground, running), closing)
  const timetable = schedules(deployed, clock, (arn, payload) => runs.start(functionOf(arn), payload))
  closing.add(timetable.stop)
  handle = front({
    deployed,
    functionOf,
    keysOf: (issuer) => {
      if (issuer === identity.issuer) return identity.keys
      throw new Error(`the local stack runs no OpenID provider ${issuer}`)
    },
    answered: (apiId, status) => {
      figures.count(ofApi('Count', apiId), 1)
      figures.count(ofApi('5xx', apiId), status >= 500 ? 1 : 0)
    },
    controls: controls({ clock, schedules: timetable, runs, poller, mail, alarms: bells }),
  })
  const tokens = await tokensOf(identity)
  const table = tableAt(ground)
  if (options.furnished ?? true) {
    await furnish({
      api,
      table,
      now: clock.now(),
      tokenOf: (person) => tokens.get(person) ?? '',
      subjectOf: (person) => ({ issuer: identity.issuer, sub: pool.userOf(emailOf(person))?.sub ?? '' }),
    })
  }
  return {
    api,
    mailbox: mail.page,
    table,
    tokens: named(tokens),
    identity,
    pool,
    aws,
    deployed,
    queues: letters,
    alarms: bells,
    trouble,
    functionOf,
    schedules: timetable,
    stop: closing.closeAll,
    died: dynamodb.died,
  }
}

/** The table that the functions work on, by the stream that they are handed: the template's own, or a restored one. */
function workTableOf(deployed: Deployed): string {
  const sources = deployed.all('AWS::Lambda::EventSourceMapping').map(({ properties }) => properties.EventSourceArn)
  return sources.flatMap((arn) => /^arn:aws:dynamodb:.*:table\/([^/]+)\/stream\//.exec(arn)?.[1] ?? [])[0] ?? ''
}

/** A restored table was made by whoever restored it, and has to be there. */
async function provideWorkTable(deployed: Deployed, dynamodb: DynamoDb): Promise<{ readonly streamArn: string }> {
  const name = workTableOf(deployed)
  const own = deployed.all('AWS::DynamoDB::Table').find((table) => table.name === name)
  return own === undefined ? streamOf(dynamodb, name) : provideTable(dynamodb, own)
}

/** The people of the demonstration, and whoever is made later: those get a mail, once there is what sends it. */
function poolOf(
  { fresh, dataFolder }: StackOptions,
  invitations: { readonly send: (email: string) => void },
): LocalPool {
  const file = dataFolder && join(dataFolder, 'pool.json')
  if (fresh && file !== undefined) rmSync(file, { force: true })
  return localPool({
    first: people.map((one) => ({ email: emailOf(one), button: buttonOf(one) })),
    file,
    invite: (email) => invitations.send(email),
  })
}

/** What a template of this stack is read with. */
interface Around {
  readonly identity: IdentityProvider
  readonly apiEndpoint: string
  readonly dataFolder: string | undefined
}

function templateAt(folder: string, { identity, apiEndpoint, dataFolder }: Around): Deployed {
  return readTemplate(folder, {
    parameters: localParameters,
    apiEndpoint,
    secrets: secretsIn(dataFolder),
    pool: identity,
  })
}

/** A log whose lines are counted by the filters of the template. */
function counting(deployed: Deployed, figures: Metrics, log: StackOptions['log']): Ground['log'] {
  const count = logFilters(deployed, figures)
  return (line) => {
    count(line)
    log?.(line)
  }
}

/** Alarms ring by mail. */
function bellsOf(
  { deployed, clock, figures }: Ground,
  { letters, mail }: Pick<Awaited<ReturnType<typeof services>>, 'letters' | 'mail'>,
): Alarms & { readonly stop: () => unknown } {
  return alarms({
    deployed,
    clock,
    metrics: figures,
    ask: () => lookIntoQueues(deployed, letters, figures),
    ring: ({ alarm, description, to, at }) =>
      mail.receive({
        from: 'alarms@sns.example',
        to,
        subject: `Alarm: ${alarm}`,
        text: `${description}\n\nIt rings since ${new Date(at).toISOString()}.`,
      }),
  })
}

const tableAt = ({ deployed, dynamodb }: Ground): RunningStack['table'] => ({
  name: workTableOf(deployed),
  endpoint: dynamodb.endpoint,
})

/** Parts that need no template start while the template is made. */
async function groundwork(
  { template, dataFolder, fresh, sharedTable }: StackOptions,
  people: Pick<IdentityParts, 'pool' | 'pages'>,
  closing: Closers,
) {
  const folder = dataFolder && join(dataFolder, 'table')
  if (fresh && folder !== undefined) rmSync(folder, { recursive: true, force: true })
  if (fresh && dataFolder !== undefined) rmSync(join(dataFolder, 'buckets'), { recursive: true, force: true })
  if (dataFolder !== undefined) mkdirSync(dataFolder, { recursive: true })
  const parts = await Promise.allSettled([
    sharedTable === undefined ? startDynamoDb(closing, { folder }) : sharedDynamoDb(sharedTable, closing),
    identityProvider({ ...people, port: portKept(dataFolder) }).then((one) => {
      keepPort(dataFolder, one.issuer)
      return closable(one, closing)
    }),
    template,
  ])
  const failed = parts.find((part) => part.status === 'rejected')
  if (failed !== undefined) throw failed.reason
  const [dynamodb, identity, synthesised] = parts as { value: unknown }[]
  return {
    dynamodb: dynamodb?.value as DynamoDb,
    identity: identity?.value as IdentityProvider,
    folder: synthesised?.value as string,
  }
}

/** Subjects are bound with the issuer's address, so it is best the same at each start. */
const portFile = (dataFolder: string) => join(dataFolder, 'provider-port')

function portKept(dataFolder: string | undefined): number | undefined {
  if (dataFolder === undefined || !existsSync(portFile(dataFolder))) return undefined
  return Number(readFileSync(portFile(dataFolder), 'utf8')) || undefined
}

function keepPort(dataFolder: string | undefined, issuer: string): void {
  if (dataFolder !== undefined) writeFileSync(portFile(dataFolder), new URL(issuer).port)
}

/** The pool's own mail to somebody who was made there, in the words of the template. Nobody needs its password here. */
function invitationBy(deployed: Deployed, receive: MailService['receive']): (email: string) => void {
  const [pool] = deployed.all('AWS::Cognito::UserPool')
  const { EmailSubject = '', EmailMessage = '' } = pool?.properties.AdminCreateUserConfig?.InviteMessageTemplate ?? {}
  return (email) =>
    receive({
      from: 'no-reply@pool.example',
      to: email,
      subject: EmailSubject,
      text: EmailMessage.replaceAll('{username}', email)
        .replaceAll('{####}', 'not-needed-here')
        .replaceAll(/<br *\/?>/g, '\n'),
    })
}

function closable<T extends { readonly stop: () => unknown }>(one: T, closing: Closers): T {
  closing.add(one.stop)
  return one
}

/** The ground on which the services of a template stand. */
interface Ground {
  readonly deployed: Deployed
  readonly dynamodb: DynamoDb
  readonly clock: SettableClock
  readonly log: (line: LogLine) => void
  readonly figures: Metrics
  readonly trouble: PlantedTrouble
  readonly pool: LocalPool
  readonly identity: IdentityProvider
  /** where objects of buckets are kept; nowhere without it */
  readonly bucketFolder: string | undefined
}

/** The number of messages in each queue, by whatever way they came. */
async function lookIntoQueues(deployed: Deployed, letters: Queues, figures: Metrics): Promise<void> {
  const all = deployed.all('AWS::SQS::Queue').map(async ({ id, name }) => {
    figures.count(lyingIn(name), await letters.lying(deployed.arn(id)))
  })
  await Promise.all(all)
}

async function services(ground: Ground, closing: Closers) {
  const { deployed, dynamodb, clock, log, figures, trouble, pool, identity } = ground
  const permissions = permissionsOf(deployed)
  await checkWiring(deployed, permissions)
  let tell: (mail: SentMail) => void = () => undefined
  const [tables, letters, buckets, mail] = await Promise.all([
    provideWorkTable(deployed, dynamodb),
    startQueues(deployed).then((one) => closable(one, closing)),
    startBuckets(deployed, ground.bucketFolder).then((one) => closable(one, closing)),
    mailService(deployed, clock, (sent) => tell(sent)).then((one) => closable(one, closing)),
  ])
  const callers = new Map<string, CallingFunction>()
  let wake: () => void = () => undefined
  const aws = gateway({
    deployed,
    permissions,
    caller: (accessKeyId) => callers.get(accessKeyId),
    dynamodb,
    mail,
    queues: letters,
    buckets,
    pool,
    now: clock.now,
    secret: functionSecret,
    subjectOf: identity.subjectOf,
    onWrite: () => wake(),
    trouble,
  })
  const endpoint = `http://${loopback}:${await listen(aws)}`
  closing.add(() => close(aws))
  const all = deployed.all('AWS::Lambda::Function').map((resource, i) => {
    const accessKeyId = `LOCALFUNCTION${i}`
    callers.set(accessKeyId, { functionName: resource.name, roleArn: resource.properties.Role })
    const environment = runtimeEnvironment(resource, { region: deployed.region, endpoint, accessKeyId })
    return counted(localFunction(resource, deployed, { clock, environment, log }), figures)
  })
  const functionOf = (name: string) =>
    found(
      all.find((one) => one.name === functionNamed(name)),
      name,
    )
  const runs = backgroundRuns(deployed, clock, letters)
  tell = mailFeedback({ deployed, clock, functionOf, runs })
  const poller = eventSources(deployed, {
    dynamodb,
    streamArn: tables.streamArn,
    functionOf,
    queues: letters,
  })
  wake = poller.wake
  // the threads end first: a batch under way then fails at once instead of keeping the poller
  closing.add(poller.stop)
  closing.add(() => Promise.all(all.map((one) => one.stop())))
  closing.add(runs.stop)
  const warm = () => Promise.all(all.map((one) => one.warm()))
  return { functionOf, mail, runs, letters, poller, aws: endpoint, warm }
}

function counted(one: LocalFunction, figures: Metrics): LocalFunction {
  return {
    ...one,
    invoke: async (event) => {
      figures.count(ofFunction('Invocations', one.name), 1)
      const outcome = await one.invoke(event)
      figures.count(ofFunction('Errors', one.name), outcome.ok ? 0 : 1)
      return outcome
    },
  }
}

function found<T>(one: T | undefined, name: string): T {
  if (one === undefined) throw new Error(`the template has no function ${name}`)
  return one
}

/** Every function signs by it; whose key it is says the key's id. */
const functionSecret = 'local'

/** The address that a function calls, and the key by which the gateway knows the function. */
interface Connection {
  readonly region: string
  readonly endpoint: string
  readonly accessKeyId: string
}

/** The variables that Lambda itself puts into an environment. The endpoints stand for the network around a function. */
function runtimeEnvironment(
  { name, properties }: Resource,
  { region, endpoint, accessKeyId }: Connection,
): Record<string, string> {
  return {
    AWS_REGION: region,
    AWS_DEFAULT_REGION: region,
    AWS_ACCESS_KEY_ID: accessKeyId,
    AWS_SECRET_ACCESS_KEY: functionSecret,
    AWS_SESSION_TOKEN: 'local',
    AWS_LAMBDA_FUNCTION_NAME: name,
    AWS_LAMBDA_FUNCTION_MEMORY_SIZE: String(properties.MemorySize),
    AWS_LAMBDA_FUNCTION_VERSION: '$LATEST',
    AWS_EXECUTION_ENV: 'AWS_Lambda_nodejs24.x',
    TZ: ':UTC',
    AWS_ENDPOINT_URL_DYNAMODB: endpoint,
    AWS_ENDPOINT_URL_SES: endpoint,
    AWS_ENDPOINT_URL_SQS: endpoint,
    AWS_ENDPOINT_URL_S3: endpoint,
    AWS_ENDPOINT_URL_COGNITO_IDENTITY_PROVIDER: endpoint,
    // no configuration of the machine's owner reaches a function
    AWS_CONFIG_FILE: '/dev/null',
    AWS_SHARED_CREDENTIALS_FILE: '/dev/null',
  }
}

function named(tokens: Map<DemoPerson, string>): Record<string, string> {
  return Object.fromEntries(
    [...tokens].flatMap(([person, token]) => {
      const name = tokenName(person)
      return name === undefined ? [] : [[name, token]]
    }),
  )
}

async function tokensOf(identity: IdentityProvider): Promise<Map<DemoPerson, string>> {
  const tokens = new Map<DemoPerson, string>()
  for (const person of people) tokens.set(person, await identity.accessToken(emailOf(person)))
  return tokens
}
