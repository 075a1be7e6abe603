/** A synthesised template, read as CloudFormation would: parameters, conditions and functions become values. */
import { existsSync, readFileSync } from 'node:fs'
import { join, resolve } from 'node:path'
import { type Secrets, withSecrets } from './secrets.ts'

type Json = null | string | number | boolean | Json[] | { [name: string]: Json }
// biome-ignore lint/suspicious/noExplicitAny: what AWS names hold is known by whoever asks for them
export type Properties = { readonly [name: string]: any }

export interface Resource {
  readonly id: string
  readonly type: string
  /** the name by which other services call the resource */
  readonly name: string
  readonly properties: Properties
}

export interface Deployed {
  readonly region: string
  readonly account: string
  readonly all: (type: string) => Resource[]
  readonly arn: (id: string) => string
  /** what a template's reference becomes: the address of a queue, the name of a bucket */
  readonly url: (id: string) => string
  /** the folder of files behind an S3 key of the template */
  readonly asset: (key: string) => string
}

export interface TemplateValues {
  readonly parameters: Readonly<Record<string, string>>
  readonly apiEndpoint: string
  readonly secrets?: Secrets
  /** what stands for the user pool; tests that start nothing name none */
  readonly pool?: PoolValues
}

/** The pool and its client, as whoever runs them here calls them. */
export interface PoolValues {
  readonly issuer: string
  readonly clientId: string
}

const noPool: PoolValues = { issuer: 'https://pool.example', clientId: 'client' }
/** The number of the user pool: its region, and what AWS would make up. @lintignore tests call the pool by it */
export const poolId = 'us-east-1_Quarterturn'

const region = 'us-east-1'
const account = '111122223333'
const arn = (service: string, rest: string) => `arn:aws:${service}:${region}:${account}:${rest}`

interface Kind {
  readonly ref?: (name: string, properties: Properties, around: TemplateValues) => string
  readonly attributes?: Readonly<Record<string, (name: string, around: TemplateValues) => string>>
}

const plain: Kind = {}

/** The types that the local stack knows. Any other type stops the start: not run, it would look as if it worked. */
const kinds: Readonly<Record<string, Kind>> = {
  'AWS::Cognito::UserPool': {
    ref: () => poolId,
    attributes: {
      Arn: () => arn('cognito-idp', `userpool/${poolId}`),
      ProviderURL: (_, { pool = noPool }) => pool.issuer,
    },
  },
  'AWS::Cognito::UserPoolClient': { ref: (_, __, { pool = noPool }) => pool.clientId },
  'AWS::Cognito::UserPoolDomain': { ref: (_, { Domain }) => Domain },
  'AWS::Cognito::UserPoolResourceServer': { ref: (_, { Identifier }) => Identifier },
  'AWS::DynamoDB::Table': {
    attributes: {
      Arn: (name) => arn('dynamodb', `table/${name}`),
      StreamArn: (name) => arn('dynamodb', `table/${name}/stream/2026-01-01T00:00:00.000`),
    },
  },
  'AWS::Lambda::Function': { attributes: { Arn: (name) => arn('lambda', `function:${name}`) } },
  'AWS::Lambda::Version': { attributes: { Version: () => '1' } },
  'AWS::Lambda::Alias': { ref: (_, { FunctionName, Name }) => arn('lambda', `function:${FunctionName}:${Name}`) },
  'AWS::Lambda::EventSourceMapping': plain,
  'AWS::Lambda::EventInvokeConfig': plain,
  'AWS::Lambda::Permission': plain,
  'AWS::SQS::Queue': {
    ref: (name) => `https://sqs.${region}.amazonaws.com/${account}/${name}`,
    attributes: { Arn: (name) => arn('sqs', name), QueueName: (name) => name },
  },
  'AWS::SQS::QueuePolicy': plain,
  // names of buckets have small letters only
  'AWS::S3::Bucket': {
    ref: (name) => name.toLowerCase(),
    attributes: { Arn: (name) => `arn:aws:s3:::${name.toLowerCase()}` },
  },
  'AWS::S3::BucketPolicy': plain,
  'AWS::SNS::Topic': { ref: (name) => arn('sns', name), attributes: { TopicArn: (name) => arn('sns', name) } },
  'AWS::SNS::TopicPolicy': plain,
  'AWS::SNS::Subscription': plain,
  'AWS::IAM::Role': { attributes: { Arn: (name) => `arn:aws:iam::${account}:role/${name}` } },
  'AWS::IAM::Policy': plain,
  'AWS::Logs::LogGroup': { attributes: { Arn: (name) => arn('logs', `log-group:${name}:*`) } },
  'AWS::Logs::MetricFilter': plain,
  'AWS::CloudWatch::Dashboard': plain,
  'AWS::CloudWatch::Alarm': { attributes: { Arn: (name) => arn('cloudwatch', `alarm:${name}`) } },
  'AWS::ApiGatewayV2::Api': { attributes: { ApiEndpoint: (_, { apiEndpoint }) => apiEndpoint } },
  'AWS::ApiGatewayV2::Authorizer': plain,
  'AWS::ApiGatewayV2::Integration': plain,
  'AWS::ApiGatewayV2::Route': plain,
  'AWS::ApiGatewayV2::Stage': plain,
  // CodeDeploy moves aliases from version to version, and here each function has one
  'AWS::CodeDeploy::Application': plain,
  'AWS::CodeDeploy::DeploymentGroup': plain,
  'AWS::Scheduler::Schedule': { attributes: { Arn: (name) => arn('scheduler', `schedule/default/${name}`) } },
  'AWS::SecretsManager::Secret': { ref: (name) => arn('secretsmanager', `secret:${name}`) },
  'AWS::SES::ConfigurationSet': plain,
  'AWS::SES::ConfigurationSetEventDestination': plain,
  'AWS::SES::EmailIdentity': { ref: (_, { EmailIdentity }) => EmailIdentity },
}

const pseudo: Readonly<Record<string, string>> = {
  'AWS::Partition': 'aws',
  'AWS::Region': region,
  'AWS::AccountId': account,
  'AWS::URLSuffix': 'amazonaws.com',
  'AWS::StackName': 'Quarterturn',
}

export function readTemplate(folder: string, around: TemplateValues): Deployed {
  const template = JSON.parse(readFileSync(join(folder, 'Quarterturn.template.json'), 'utf8'))
  const assets = JSON.parse(readFileSync(join(folder, 'Quarterturn.assets.json'), 'utf8'))
  const reading: Reading = { template, around }
  const resources = Object.entries<Properties>(template.Resources)
    .filter(([, { Condition }]) => Condition === undefined || condition(reading, Condition))
    .map(([id, { Type, Properties = {} }]) => ({ id, type: Type, given: Properties }))
  const unknown = resources.filter(({ type }) => kinds[type] === undefined).map(({ id, type }) => `${id} (${type})`)
  if (unknown.length > 0)
    throw new Error(`the local stack cannot run these parts of the template: ${unknown.join(', ')}`)
  return {
    region,
    account,
    all: (wanted) =>
      resources
        .filter(({ type }) => type === wanted)
        .map(({ id, type, given }) => ({
          id,
          type,
          name: nameOf(id),
          properties: resolved(reading, given) as Properties,
        })),
    arn: (id) => resolved(reading, { 'Fn::GetAtt': [id, 'Arn'] }) as string,
    url: (id) => resolved(reading, { Ref: id }) as string,
    asset: (key) => assetFolder(folder, assets, key),
  }
}

const nameOf = (id: string) => `Quarterturn-${id}`

function assetFolder(folder: string, assets: Properties, key: string): string {
  const file = assets.files[key.replace(/\.zip$/, '')]
  const found = file === undefined ? undefined : resolve(folder, file.source.path)
  if (found === undefined || !existsSync(found)) throw new Error(`the template names code that was not built: ${key}`)
  return found
}

/** Whoever reads a template only to look at it is told no secret. */
const noSecrets: Secrets = (of) => `the secret ${of}`

const dropped = Symbol('AWS::NoValue')

/** A template being read, with the values it is read by. */
interface Reading {
  readonly template: Properties
  readonly around: TemplateValues
}

/** What each function of CloudFormation makes of its argument. */
const functions: Readonly<Record<string, (reading: Reading, given: Properties[string]) => unknown>> = {
  Ref: (reading, name: string) => reference(reading, name),
  'Fn::GetAtt': (reading, [id, attribute]: [string, string]) => attributeOf(reading, id, attribute),
  'Fn::Join': (reading, [by, parts]: [string, Json]) =>
    withSecrets((resolved(reading, parts) as string[]).join(by), reading.around.secrets ?? noSecrets),
  'Fn::Select': (reading, [index, list]: [Json, Json]) =>
    (resolved(reading, list) as unknown[])[Number(resolved(reading, index))],
  'Fn::Split': (reading, [by, text]: [string, Json]) => (resolved(reading, text) as string).split(by),
  'Fn::Sub': (reading, given: string | [string, Record<string, Json>]) => substitute(reading, given),
  'Fn::If': (reading, [name, yes, no]: [string, Json, Json]) => resolved(reading, condition(reading, name) ? yes : no),
  'Fn::Equals': (reading, [one, other]: [Json, Json]) => resolved(reading, one) === resolved(reading, other),
  'Fn::Not': (reading, [one]: [Json]) => resolved(reading, one) !== true,
  'Fn::And': (reading, all: Json[]) => all.every((one) => resolved(reading, one) === true),
  'Fn::Or': (reading, all: Json[]) => all.some((one) => resolved(reading, one) === true),
}

function resolved(reading: Reading, given: unknown): unknown {
  if (Array.isArray(given)) return given.map((one) => resolved(reading, one)).filter((one) => one !== dropped)
  if (given === null || typeof given !== 'object') return given
  const [only, ...more] = Object.entries(given)
  if (only === undefined) return {}
  const [name, argument] = only
  if (more.length === 0 && functions[name] !== undefined) return functions[name](reading, argument)
  if (more.length === 0 && name === 'Condition' && typeof argument === 'string') return condition(reading, argument)
  if (more.length === 0 && name.startsWith('Fn::')) throw new Error(`the local stack does not know ${name}`)
  return Object.fromEntries(
    Object.entries(given)
      .map(([key, value]) => [key, resolved(reading, value)] as const)
      .filter(([, value]) => value !== dropped),
  )
}

function condition(reading: Reading, name: string): boolean {
  const given = reading.template.Conditions?.[name]
  if (given === undefined) throw new Error(`the template has no condition ${name}`)
  return resolved(reading, given) === true
}

function reference(reading: Reading, name: string): unknown {
  if (name === 'AWS::NoValue') return dropped
  if (pseudo[name] !== undefined) return pseudo[name]
  const resource = reading.template.Resources[name]
  if (resource === undefined) return parameter(reading, name)
  const ref = kinds[resource.Type]?.ref
  return ref === undefined
    ? nameOf(name)
    : ref(nameOf(name), resolved(reading, resource.Properties ?? {}) as Properties, reading.around)
}

function parameter({ template, around }: Reading, name: string): string {
  const found = around.parameters[name] ?? template.Parameters?.[name]?.Default
  if (found === undefined) throw new Error(`no value for the template's parameter ${name}`)
  return found
}

function attributeOf({ template, around }: Reading, id: string, attribute: string): string {
  const type: string | undefined = template.Resources[id]?.Type
  const found = type === undefined ? undefined : kinds[type]?.attributes?.[attribute]
  if (found === undefined) throw new Error(`the local stack does not know ${attribute} of ${id} (${type})`)
  return found(nameOf(id), around)
}

function substitute(reading: Reading, given: string | [string, Record<string, Json>]): string {
  const [text, own] = typeof given === 'string' ? [given, {}] : given
  return text.replace(/\$\{(!?)([^}]+)\}/g, (whole, literal: string, name: string) => {
    if (literal === '!') return whole.replace('!', '')
    if (own[name] !== undefined) return String(resolved(reading, own[name]))
    const [id = '', attribute] = name.split(/\.(.*)/s)
    return String(attribute === undefined ? reference(reading, id) : attributeOf(reading, id, attribute))
  })
}

/** A function by its name, its ARN, or either of an alias of it: its name. */
export const functionNamed = (text: string): string =>
  (/^arn:aws:lambda:[^:]+:\d+:function:(.+)$/.exec(text)?.[1] ?? text).split(':')[0] ?? ''
