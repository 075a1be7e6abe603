/** DynamoDB Local in a process of its own, reached through the JSON protocol. */
import { spawn } from 'node:child_process'
import { randomBytes } from 'node:crypto'
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { Agent, createServer, type IncomingHttpHeaders, request } from 'node:http'
import { createRequire } from 'node:module'
import { tmpdir } from 'node:os'
import { dirname, join } from 'node:path'
import { text } from 'node:stream/consumers'
import { setTimeout as pause } from 'node:timers/promises'
import type { Closers } from '../closers.ts'
import { close, freePort, listen, loopback } from '../free-port.ts'
import type { Properties, Resource } from '../template/template.ts'
import { findJava } from './java.ts'

export interface DynamoDb {
  readonly port: number
  /** where a command finds the data, whatever its access key is */
  readonly endpoint: string
  /** the headers of a call that is to reach the data */
  readonly headers: (given: IncomingHttpHeaders) => IncomingHttpHeaders
  readonly call: (operation: string, body: object) => Promise<Properties>
  /** the reason of an end that nobody asked for */
  readonly died: Promise<string>
}

/** The shell ends the program at the end of its own input, and so also when this process is killed. */
const withItsParent = `exec 3<&0
"$@" 3<&- &
child=$!
(cat <&3 >/dev/null; kill $child; sleep 1; kill -9 $child) 2>/dev/null &
watcher=$!
wait $child
code=$?
kill $watcher
exit $code`

export interface Keeping {
  /** keeps the data; without it nothing is kept */
  readonly folder?: string | undefined
  /** each access key has data of its own, so that several stacks can share the program */
  readonly parted?: boolean
}

export async function startDynamoDb(closing: Closers, { folder, parted = false }: Keeping = {}): Promise<DynamoDb> {
  const java = await findJava()
  const emulator = join(
    dirname(createRequire(import.meta.url).resolve('amplify-dynamodb-simulator/package.json')),
    'emulator',
  )
  const scratch = mkdtempSync(join(tmpdir(), 'quarterturn-table-'))
  const configuration = join(scratch, 'server.xml')
  const port = await freePort()
  if (folder !== undefined) mkdirSync(folder, { recursive: true })
  writeFileSync(configuration, serverOnLoopback({ port, folder, parted }))
  const child = spawn(
    'sh',
    [
      '-c',
      withItsParent,
      'sh',
      java,
      '-XX:+UseSerialGC',
      '-XX:TieredStopAtLevel=1',
      `-Djava.library.path=${join(emulator, 'DynamoDBLocal_lib')}`,
      '-cp',
      join(emulator, 'DynamoDBLocal.jar'),
      'org.eclipse.jetty.xml.XmlConfiguration',
      configuration,
    ],
    {
      stdio: ['pipe', 'pipe', 'pipe'],
      env: { ...process.env, DDB_LOCAL_TELEMETRY: '0' },
      cwd: scratch,
      // Ctrl-C reaches every process of the terminal's group: outside of it the table ends last, and quietly
      detached: true,
    },
  )
  let said = ''
  const listenTo = (chunk: Buffer) => (said = (said + chunk.toString()).slice(-2000))
  child.stdout.on('data', listenTo)
  child.stderr.on('data', listenTo)
  let stopping = false
  const ended = new Promise<void>((resolve) => child.once('exit', () => resolve()))
  const died = new Promise<string>((resolve) => {
    child.once('error', (error) => resolve(String(error)))
    child.once('exit', (code, signal) => {
      if (!stopping) resolve(`DynamoDB Local ended by itself (${signal ?? `exit code ${code}`}).\n${said}`)
    })
  })
  const call = caller(port, 'local')
  closing.add(async () => {
    stopping = true
    child.stdin.end()
    if (child.exitCode === null && child.signalCode === null) await ended
    rmSync(scratch, { recursive: true, force: true })
  })
  const failure = await Promise.race([died, answering(call)])
  if (failure !== undefined) throw new Error(failure)
  return { port, endpoint: `http://${loopback}:${port}`, headers: (given) => given, call, died }
}

/**
 * Data of one stack's own in a program that runs at this port already, and that whoever started it ends. The program
 * tells data apart by access key and region.
 */
export async function sharedDynamoDb(port: number, closing: Closers): Promise<DynamoDb> {
  const key = `STACK${randomBytes(8).toString('hex')}`
  const headers = ({ authorization = '', ...others }: IncomingHttpHeaders) => ({
    ...others,
    authorization: authorization.replace(/Credential=[^/]+\/([^/]+)\/[^/]+/, `Credential=${key}/$1/us-east-1`),
  })
  const door = createServer((message, answer) => {
    const sent = request({ host: loopback, port, method: 'POST', headers: headers(message.headers) }, (back) => {
      answer.writeHead(back.statusCode ?? 500, back.headers)
      back.pipe(answer)
    })
    sent.once('error', () => answer.destroy())
    message.pipe(sent)
  })
  const endpoint = `http://${loopback}:${await listen(door)}`
  closing.add(() => close(door))
  return { port, endpoint, headers, call: caller(port, key), died: new Promise(() => undefined) }
}

async function answering(call: DynamoDb['call']): Promise<undefined> {
  const givenUp = Date.now() + 60_000
  while (Date.now() < givenUp) {
    const up = await call('DynamoDB_20120810.ListTables', {}).then(
      () => true,
      () => false,
    )
    if (up) return undefined
    await pause(50)
  }
  throw new Error('DynamoDB Local did not answer within a minute')
}

/** A connection that the server closes while it idles fails the call that is sent on it at that moment. */
const idleMillis = 24 * 3600 * 1000

/**
 * The configuration of the web server inside DynamoDB Local: it takes calls from this machine only. The main class of
 * DynamoDB Local would listen on every address of the machine.
 */
function serverOnLoopback({ port, folder, parted }: Keeping & { readonly port: number }): string {
  const server = 'com.amazonaws.services.dynamodbv2.local.server'
  const escaped = folder?.replaceAll('&', '&amp;').replaceAll('<', '&lt;')
  return `<?xml version="1.0"?>
<!DOCTYPE Configure PUBLIC "-//Jetty//Configure//EN" "http://www.eclipse.org/jetty/configure_9_3.dtd">
<Configure id="Server" class="org.eclipse.jetty.server.Server">
  <Call name="addConnector"><Arg>
    <New class="org.eclipse.jetty.server.ServerConnector">
      <Arg name="server"><Ref refid="Server"/></Arg>
      <Set name="host">${loopback}</Set>
      <Set name="port">${port}</Set>
      <Set name="idleTimeout">${idleMillis}</Set>
    </New>
  </Arg></Call>
  <Set name="handler">
    <New class="${server}.LocalDynamoDBServerHandler">
      <Arg><New class="${server}.LocalDynamoDBRequestHandler">
        <Arg type="int">0</Arg>
        <Arg type="boolean">${escaped === undefined}</Arg>
        <Arg>${escaped ?? '<Property name="none"/>'}</Arg>
        <Arg type="boolean">${!parted}</Arg>
        <Arg type="boolean">false</Arg>
      </New></Arg>
      <Arg>*</Arg>
    </New>
  </Set>
</Configure>
`
}

function caller(port: number, accessKey: string): DynamoDb['call'] {
  const agent = new Agent({ keepAlive: true })
  const credential =
    `AWS4-HMAC-SHA256 Credential=${accessKey}/20260101/us-east-1/dynamodb/aws4_request, ` +
    'SignedHeaders=host, Signature=0'
  return (operation, body) =>
    new Promise((resolve, reject) => {
      const headers = {
        'x-amz-target': operation,
        'content-type': 'application/x-amz-json-1.0',
        authorization: credential,
      }
      const sent = request({ host: loopback, port, agent, method: 'POST', headers }, (answer) => {
        text(answer)
          .then((said) => {
            if (answer.statusCode === 200) resolve(JSON.parse(said))
            else reject(new Error(`${operation}: ${said}`))
          })
          .catch(reject)
      })
      sent.once('error', reject)
      sent.end(JSON.stringify(body))
    })
}

const control = (operation: string) => `DynamoDB_20120810.${operation}`

/** The table as the template has it: made anew, or kept from before and proved to be the same. */
export async function provideTable(dynamodb: DynamoDb, { name, properties }: Resource): Promise<{ streamArn: string }> {
  const { TableNames } = await dynamodb.call(control('ListTables'), {})
  if (!TableNames.includes(name)) await dynamodb.call(control('CreateTable'), creation(name, properties))
  const { Table } = await dynamodb.call(control('DescribeTable'), { TableName: name })
  if (shape(Table) !== shape(properties)) {
    throw new Error('The table kept from before has other keys or indexes than the template: start once with --fresh.')
  }
  return { streamArn: Table.LatestStreamArn }
}

/** The stream of a table that is there already. */
export async function streamOf(dynamodb: DynamoDb, name: string): Promise<{ streamArn: string }> {
  const { Table } = await dynamodb.call(control('DescribeTable'), { TableName: name })
  return { streamArn: Table.LatestStreamArn }
}

function creation(name: string, properties: Properties): object {
  const { KeySchema, AttributeDefinitions, GlobalSecondaryIndexes, BillingMode, StreamSpecification } = properties
  return {
    TableName: name,
    KeySchema,
    AttributeDefinitions,
    GlobalSecondaryIndexes,
    BillingMode,
    StreamSpecification: StreamSpecification && { StreamEnabled: true, ...StreamSpecification },
    DeletionProtectionEnabled: properties.DeletionProtectionEnabled ?? false,
  }
}

function shape({ KeySchema, GlobalSecondaryIndexes = [] }: Properties): string {
  const keys = (schema: Properties[]) => schema.map(({ AttributeName, KeyType }) => `${AttributeName}:${KeyType}`)
  const indexes = GlobalSecondaryIndexes.map((index: Properties) => `${index.IndexName}=${keys(index.KeySchema)}`)
  return [...keys(KeySchema), ...indexes.sort()].join(' ')
}
