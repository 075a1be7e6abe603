/**
 * The difference between two templates, in words for whoever deploys, and what of it is refused: a deployment must
 * neither replace what holds data or addresses nor ask for two changes of indexes at once.
 */
import { isDeepStrictEqual } from 'node:util'

interface Part {
  readonly Type: string
  readonly Properties?: Properties
  readonly DeletionPolicy?: string
  readonly UpdateReplacePolicy?: string
  readonly Metadata?: { readonly 'aws:cdk:path'?: string }
}

type Properties = Readonly<Record<string, unknown>>

export interface Template {
  readonly Resources: Readonly<Record<string, Part>>
  readonly Outputs?: Properties
  readonly Parameters?: Properties
}

export interface Difference {
  /** a line for each thing that changes */
  readonly changes: readonly string[]
  /** reasons not to deploy it */
  readonly refused: readonly string[]
}

interface Kept {
  readonly holds: string
  readonly replacedBy: readonly string[]
}

/**
 * Types whose resources cannot be made again, and the properties by whose change CloudFormation replaces them, or
 * refuses to change them ("Update requires" in the AWS CloudFormation template reference).
 */
const keptTypes: Readonly<Record<string, Kept>> = {
  'AWS::DynamoDB::Table': {
    holds: 'every fact and every notice',
    replacedBy: ['TableName', 'KeySchema', 'LocalSecondaryIndexes', 'ImportSourceSpecification'],
  },
  'AWS::S3::Bucket': {
    holds: 'the files in it',
    replacedBy: ['BucketName', 'BucketNamePrefix', 'ObjectLockEnabled'],
  },
  'AWS::Cognito::UserPool': {
    holds: 'the accounts that people sign in with',
    replacedBy: ['AliasAttributes', 'UsernameAttributes', 'UsernameConfiguration', 'Schema'],
  },
  'AWS::Cognito::UserPoolClient': {
    holds: 'the client in the tokens of programs',
    replacedBy: ['UserPoolId', 'GenerateSecret'],
  },
  'AWS::Cognito::UserPoolDomain': {
    holds: 'the address of the sign-in page',
    replacedBy: ['Domain', 'UserPoolId'],
  },
  'AWS::ApiGatewayV2::Api': {
    holds: 'the routes that addresses in mails and calendars lead to',
    replacedBy: ['ProtocolType'],
  },
  'AWS::ApiGatewayV2::DomainName': {
    holds: 'an address in mails and calendars that were sent',
    replacedBy: ['DomainName'],
  },
  'AWS::SES::EmailIdentity': {
    holds: 'the leave to send mail from the domain',
    replacedBy: ['EmailIdentity'],
  },
  'AWS::SNS::Topic': {
    holds: 'the subscriptions of whoever hears it',
    replacedBy: ['TopicName', 'FifoTopic'],
  },
}

/** The ids of what holds data or addresses, each with its type. @lintignore a test holds them to a golden list */
export function keptIn({ Resources }: Template): Readonly<Record<string, string>> {
  const kept = Object.entries(Resources).filter(([, { Type }]) => keptTypes[Type] !== undefined)
  return Object.fromEntries(kept.map(([id, { Type }]) => [id, Type]))
}

/** Nothing was deployed yet where `before` is null. */
export function differenceOf(before: Template | null, after: Template): Difference {
  if (before === null) {
    const parts = Object.keys(after.Resources).length
    return { changes: [`nothing is there yet: ${parts} parts are made`], refused: refusedOfNew(after) }
  }
  const ids = [...new Set([...Object.keys(before.Resources), ...Object.keys(after.Resources)])]
  const changes = ids.flatMap((id) => changeOf(id, before.Resources[id], after.Resources[id]))
  const refused = ids.flatMap((id) => refusedOf(id, before.Resources[id], after.Resources[id]))
  return {
    changes: [
      ...changes,
      ...leaves(before.Parameters ?? {}, after.Parameters ?? {}).map((leaf) => `parameter ${leaf}`),
      ...leaves(before.Outputs ?? {}, after.Outputs ?? {}).map((leaf) => `output ${leaf}`),
    ],
    refused: [...refused, ...refusedOfNew(after)],
  }
}

function changeOf(id: string, was: Part | undefined, is: Part | undefined): string[] {
  // a version comes with every change of its function, which is told by itself
  if ((is ?? was)?.Type === 'AWS::Lambda::Version') return []
  if (was === undefined) return [`new: ${named(id, is)}`]
  if (is === undefined) return [`gone: ${named(id, was)}`]
  if (was.Type !== is.Type) return [`gone: ${named(id, was)}`, `new: ${named(id, is)}`]
  const all = leaves(was.Properties ?? {}, is.Properties ?? {})
  const [code, others] = [all.filter(isCode), all.filter((leaf) => !isCode(leaf))]
  return [
    ...(code.length === 0 ? [] : [`other code: ${named(id, is)}`]),
    // an alias moves with its function
    ...others
      .filter((leaf) => is.Type !== 'AWS::Lambda::Alias' || !leaf.startsWith('FunctionVersion'))
      .map((leaf) => `changed: ${named(id, is)}: ${leaf}`),
    ...(['DeletionPolicy', 'UpdateReplacePolicy'] as const).flatMap((policy) =>
      was[policy] === is[policy] ? [] : [`changed: ${named(id, is)}: ${policy} from ${was[policy]} to ${is[policy]}`],
    ),
  ]
}

const isCode = (leaf: string) => leaf.startsWith('Code.')

/** The part by its place in the code, which people know; by its id where it has none. */
function named(id: string, part: Part | undefined): string {
  const path = part?.Metadata?.['aws:cdk:path']?.split('/').slice(1, -1).join('/')
  return `${part?.Type.replace(/^AWS::/, '')} ${path === undefined || path === '' ? id : `${path} (${id})`}`
}

/** Differences down to single values, each as `path from this to that`. */
function leaves(was: unknown, is: unknown, path = ''): string[] {
  if (isDeepStrictEqual(was, is)) return []
  if (isObject(was) && isObject(is)) {
    const names = [...new Set([...Object.keys(was), ...Object.keys(is)])]
    return names.flatMap((name) => leaves(was[name], is[name], path === '' ? name : `${path}.${name}`))
  }
  return [`${path} from ${short(was)} to ${short(is)}`]
}

const isObject = (value: unknown): value is Properties =>
  typeof value === 'object' && value !== null && !Array.isArray(value)

function short(value: unknown): string {
  if (value === undefined) return 'nothing'
  const text = JSON.stringify(value)
  return text.length <= 200 ? text : `${text.slice(0, 200)} …`
}

function refusedOf(id: string, was: Part | undefined, is: Part | undefined): string[] {
  const kept = was && keptTypes[was.Type]
  if (was === undefined || kept === undefined) return []
  if (is === undefined || is.Type !== was.Type)
    return [`${named(id, was)} would be replaced: its id is gone. It holds ${kept.holds}.`]
  const replacing = kept.replacedBy.filter((name) => !isDeepStrictEqual(was.Properties?.[name], is.Properties?.[name]))
  return [
    ...replacing.map((name) => `${named(id, was)} would be replaced: ${name} differs. It holds ${kept.holds}.`),
    ...(was.Type === 'AWS::DynamoDB::Table' ? refusedOfTable(id, was, is) : []),
  ]
}

interface Index {
  readonly IndexName: string
  readonly KeySchema: unknown
  readonly Projection: unknown
}

const indexesOf = ({ Properties }: Part) => {
  const all = (Properties?.GlobalSecondaryIndexes ?? []) as readonly Index[]
  return new Map(all.map((index) => [index.IndexName, index]))
}

const attributesOf = ({ Properties }: Part) => {
  const all = (Properties?.AttributeDefinitions ?? []) as readonly { AttributeName: string; AttributeType: string }[]
  return new Map(all.map(({ AttributeName, AttributeType }) => [AttributeName, AttributeType]))
}

/** DynamoDB makes or ends one index an update, and changes the keys of none (its API Reference, UpdateTable). */
function refusedOfTable(id: string, was: Part, is: Part): string[] {
  const [before, after] = [indexesOf(was), indexesOf(is)]
  const made = [...after.keys()].filter((name) => !before.has(name))
  const ended = [...before.keys()].filter((name) => !after.has(name))
  const other = [...after].filter(([name, { KeySchema, Projection }]) => {
    const old = before.get(name)
    return old !== undefined && !isDeepStrictEqual([old.KeySchema, old.Projection], [KeySchema, Projection])
  })
  const [types, typesNow] = [attributesOf(was), attributesOf(is)]
  const retyped = [...types].filter(([name, type]) => typesNow.has(name) && typesNow.get(name) !== type)
  const both = [...made.map((name) => `${name} is made`), ...ended.map((name) => `${name} is ended`)]
  return [
    ...(both.length > 1
      ? [`${named(id, was)}: one deployment changes one index at most, and ${both.join(', ')}.`]
      : []),
    ...other.map(
      ([name]) => `${named(id, was)}: the index ${name} cannot be changed; make another, then end this one.`,
    ),
    ...retyped.map(([name]) => `${named(id, was)} would be replaced: the attribute ${name} has another type.`),
  ]
}

/** Parts that hold data stay when the stack, or their place in it, goes. */
function refusedOfNew({ Resources }: Template): string[] {
  return Object.entries(Resources).flatMap(([id, part]) => {
    const isKept = part.DeletionPolicy === 'Retain' && part.UpdateReplacePolicy === 'Retain'
    const isNeeded = retainedTypes.includes(part.Type)
    return isNeeded && !isKept ? [`${named(id, part)} would be deleted with the stack: retain it.`] : []
  })
}

/** Types that stand in the way of no successor where they are left behind. */
const retainedTypes = [
  'AWS::DynamoDB::Table',
  'AWS::S3::Bucket',
  'AWS::Cognito::UserPool',
  'AWS::ApiGatewayV2::Api',
  'AWS::SES::EmailIdentity',
  'AWS::SNS::Topic',
]
