/**
 * `npm run archive -- --table NAME [--endpoint URL] --organisation X --to FILE`: takes everything of an organisation
 * out as one file. It writes nothing to the table.
 */
import { createWriteStream } from 'node:fs'
import { promises, Readable } from 'node:stream'
import { createGzip } from 'node:zlib'
import { systemClock } from '../ground/clock.ts'
import { onTable, tableByFlags } from '../store/table-by-flags.ts'
import { archiveOf, isOrganisation } from './archive.ts'
import { scanOf } from './scan.ts'

const { client, textOf, ...named } = tableByFlags(
  {
    command: 'npm run archive -- --organisation X --to FILE',
    purpose:
      'Takes everything of an organisation out as one file, and prints its seal. Give the file and the seal to its ' +
      'owner by different ways. Do it while nobody records, or from a table that was brought back to a second.',
  },
  {
    usage: { organisation: '--organisation X  its name', to: '--to FILE         a new file, such as demo.ndjson.gz' },
    faults: (given) => [
      ...(isOrganisation(given('organisation')) ? [] : ['--organisation X is missing, or is no name']),
      ...(given('to') === undefined ? ['--to FILE is missing'] : []),
    ],
  },
)

await onTable(named, async () => {
  const organisation = textOf('organisation') ?? ''
  let end = ''
  let lines = 0
  async function* counted(): AsyncGenerator<string> {
    for await (const line of archiveOf(organisation, scanOf(client, named.name)(), systemClock())) {
      end = line
      lines += 1
      yield line
    }
  }
  // a file that is there is never written over
  const file = createWriteStream(textOf('to') ?? '', { flags: 'wx', mode: 0o600 })
  await promises.pipeline(Readable.from(counted()), createGzip(), file)
  console.log(`${lines - 2} items of ${organisation}. Its seal: ${(JSON.parse(end) as { seal: string }).seal}`)
})
