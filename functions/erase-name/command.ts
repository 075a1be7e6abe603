/**
 * `npm run erase-name -- --organisation X --name N [--person ID] --names BUCKET [--names-endpoint URL] --table NAME
 * [--endpoint URL]`: takes a person's name out of every fact of an organisation, and from beside the journal, for good.
 * The operator's own credentials are used.
 */
import { paginateScan } from '@aws-sdk/lib-dynamodb'
import { openBucket } from '../store/bucket.ts'
import { openOrganisation } from '../store/organisation.ts'
import { onTable, tableByFlags } from '../store/table-by-flags.ts'
import { eraseBeside } from './beside-journal.ts'
import { eraseName } from './erase-name.ts'

const usage = {
  organisation: '--organisation X the organisation',
  name: '--name N        the name, as it was written; every text that holds it goes',
  names: '--names BUCKET  the bucket of the names beside the journal',
  'names-endpoint': '--names-endpoint URL  where the bucket is, if elsewhere than AWS',
  person: '--person ID     their number on the register of people, where they are on it',
}
const { client, table, textOf, ...place } = tableByFlags(
  {
    command: 'npm run erase-name --',
    purpose: 'Takes a person’s name out of every fact, for good. What is left proves.',
  },
  {
    usage,
    faults: (given) =>
      ['organisation', 'name', 'names'].flatMap((flag) =>
        (given(flag) ?? '').trim() === '' ? [`--${flag} is not given`] : [],
      ),
  },
)
const [name = '', who = '', personId] = ['organisation', 'name', 'person'].map(textOf)

async function eraseAll(): Promise<{ texts: number; left: number }> {
  let texts = 0
  let left = 0
  const pages = paginateScan(
    { client },
    {
      TableName: place.name,
      FilterExpression: 'entity = :stick AND begins_with(pk, :organisation)',
      ExpressionAttributeValues: { ':stick': 'stick', ':organisation': `ORG#${name}#` },
      ProjectionExpression: 'stickId',
    },
  )
  for await (const page of pages) {
    for (const { stickId } of (page.Items ?? []) as { stickId: string }[]) {
      const erased = await eraseName(openOrganisation(table, name), stickId, { name: who.trim(), personId })
      texts += erased.texts
      left += erased.left
    }
  }
  return { texts, left }
}

const { texts, left } = await onTable(place, eraseAll)
const bucket = openBucket({ name: textOf('names') ?? '', endpoint: textOf('names-endpoint') })
const beside = await eraseBeside(bucket, name, { name: who.trim(), personId })
console.log(`${texts} texts were erased from facts. Entries on the registers, and notices, are not facts, and stay.`)
console.log(`${beside} texts were erased from beside the journal. What is on its way there now goes with another run.`)
if (left > 0) console.log(`${left} facts have no place in the tree yet: run this again in an hour.`)
process.exit(left > 0 ? 1 : 0)
