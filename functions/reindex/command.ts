/**
 * `npm run refold -- --table NAME [--endpoint URL]` does at once what reindex does every five minutes: it folds anew
 * what an earlier build folded, writes the lists by the rules in force, and owes word of the sticks that those rules
 * hold now. Begun again, it goes on where it stopped.
 */
import { systemClock } from '../ground/clock.ts'
import { onTable, tableByFlags } from '../store/table-by-flags.ts'
import { reindex } from './reindex.ts'

const purpose = 'Folds anew what an earlier build folded, and writes the lists by the rules in force.'
const { table, ...named } = tableByFlags({ command: 'npm run refold --', purpose })
const { sticks } = await onTable(named, () => reindex(table, systemClock(), () => true))
console.log(`${sticks} sticks written anew`)
