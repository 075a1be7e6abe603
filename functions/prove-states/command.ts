/**
 * `npm run prove -- --table NAME [--endpoint URL]`: reads the whole table and prints what does not hold. It writes
 * nothing. The operator's own credentials are used; a table elsewhere than AWS is named by its endpoint.
 */

import { paginateScan } from '@aws-sdk/lib-dynamodb'
import { type Organisation, openOrganisation } from '../store/organisation.ts'
import { onTable, tableByFlags } from '../store/table-by-flags.ts'
import { proveRecalls } from './prove-recalls.ts'
import { proveStick } from './prove-states.ts'
import { proveTree } from './prove-tree.ts'

const purpose =
  'Proves that the stored state of every stick is the replay of its facts, and that no fact was altered. ' +
  'Writes nothing.'
const usage = {
  fingerprint: '--fingerprint X  proves, too, that the records once had this fingerprint, as the owners were mailed it',
}
const { client, table, textOf, ...named } = tableByFlags(
  { command: 'npm run prove --', purpose },
  {
    usage,
    faults: (given) => (isFingerprint(given('fingerprint')) ? [] : ['--fingerprint X: expected 64 of 0-9, a-f']),
  },
)
const asked = plain(textOf('fingerprint'))

function plain(text: string | undefined): string | undefined {
  return text?.replaceAll(/\s/g, '').toLowerCase()
}

function isFingerprint(text: string | undefined): boolean {
  return text === undefined || /^[0-9a-f]{64}$/.test(plain(text) ?? '')
}

let sticks = 0
let facts = 0
let faults = 0
let leaves = 0
let notYet = 0
let isAskedFound = false
const organisations = new Map<string, { readonly organisation: Organisation; readonly stickIds: string[] }>()

function say(organisation: string, fault: string): void {
  faults += 1
  console.log(`${organisation}: ${fault}`)
}

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
      const name = pk.slice('ORG#'.length, pk.indexOf('#STICK#'))
      const known = organisations.get(name) ?? { organisation: openOrganisation(table, name), stickIds: [] }
      organisations.set(name, { ...known, stickIds: [...known.stickIds, stickId] })
      const proof = await proveStick(openOrganisation(table, name), stickId)
      sticks += 1
      facts += proof.facts
      for (const fault of proof.faults) say(`${name} ${stickId}`, fault)
    }
  }
  for (const [name, { organisation, stickIds }] of organisations) {
    const proof = await proveTree(organisation, { stickIds, root: asked })
    leaves += proof.leaves
    notYet += proof.notYet
    for (const fault of [...proof.faults, ...(await proveRecalls(organisation))]) say(name, fault)
    if (proof.leavesOfAsked === undefined) continue
    isAskedFound = true
    console.log(`${name}: the fingerprint is that of its first ${proof.leavesOfAsked} facts`)
  }
  if (asked !== undefined && !isAskedFound) say('all', 'no records ever had this fingerprint')
}

await onTable(named, prove)
if (notYet > 0) console.log(`${notYet} facts have no place in their tree yet, and cannot be proved so far`)
if (faults === 0) console.log(`${leaves} facts in ${organisations.size} trees: none was altered, and no head either`)
console.log(
  `${sticks} sticks, ${facts} facts: ${faults === 0 ? 'every state is the replay of its facts' : `${faults} faults`}`,
)
process.exit(faults === 0 ? 0 : 1)
