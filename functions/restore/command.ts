/**
 * `npm run restore -- --table NAME [--endpoint URL] --backup-at INSTANT --lost-at INSTANT --journal BUCKET
 * --names BUCKET [--journal-endpoint URL]`: fills a table that was brought back from a backup. Without a journal:
 * `--journal none`.
 */
import { systemClock } from '../ground/clock.ts'
import { end } from '../ground/command-line.ts'
import { onTable, tableByFlags } from '../store/table-by-flags.ts'
import { lineOfUnknown } from './decide-unknown.ts'
import { journalSince, namesBeside } from './journal-bucket.ts'
import { restore } from './restore.ts'
import { momentOf, restoreFaults } from './restore-flags.ts'
import { scanOf } from './scan.ts'

const { client, table, textOf, ...named } = tableByFlags(
  {
    command:
      'npm run restore -- --backup-at INSTANT --lost-at INSTANT --journal BUCKET --names BUCKET ' +
      '[--journal-endpoint URL]',
    purpose:
      'Fills a table that was brought back from a backup with what the journal holds since. What is in doubt is ' +
      'held, and mail waits for npm run unpause. Broken off, it may be given again.',
  },
  {
    usage: {
      'backup-at': '--backup-at INSTANT  the second that the table was brought back to, such as 2026-03-02T05:59:00Z',
      'lost-at': '--lost-at INSTANT    when the table was lost: the service recorded nothing after it',
      journal: '--journal BUCKET     the bucket of the journal, or none: every stick is held then',
      names: '--names BUCKET       the bucket of the names beside the journal',
      'journal-endpoint': '--journal-endpoint URL  where the bucket is, if elsewhere than AWS',
    },
    faults: restoreFaults,
  },
)

const lost = { from: momentOf(textOf('backup-at')), to: momentOf(textOf('lost-at')) }
const journal = textOf('journal') ?? ''

await onTable(named, async () => {
  const began = Date.now()
  const endpoint = textOf('journal-endpoint')
  const lines = journal === 'none' ? null : await journalSince({ name: journal, endpoint }, lost.from)
  const namesOf = namesBeside({ name: textOf('names') ?? '', endpoint })
  const scan = scanOf(client, named.name)
  const done = await restore({ table, scan, lines, namesOf, lost, now: systemClock() })
  if (done === 'filled before') {
    return end(
      1,
      'This table was filled before, from this backup or another: what is there may be newer. Nothing was changed.',
    )
  }
  console.log(
    `${lines?.length ?? 0} lines of the journal, ${done.filled} items filled in, ${done.folded} sticks folded anew.`,
  )
  for (const { from, to } of done.holes) console.log(`The journal holds nothing of ${from} to ${to}.`)
  console.log(`${done.held.length} sticks are on hold until somebody looked at the paper.`)
  for (const { organisation, stickId } of done.held) console.log(`  ${organisation} ${stickId}`)
  console.log(`${done.unknown.length} notices are unknown whether sent, and are not sent again by themselves.`)
  for (const notice of done.unknown) console.log(`  ${lineOfUnknown(notice)}`)
  console.log(`Mail is paused. It took ${Math.round((Date.now() - began) / 1000)} s. Go on with npm run prove.`)
})
