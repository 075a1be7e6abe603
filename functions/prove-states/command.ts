/**
 * `npm run prove -- --table NAME [--endpoint URL]`: reads the whole table and prints what does not hold. It writes
 * nothing. The operator's own credentials are used; a table elsewhere than AWS is named by its endpoint.
 */

import { paginateScan } from '@aws-sdk/lib-dynamodb'
import { openOrganisation } from '../store/organisation.ts'
import { onTable, tableByFlags } from '../store/table-by-flags.ts'
import { proveStick } from './prove-states.ts'

const purpose = 'Proves that the stored state of every stick is the replay of its facts. Writes nothing.'
const { client, table, ...named } = tableByFlags({ command: 'npm run prove --', purpose })

let sticks = 0
let facts = 0
let faults = 0

async function prove(): Promise<void> {
  const pages = paginateScan(
    { client },
    {
      TableName: named.name,
      // states are found by their kind: an entry on a register may bear the name under which states lie
      FilterExpression: 'entity = :stick',
      ExpressionAttributeValues: { ':stick': 'stick' },
      ProjectionExpression: 'pk, stickId',
    },
  )
  for await (const page of pages) {
    for (const { pk, stickId } of (page.Items ?? []) as { pk: string; stickId: string }[]) {
      const organisation = pk.slice('ORG#'.length, pk.indexOf('#STICK#'))
      const proof = await proveStick(openOrganisation(table, organisation), stickId)
      sticks += 1
      facts += proof.facts
      faults += proof.faults.length
      for (const fault of proof.faults) console.log(`${organisation} ${stickId}: ${fault}`)
    }
  }
}

await onTable(named, prove)
console.log(
  `${sticks} sticks, ${facts} facts: ${faults === 0 ? 'every state is the replay of its facts' : `${faults} faults`}`,
)
process.exit(faults === 0 ? 0 : 1)
