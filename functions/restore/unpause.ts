/**
 * `npm run unpause -- --table NAME [--endpoint URL]`: lets mail go on after a restore. What is unknown stays unsent
 * until a person decides.
 */
import { end } from '../ground/command-line.ts'
import { letMailGoOn, restoredMarkOf } from '../store/restored-mark.ts'
import { onTable, tableByFlags } from '../store/table-by-flags.ts'
import { unknownNotices } from './decide-unknown.ts'
import { scanOf } from './scan.ts'

const { client, table, ...named } = tableByFlags({
  command: 'npm run unpause --',
  purpose: 'Lets mail go on after a restore. What is unknown stays unsent until a person decides with npm run unknown.',
})

await onTable(named, async () => {
  const mark = await restoredMarkOf(table)
  if (mark?.pausedSince === undefined) return end(1, 'Mail is not paused. Nothing was changed.')
  if (mark.filledAt === undefined) {
    return end(1, 'The table is not filled yet: give npm run restore again first. Nothing was changed.')
  }
  const unknown = await unknownNotices(scanOf(client, named.name))
  await letMailGoOn(table)
  console.log('Mail goes on. What waits leaves within five minutes.')
  if (unknown.length > 0)
    console.log(`${unknown.length} notices are unknown whether sent: decide with npm run unknown.`)
})
