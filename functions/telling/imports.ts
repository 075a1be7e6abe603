/**
 * The digest of an import: a reader gets one notice of all sticks that must not be used any more because of what was
 * taken in. Where it breaks off, the sticks keep their mark, and the next run, or the sweep, tells of them.
 */
import type { Instant } from '../../shared-domain/calendar.ts'
import { importUntold } from '../../shared-domain/notices/change.ts'
import { todayAt } from '../questions/today.ts'
import type { Organisation } from '../store/organisation.ts'
import type { StoredStick } from '../store/sticks.ts'
import { tellOfChanges } from './changes.ts'

interface Importing {
  readonly organisation: Organisation
  readonly now: Instant
  readonly import: string
}

const readTogether = 100
/** The most sticks that are told of together, so that a person gets one mail: the states of more would not fit. */
const mostTogether = 1000

/** Answers how many notices were written. */
export async function tellOfUnsafe(
  importing: Importing,
  stickIds: readonly string[],
  hasTime: () => boolean,
): Promise<number | 'no time'> {
  const { organisation, import: id } = importing
  let notices = 0
  let unsafe: StoredStick[] = []
  for (let at = 0; at < stickIds.length; at += readTogether) {
    const page = await organisation.sticks.fresh(stickIds.slice(at, at + readTogether))
    unsafe.push(...page.filter((stored) => importUntold(stored) === id))
    if (unsafe.length < mostTogether) continue
    notices += await told(importing, unsafe)
    unsafe = []
    // those that were told of are passed over by the next run
    if (!hasTime()) return 'no time'
  }
  return notices + (await told(importing, unsafe))
}

/** Sticks of one day have one set of rules. */
async function told({ organisation, now, import: id }: Importing, unsafe: readonly StoredStick[]): Promise<number> {
  const days = await Promise.all(unsafe.map(({ depotId }) => todayAt({ organisation, now }, depotId)))
  let notices = 0
  for (const [day, some] of Map.groupBy(unsafe, (_, i) => days[i]?.today)) {
    if (day === undefined) continue
    const morning = { day, rules: await organisation.rulesOn(day) }
    notices += await tellOfChanges({ organisation, morning, now, cause: { by: 'import', import: id } }, some)
  }
  return notices
}
