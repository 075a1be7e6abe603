/** `npm run drill`: rehearses the loss of the table on the local stack, and prints how long each step takes. */
import { drill } from './drill.ts'
import { faultsOf } from './faults.ts'

// functions run in this process, and the zone of a function is UTC
process.env.TZ = 'UTC'

const began = Date.now()
const drilled = await drill((line) => console.log(line))
const faults = faultsOf(drilled)
for (const fault of faults) console.error(fault)
const { restored, mailed, sentAnew } = drilled
console.log(
  `${restored.filled} items filled in from the journal, ${restored.unknown.length} notices unknown, ` +
    `${mailed.before.length} mails before the loss, ${mailed.paused.length} while paused, ${mailed.after.length} ` +
    `after, ${sentAnew.length} of them under new numbers.`,
)
const seconds = Math.round((Date.now() - began) / 1000)
console.log(`${faults.length === 0 ? 'All holds' : `${faults.length} faults`}. The drill took ${seconds} s.`)
process.exit(faults.length === 0 ? 0 : 1)
