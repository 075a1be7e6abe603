/** The gateway between functions and emulators knows the caller by its key and refuses what AWS would refuse. */
import { randomUUID } from 'node:crypto'
import { Agent, createServer, type IncomingMessage, request, type Server, type ServerResponse } from 'node:http'
import { buffer } from 'node:stream/consumers'
import { loopback } from '../free-port.ts'
import type { MailService, SendQuota } from '../mail/mail.ts'
import type { LocalPool } from '../people/pool.ts'
import type { Buckets } from '../sources/buckets.ts'
import type { Queues } from '../sources/queues.ts'
import { type BucketRefusal, formIn, formRefusal, isForm, linkRefusal, signerIn } from '../sources/uploads.ts'
import type { Deployed } from '../template/template.ts'
import type { DynamoDb } from './dynamodb.ts'
import { permissionsNeeded, writes } from './dynamodb-calls.ts'
import type { Permission, Permissions } from './permissions.ts'
import { transactionConflicts } from './transaction-conflicts.ts'

export interface CallingFunction {
  readonly functionName: string
  readonly roleArn: string
}

/** Trouble that a test makes: the calls that a service refuses. */
export interface PlantedTrouble {
  /** the error and the status of a refused call; undefined where the call is done */
  refuses: (call: RefusedCall) => ServiceRefusal | undefined
  /** a quota of the mail service in place of its own */
  quota?: SendQuota | undefined
}

export interface RefusedCall {
  readonly service: string
  readonly operation: string
  readonly functionName: string
  readonly body: string
}

export interface ServiceRefusal {
  readonly error: string
  readonly status: number
  readonly message?: string
}

export interface GatewayParts {
  readonly deployed: Deployed
  readonly permissions: Permissions
  readonly caller: (accessKeyId: string) => CallingFunction | undefined
  readonly dynamodb: Pick<DynamoDb, 'port' | 'headers'>
  readonly mail: MailService
  readonly queues: Queues
  readonly buckets: Buckets
  readonly pool: LocalPool
  /** the moment by the stack's clock, which all that is signed here is signed by */
  readonly now: () => number
  /** the secret of every function's key */
  readonly secret: string
  /** the subject of a good access token */
  readonly subjectOf: (accessToken: string) => Promise<string | undefined>
  readonly onWrite: () => void
  readonly trouble: PlantedTrouble
}

interface Call {
  readonly caller: CallingFunction
  readonly message: IncomingMessage
  readonly body: Buffer
  readonly answer: ServerResponse
}

export function gateway(parts: GatewayParts): Server {
  const table = tableDoor(parts)
  const mail = mailDoor(parts)
  const queues = queueDoor(parts)
  const pool = poolDoor(parts)
  const bucket = bucketDoor(parts)
  const signed = signedDoor(parts)

  async function answerTo(message: IncomingMessage, answer: ServerResponse): Promise<void> {
    const body = await buffer(message)
    const [, accessKeyId = '', service] =
      /Credential=([^/,]+)\/[^/,]+\/[^/,]+\/([^/,]+)\//.exec(message.headers.authorization ?? '') ?? []
    // people call the pool with their own token, and whoever runs the service with their own key
    if (/^AWSCognitoIdentityProviderService\./.test(String(message.headers['x-amz-target']))) {
      return await pool({
        message,
        body,
        answer,
        caller: parts.caller(accessKeyId),
        isOperator: accessKeyId === operator,
      })
    }
    if (service === 's3' && accessKeyId === operator)
      return await passOnToBucket(parts.buckets, { message, body, answer })
    // whoever has a form or a link of a function sends no key of their own
    if (message.headers.authorization === undefined && (await signed({ message, body, answer }))) return
    const caller = parts.caller(accessKeyId)
    if (caller === undefined) return refuseUnknownCaller(answer)
    const call = { caller, message, body, answer }
    const operation = operationAt(service, call)
    const { functionName } = caller
    const asked = { service: service ?? '', operation, functionName, body: body.toString() }
    const refused = parts.trouble.refuses(asked)
    if (refused !== undefined) {
      const { error, status, message: text = 'refused for a test' } = refused
      if (service === 'ses') return xml(answer, status, mailError(error, text))
      if (service === 's3') return xml(answer, status, bucketError(error, text))
      return json(answer, status, { __type: error, message: text })
    }
    if (service === 'dynamodb') return await table(call)
    if (service === 'ses') return await mail(call)
    if (service === 'sqs') return await queues(call)
    if (service === 's3') return await bucket(call)
    json(answer, 501, { __type: 'UnknownOperationException', message: `the local stack has no service ${service}` })
  }

  return createServer((message, answer) => {
    answerTo(message, answer).catch((error) => {
      if (answer.headersSent) answer.destroy()
      else json(answer, 500, { __type: 'InternalServerError', message: String(error) })
    })
  })
}

function tableDoor({ deployed, permissions, dynamodb, onWrite }: GatewayParts) {
  const conflicts = transactionConflicts()
  const agent = new Agent({ keepAlive: true, maxSockets: 64 })

  function forward({ message, body, answer }: Call): Promise<void> {
    return new Promise((resolve, reject) => {
      const { host: _, ...given } = message.headers
      const headers = dynamodb.headers(given)
      const sent = request({ host: loopback, port: dynamodb.port, agent, method: 'POST', headers }, (back) => {
        // whole, as head and body then leave in one write
        const said: Buffer[] = []
        back.on('data', (chunk: Buffer) => said.push(chunk))
        back.once('error', reject)
        back.once('end', () => {
          answer.writeHead(back.statusCode ?? 500, back.headers).end(Buffer.concat(said))
          resolve()
        })
      })
      sent.once('error', reject)
      sent.end(body)
    })
  }

  return async (call: Call): Promise<void> => {
    const operation = operationOf(call)
    const body = JSON.parse(call.body.toString() || '{}')
    const missing = await permissions.missing(call.caller.roleArn, permissionsNeeded(operation, body, deployed))
    if (missing !== undefined) {
      const message = denial(call.caller, missing, deployed.account)
      return json(call.answer, 400, {
        __type: 'com.amazon.coral.service#AccessDeniedException',
        Message: message,
        message,
      })
    }
    const entered = conflicts.enter(operation, body)
    if ('refusal' in entered) return json(call.answer, 400, { __type: entered.refusal.type, ...entered.refusal.body })
    try {
      await forward(call)
    } finally {
      entered.leave()
    }
    if (writes(operation)) onWrite()
  }
}

function mailDoor({ deployed, permissions, mail, trouble }: GatewayParts) {
  return async ({ caller, body, answer }: Call): Promise<void> => {
    const form = new URLSearchParams(body.toString())
    const needed = mail.permissionsNeeded(form)
    const missing = await permissions.missing(caller.roleArn, needed)
    if (missing !== undefined) {
      return xml(answer, 403, mailError('AccessDenied', denial(caller, missing, deployed.account)))
    }
    if (form.get('Action') === 'GetSendQuota') return xml(answer, 200, quotaTold(trouble.quota ?? mail.quota()))
    const outcome = await mail.accept(form)
    if ('code' in outcome) return xml(answer, outcome.status, mailError(outcome.code, outcome.message))
    xml(answer, 200, mailAccepted(outcome.messageId))
  }
}

function queueDoor({ deployed, permissions, queues }: GatewayParts) {
  return async (call: Call): Promise<void> => {
    const { caller, answer } = call
    const operation = operationOf(call)
    const body = JSON.parse(call.body.toString() || '{}')
    const missing = await permissions.missing(caller.roleArn, [queuePermission(operation, body.QueueUrl)])
    if (missing !== undefined) {
      const message = denial(caller, missing, deployed.account)
      return json(answer, 403, { __type: 'com.amazon.coral.service#AccessDeniedException', message })
    }
    const { status, text } = await queues.call(operation, body)
    answer
      .writeHead(status, { 'content-type': 'application/x-amz-json-1.0', 'x-amzn-requestid': randomUUID() })
      .end(text)
  }
}

function bucketDoor({ deployed, permissions, buckets }: GatewayParts) {
  return async (call: Call): Promise<void> => {
    const missing = await permissions.missing(call.caller.roleArn, [bucketPermission(call)])
    if (missing !== undefined)
      return xml(call.answer, 403, bucketError('AccessDenied', denial(call.caller, missing, deployed.account)))
    await passOnToBucket(buckets, call)
  }
}

type Unsigned = Pick<Call, 'message' | 'body' | 'answer'>

/** What comes by a form or a link that a function signed; false where it is neither. */
function signedDoor(parts: GatewayParts) {
  const { deployed, permissions, buckets, queues, now, secret } = parts

  async function may(keyId: string, needed: Permission): Promise<boolean> {
    const caller = parts.caller(keyId)
    return caller !== undefined && (await permissions.missing(caller.roleArn, [needed])) === undefined
  }

  async function takeForm({ message, body, answer }: Unsigned, bucket: string): Promise<void> {
    const form = await formIn(message.headers, body)
    if (form === null) return refuseCall(answer, { status: 400, code: 'MalformedPOSTRequest', message: 'no form' })
    const { fields, file } = form
    const { key = '', success_action_redirect: goTo } = fields
    const refusal = formRefusal(form, { secret, bucket, now: now() })
    if (refusal !== undefined) return refuseCall(answer, refusal)
    const permission = { action: 's3:PutObject', resource: `arn:aws:s3:::${bucket}/${key}` }
    if (!(await may(signerIn(fields['X-Amz-Credential']), permission))) return refuseCall(answer, notAllowed)
    const url = `/${bucket}/${key.split('/').map(encodeURIComponent).join('/')}`
    const headers = { 'content-type': fields['Content-Type'] ?? 'binary/octet-stream' }
    const { status } = await buckets.call({ method: 'PUT', url, headers, body: file })
    if (status !== 200) return refuseCall(answer, { status, code: 'InternalError', message: 'not stored' })
    for (const queueArn of queuesOf(deployed, bucket, key))
      await queues.send(queueArn, objectMade(bucket, key, file.length))
    if (goTo === undefined) return void answer.writeHead(Number(fields.success_action_status ?? 204)).end()
    answer.writeHead(303, { location: `${goTo}?${new URLSearchParams({ bucket, key })}` }).end()
  }

  return async (call: Unsigned): Promise<boolean> => {
    const { message, answer } = call
    const url = new URL(message.url ?? '/', `http://${message.headers.host}`)
    const [, bucket = ''] = url.pathname.split('/')
    if (isForm(message.method, message.headers)) {
      await takeForm(call, bucket)
      return true
    }
    if (message.method !== 'GET' || !url.searchParams.has('X-Amz-Signature')) return false
    const refusal = linkRefusal(url, message.headers.host ?? '', { secret, bucket, now: now() })
    const permission = { action: 's3:GetObject', resource: `arn:aws:s3:::${decodeURIComponent(url.pathname.slice(1))}` }
    if (refusal !== undefined) refuseCall(answer, refusal)
    else if (!(await may(signerIn(url.searchParams.get('X-Amz-Credential')), permission)))
      refuseCall(answer, notAllowed)
    else {
      const { status, headers, body } = await buckets.call({
        method: 'GET',
        url: url.pathname,
        headers: {},
        body: Buffer.alloc(0),
      })
      const name = url.searchParams.get('response-content-disposition')
      answer.writeHead(status, { ...headers, ...(name === null ? {} : { 'content-disposition': name }) }).end(body)
    }
    return true
  }
}

const notAllowed: BucketRefusal = { status: 403, code: 'AccessDenied', message: 'Access Denied' }

function refuseCall(answer: ServerResponse, { status, code, message }: BucketRefusal): void {
  xml(answer, status, bucketError(code, message))
}

/** The queues that a bucket tells of an object by the template. */
function queuesOf(deployed: Deployed, bucket: string, key: string): string[] {
  const [found] = deployed.all('AWS::S3::Bucket').filter(({ id }) => deployed.url(id) === bucket)
  const configured = (found?.properties.NotificationConfiguration?.QueueConfigurations ?? []) as {
    readonly Queue: string
    readonly Filter?: {
      readonly S3Key: { readonly Rules: readonly { readonly Name: string; readonly Value: string }[] }
    }
  }[]
  return configured.flatMap(({ Queue, Filter }) => {
    const rules = Filter?.S3Key.Rules ?? []
    const fits = rules.every(({ Name, Value }) => (Name === 'prefix' ? key.startsWith(Value) : key.endsWith(Value)))
    return fits ? [Queue] : []
  })
}

/** In what a bucket says, the name of an object is written as in an address, its blanks as plus signs. */
const objectMade = (name: string, key: string, size: number) => ({
  Records: [
    {
      eventVersion: '2.1',
      eventSource: 'aws:s3',
      eventName: 'ObjectCreated:Post',
      s3: {
        bucket: { name },
        object: { key: encodeURIComponent(key).replaceAll('%20', '+').replaceAll('%2F', '/'), size },
      },
    },
  ],
})

async function passOnToBucket(
  buckets: Buckets,
  { message, body, answer }: Pick<Call, 'message' | 'body' | 'answer'>,
): Promise<void> {
  const headers = Object.entries(message.headers).map(([name, value]) => [name, String(value)] as const)
  const { method = 'GET', url = '/' } = message
  const back = await buckets.call({ method, url, headers: Object.fromEntries(headers), body })
  answer.writeHead(back.status, back.headers).end(back.body)
}

/** What a call to an object, or to the bucket itself, needs. */
const objectCalls: Readonly<Record<string, string>> = {
  PUT: 'PutObject',
  GET: 'GetObject',
  HEAD: 'GetObject',
  DELETE: 'DeleteObject',
}
const bucketCalls: Readonly<Record<string, string>> = {
  GET: 'ListBucket',
  HEAD: 'ListBucket',
  PUT: 'CreateBucket',
  DELETE: 'DeleteBucket',
}

function bucketPermission({ message }: Pick<Call, 'message'>): Permission {
  const [, name = '', key = ''] = /^\/([^/?]*)\/?([^?]*)/.exec(message.url ?? '') ?? []
  const action = (key === '' ? bucketCalls : objectCalls)[message.method ?? ''] ?? 'Unknown'
  return { action: `s3:${action}`, resource: `arn:aws:s3:::${name}${key === '' ? '' : `/${decodeURIComponent(key)}`}` }
}

function operationAt(service: string | undefined, call: Call): string {
  if (service === 'ses') return new URLSearchParams(call.body.toString()).get('Action') ?? ''
  return service === 's3' ? bucketPermission(call).action.slice('s3:'.length) : operationOf(call)
}

const bucketError = (code: string, message: string) =>
  `<Error><Code>${code}</Code><Message>${escaped(message)}</Message><RequestId>${randomUUID()}</RequestId></Error>`

/** The key of whoever runs the service here, as commands that name an endpoint use it. */
const operator = 'local'

interface PoolCall extends Omit<Call, 'caller'> {
  readonly caller: CallingFunction | undefined
  readonly isOperator: boolean
}

function poolDoor({ deployed, permissions, pool, subjectOf, trouble }: GatewayParts) {
  return async (call: PoolCall): Promise<void> => {
    const { caller, isOperator, answer } = call
    const operation = operationOf(call)
    const { AccessToken, ...asked } = JSON.parse(call.body.toString() || '{}')
    const resource = deployed.all('AWS::Cognito::UserPool').map(({ id }) => deployed.arn(id))[0] ?? '*'
    if (operation.startsWith('Admin') && !isOperator) {
      if (caller === undefined) return refuseUnknownCaller(answer)
      const missing = await permissions.missing(caller.roleArn, [{ action: `cognito-idp:${operation}`, resource }])
      if (missing !== undefined) {
        const message = denial(caller, missing, deployed.account)
        return json(answer, 400, { __type: 'AccessDeniedException', message })
      }
      const { functionName } = caller
      const refused = trouble.refuses({ service: 'cognito-idp', operation, functionName, body: call.body.toString() })
      if (refused !== undefined)
        return json(answer, refused.status, { __type: refused.error, message: refused.message ?? 'refused for a test' })
    }
    const subject = typeof AccessToken === 'string' ? await subjectOf(AccessToken) : undefined
    const { status, body } = pool.call(operation, asked, subject)
    answer.writeHead(status, { 'content-type': 'application/x-amz-json-1.1' }).end(JSON.stringify(body))
  }
}

/** Each part of a batch needs the permission of a single call. A queue's address holds region, account and name. */
function queuePermission(operation: string, url: unknown): Permission {
  const [, region, account, name] = /^https:\/\/sqs\.([^.]+)\.[^/]+\/(\d+)\/([\w-]+)$/.exec(String(url)) ?? []
  const resource = name === undefined ? '*' : `arn:aws:sqs:${region}:${account}:${name}`
  return { action: `sqs:${operation.replace(/Batch$/, '')}`, resource }
}

const operationOf = ({ message }: Pick<Call, 'message'>) => String(message.headers['x-amz-target']).split('.')[1] ?? ''

function denial({ roleArn, functionName }: CallingFunction, { action, resource }: Permission, account: string): string {
  const role = roleArn.split('/').at(-1)
  return (
    `User: arn:aws:sts::${account}:assumed-role/${role}/${functionName} is not authorized to perform: ${action} ` +
    `on resource: ${resource} because no identity-based policy allows the ${action} action`
  )
}

function refuseUnknownCaller(answer: ServerResponse): void {
  json(answer, 400, {
    __type: 'com.amazon.coral.service#UnrecognizedClientException',
    message: 'The security token included in the request is invalid.',
  })
}

interface Problem {
  readonly __type: string
  readonly [part: string]: unknown
}

function json(answer: ServerResponse, status: number, body: Problem): void {
  const headers = { 'content-type': 'application/x-amz-json-1.0', 'x-amzn-requestid': randomUUID() }
  answer.writeHead(status, headers).end(JSON.stringify(body))
}

function xml(answer: ServerResponse, status: number, body: string): void {
  answer.writeHead(status, { 'content-type': 'text/xml', 'x-amzn-requestid': randomUUID() }).end(body)
}

const namespace = 'http://ses.amazonaws.com/doc/2010-12-01/'
const escaped = (text: string) =>
  text.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('>', '&gt;').replaceAll('"', '&quot;')

const mailError = (code: string, message: string) =>
  `<ErrorResponse xmlns="${namespace}"><Error><Type>Sender</Type><Code>${code}</Code>` +
  `<Message>${escaped(message)}</Message></Error><RequestId>${randomUUID()}</RequestId></ErrorResponse>`

const quotaTold = ({ max24HourSend, maxSendRate, sentLast24Hours }: SendQuota) =>
  `<GetSendQuotaResponse xmlns="${namespace}"><GetSendQuotaResult><Max24HourSend>${max24HourSend}</Max24HourSend>` +
  `<MaxSendRate>${maxSendRate}</MaxSendRate><SentLast24Hours>${sentLast24Hours}</SentLast24Hours>` +
  '</GetSendQuotaResult>' +
  `<ResponseMetadata><RequestId>${randomUUID()}</RequestId></ResponseMetadata></GetSendQuotaResponse>`

const mailAccepted = (messageId: string) =>
  `<SendRawEmailResponse xmlns="${namespace}">` +
  `<SendRawEmailResult><MessageId>${messageId}</MessageId></SendRawEmailResult>` +
  `<ResponseMetadata><RequestId>${randomUUID()}</RequestId></ResponseMetadata></SendRawEmailResponse>`
