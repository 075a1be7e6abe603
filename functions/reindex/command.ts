/**
 * `npm run refold -- --table NAME [--endpoint URL]` does at once what reindex does every five minutes: it folds anew
 * what an earlier build folded, writes the lists by the rules in force, and owes word of the sticks that those rules
 * hold now. Begun again, it goes on where it stopped.
 */
import { systemClock } from '../ground/clock.ts'
import { tableByFlags } from '../store/table-by-flags.ts'
import { reindex } from './reindex.ts'

const { table } = tableByFlags('npm run refold')
const { sticks } = await reindex(table, systemClock(), () => true)
console.log(`${sticks} sticks written anew`)
