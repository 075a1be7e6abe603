/** Writes sticks into their lists anew. */
import type { Morning } from '../../shared-domain/notices/owed.ts'
import type { Standing } from '../../shared-domain/state/standing.ts'
import type { Organisation } from '../store/organisation.ts'
import type { StoredStick } from '../store/sticks.ts'
import type { Write } from '../store/table.ts'

export interface Outcome {
  readonly sticks: number
  /** false: the next run goes on with what is left */
  readonly finished: boolean
}

/** How a stick is to lie in the lists; null where it does already. */
export type Renewed = (stored: StoredStick) => {
  readonly standing: Standing
  readonly morning: Morning
  readonly depotId?: string | null
} | null

export const sticksOnPage = 50
/** An item holds 400 KB at the most, a transaction 4 MB. */
const sticksAtOnce = 10

/** Several in one transaction; one by one where somebody else wrote to any of them. Answers how many were to be written. */
export async function rewriteAll(
  organisation: Organisation,
  page: readonly StoredStick[],
  renewed: Renewed,
): Promise<number> {
  const stale = page.filter((one) => renewed(one) !== null)
  for (let i = 0; i < stale.length; i += sticksAtOnce) {
    const some = stale.slice(i, i + sticksAtOnce)
    const writes = some.flatMap((one) => writeOf(organisation, one, renewed) ?? [])
    if ((await organisation.table.transact(writes)).done) continue
    for (const stored of some) await rewrite(organisation, stored, renewed)
  }
  return stale.length
}

function writeOf({ sticks }: Organisation, stored: StoredStick, renewed: Renewed): Write | null {
  const anew = renewed(stored)
  if (anew === null) return null
  const { standing, morning, depotId = stored.depotId } = anew
  return sticks.reindexWrite({ ...stored, depotId }, standing, morning)
}

async function rewrite(organisation: Organisation, found: StoredStick, renewed: Renewed): Promise<void> {
  let stored: StoredStick | undefined = found
  for (let tries = 0; tries < 5; tries++) {
    const write: Write | null = stored === undefined ? null : writeOf(organisation, stored, renewed)
    if (write === null) return
    if ((await organisation.table.transact([write])).done) return
    stored = await organisation.sticks.stored(found.stickId)
  }
  // its page is not done then, and the next run begins with it again
  throw new Error(`stick ${found.stickId} was being written to`)
}
