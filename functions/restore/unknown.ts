/**
 * `npm run unknown -- --table NAME [--endpoint URL] [--number NUMBER|all --do send|leave]`: lists the notices of which
 * nobody knows whether they were sent, and does with them what a person decides.
 */
import { systemClock } from '../ground/clock.ts'
import { end } from '../ground/command-line.ts'
import { onTable, tableByFlags } from '../store/table-by-flags.ts'
import { decideUnknown, lineOfUnknown, unknownNotices } from './decide-unknown.ts'
import { scanOf } from './scan.ts'

const { client, table, textOf, ...named } = tableByFlags(
  {
    command: 'npm run unknown -- [--number NUMBER --do send|leave]',
    purpose: 'Lists the notices of which nobody knows whether they were sent, and does with them what you decide.',
  },
  {
    usage: {
      number: '--number NUMBER  the notice that you decide about, or all',
      do: '--do send|leave  send: the same under a new number. leave: it stays as it is',
    },
    faults: (given) => {
      const what = given('do')
      const isHalf = (what === undefined) !== (given('number') === undefined)
      return [
        ...(isHalf ? ['--number and --do go together'] : []),
        ...(what === undefined || what === 'send' || what === 'leave' ? [] : [`--do ${what}: expected send or leave`]),
      ]
    },
  },
)

await onTable(named, async () => {
  const all = await unknownNotices(scanOf(client, named.name))
  const [number, what] = [textOf('number'), textOf('do')]
  if (number === undefined || what === undefined) {
    console.log(`${all.length} notices are unknown whether sent.`)
    for (const notice of all) console.log(`  ${lineOfUnknown(notice)}`)
    return
  }
  const chosen = number === 'all' ? all : all.filter((notice) => notice.number === number)
  if (chosen.length === 0) return end(1, `No notice ${number} is unknown whether sent. Nothing was changed.`)
  const decided = await decideUnknown(table, chosen, { what: what === 'send' ? 'send' : 'leave', now: systemClock() })
  console.log(`${decided} notices ${what === 'send' ? 'are owed under new numbers' : 'are left as they are'}.`)
})
