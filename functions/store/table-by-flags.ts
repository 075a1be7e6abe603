/**
 * The table that a command names: `--table NAME`, elsewhere than AWS `--endpoint URL`. The operator's own credentials
 * are used.
 */
import { parseArgs } from 'node:util'
import { DynamoDBClient } from '@aws-sdk/client-dynamodb'
import { DynamoDBDocumentClient } from '@aws-sdk/lib-dynamodb'
import { openTable } from './table.ts'

/**
 * Opens the table. Without a name the process says what is asked for, and ends with 2. `command` is what people type.
 */
export function tableByFlags(command: string) {
  const { values } = parseArgs({ options: { table: { type: 'string' }, endpoint: { type: 'string' } } })
  const { table: name, endpoint } = values
  if (name === undefined) {
    console.error(`Name the table: ${command} -- --table NAME [--endpoint URL]`)
    process.exit(2)
  }
  const local = { region: 'local', credentials: { accessKeyId: 'local', secretAccessKey: 'local' } }
  const client = DynamoDBDocumentClient.from(new DynamoDBClient(endpoint === undefined ? {} : { endpoint, ...local }), {
    marshallOptions: { removeUndefinedValues: true },
  })
  return { client, name, table: openTable(client, name) }
}
