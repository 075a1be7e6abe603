/**
 * `npm run refold -- --table NAME [--endpoint URL]`: does at once what reindex does every five minutes: folds anew what an earlier
 * build folded, writes the lists by the rules in force, and owes word of what those hold now. Begun again it goes on where it stopped.
 */
import { parseArgs } from 'node:util'
import { DynamoDBClient } from '@aws-sdk/client-dynamodb'
import { DynamoDBDocumentClient } from '@aws-sdk/lib-dynamodb'
import { systemClock } from '../ground/clock.ts'
import { openTable } from '../store/table.ts'
import { reindex } from './reindex.ts'

const { values } = parseArgs({ options: { table: { type: 'string' }, endpoint: { type: 'string' } } })
if (values.table === undefined) {
  console.error('Name the table: npm run refold -- --table NAME [--endpoint URL]')
  process.exit(2)
}

const local = { region: 'local', credentials: { accessKeyId: 'local', secretAccessKey: 'local' } }
const client = DynamoDBDocumentClient.from(
  new DynamoDBClient(values.endpoint === undefined ? {} : { endpoint: values.endpoint, ...local }),
  { marshallOptions: { removeUndefinedValues: true } },
)
const { sticks } = await reindex(openTable(client, values.table), systemClock(), () => true)
console.log(`${sticks} sticks written anew`)
