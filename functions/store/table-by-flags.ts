/**
 * The table that a command names: `--table NAME`, elsewhere than AWS `--endpoint URL`. The operator's credentials are
 * used.
 */
import { DynamoDBClient } from '@aws-sdk/client-dynamodb'
import { DynamoDBDocumentClient } from '@aws-sdk/lib-dynamodb'
import { type CommandLine, end, endUnlessClear, readCommandLine } from '../ground/command-line.ts'
import { openTable } from './table.ts'

export interface NamedTable {
  readonly name: string
  readonly endpoint: string | undefined
}

export interface Named extends NamedTable {
  readonly help: boolean
  readonly textOf: CommandLine['textOf']
  readonly faults: readonly string[]
}

/** What a command asks for besides its table. */
export interface OwnFlags {
  /** each flag takes a value, and has its line of the usage */
  readonly usage: Readonly<Record<string, string>>
  readonly faults: (textOf: CommandLine['textOf']) => readonly string[]
}

const noneOfItsOwn: OwnFlags = { usage: {}, faults: () => [] }

/** The table that flags name, with every fault of the flags. @lintignore tried by itself */
export function namedTable(argv: readonly string[], own: OwnFlags = noneOfItsOwn): Named {
  const flags = Object.fromEntries(
    ['table', 'endpoint', ...Object.keys(own.usage)].map((flag) => [flag, 'value'] as const),
  )
  const { help, textOf, words, faults } = readCommandLine(argv, flags)
  const name = textOf('table') ?? ''
  const endpoint = textOf('endpoint')
  const all = [...words.map((word) => `${word} is no flag`), ...faults]
  if (!argv.some((word) => /^--table(=|$)/.test(word))) all.push('no table is named: --table NAME')
  if (endpoint !== undefined && !isAddress(endpoint) && !endpoint.startsWith('-') && endpoint !== '') {
    all.push(`--endpoint ${endpoint}: expected an address such as http://127.0.0.1:8000`)
  }
  return { help, name, endpoint, textOf, faults: [...all, ...own.faults(textOf)] }
}

const isAddress = (text: string) => /^https?:\/\//.test(text) && URL.canParse(text)

/** The command as people type it, and what it does. */
interface Command {
  readonly command: string
  readonly purpose: string
}

/** The table, or the end of the process with the usage. */
export function tableByFlags({ command, purpose }: Command, own: OwnFlags = noneOfItsOwn) {
  const named = namedTable(process.argv.slice(2), own)
  const lines = [
    `${command} --table NAME [--endpoint URL]`,
    purpose,
    ...Object.values(own.usage),
    '--table NAME    the table; that of npm start stands in what it prints, and in its ready file',
    '--endpoint URL  where the table is, if elsewhere than AWS',
    '--help, -h      print this',
  ]
  endUnlessClear(named, lines.map((line, i) => (i < 2 ? line : `  ${line}`)).join('\n'))
  const { name, endpoint, textOf } = named
  const local = { region: 'local', credentials: { accessKeyId: 'local', secretAccessKey: 'local' } }
  const client = DynamoDBDocumentClient.from(new DynamoDBClient(endpoint === undefined ? {} : { endpoint, ...local }), {
    marshallOptions: { removeUndefinedValues: true },
  })
  return { client, name, endpoint, textOf, table: openTable(client, name) }
}

/** The work of a command. Where the table cannot be reached, the process ends with 2 and a sentence. */
export async function onTable<T>(named: NamedTable, work: () => Promise<T>): Promise<T> {
  try {
    return await work()
  } catch (error) {
    const why = whyOutOfReach(error, named)
    if (why === undefined) throw error
    return end(2, why)
  }
}

const unreachable = new Set(['ECONNREFUSED', 'ECONNRESET', 'ENOTFOUND', 'EAI_AGAIN', 'ETIMEDOUT', 'EHOSTUNREACH'])
const noAccess = new Set(['AccessDeniedException', 'UnrecognizedClientException', 'ExpiredTokenException'])

/** A sentence where the table is the trouble; undefined where anything else is. @lintignore tried by itself */
export function whyOutOfReach(error: unknown, { name, endpoint }: NamedTable): string | undefined {
  const { name: kind, code = '', message, $metadata } = error as Error & { code?: string; $metadata?: object }
  const place = endpoint ?? 'AWS'
  if (unreachable.has(code))
    return `Nothing answers at ${place}. Is npm start running, and is this the table's endpoint?`
  if (kind === 'ResourceNotFoundException') return `There is no table ${name} at ${place}.`
  if (message === 'Region is missing') {
    return 'No region of AWS is set: set AWS_REGION, or say where else the table is with --endpoint URL.'
  }
  if (kind === 'CredentialsProviderError') return 'No credentials for AWS were found. Sign in, or set AWS_PROFILE.'
  if (noAccess.has(kind)) return `The table ${name} may not be read with these credentials: ${message}`
  if (kind === 'ValidationException' && /table ?name|table.index name/i.test(message))
    return `${name} cannot be the name of a table.`
  // what answers there is no DynamoDB: the client finds no error of the service in it
  if ($metadata !== undefined && /^(UnknownError|SyntaxError|Unknown|UnknownException)$/.test(kind)) {
    return `What answers at ${place} is no DynamoDB. The table's endpoint is another one than the API's.`
  }
  return undefined
}
