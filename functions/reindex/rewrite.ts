/** Writes sticks into their lists anew. */
import type { Morning } from '../../shared-domain/notices/morning.ts'
import { relisted } from '../../shared-domain/relisting.ts'
import { shapeOfState } from '../../shared-domain/shape-of-state.ts'
import { replay } from '../../shared-domain/state/fold.ts'
import type { Standing } from '../../shared-domain/state/standing.ts'
import type { Organisation } from '../store/organisation.ts'
import type { StoredStick } from '../store/sticks.ts'
import type { Write } from '../store/table.ts'
import { isUntold } from '../telling/changes.ts'

export interface RewriteOutcome {
  readonly sticks: number
  /** false: the next run goes on with what is left */
  readonly finished: boolean
}

export interface Rewritten {
  readonly sticks: number
  readonly untold: boolean
}

/** The sticks that lie otherwise than they are to, and how those are to lie. */
export interface Renewed {
  readonly isStale: (stored: StoredStick) => boolean
  readonly as: (stored: StoredStick) => {
    readonly standing: Standing
    readonly morning: Morning
    readonly depotId?: string | null
  }
}

export const sticksOnPage = 50
/** An item holds 400 KB at the most, a transaction 4 MB. */
const sticksAtOnce = 10

/**
 * Rewrites several sticks in one transaction, and one by one where somebody else wrote to any of them. Answers how many
 * were to be written, and whether any stands otherwise than its people know.
 */
export async function rewriteAll(
  organisation: Organisation,
  page: readonly StoredStick[],
  renewed: Renewed,
): Promise<Rewritten> {
  const stale = page.filter(renewed.isStale)
  let untold = false
  for (let i = 0; i < stale.length; i += sticksAtOnce) {
    const some = await Promise.all(stale.slice(i, i + sticksAtOnce).map((one) => foldedAnew(organisation, one)))
    untold ||= some.some((one) => isUntold(one, renewed.as(one).morning))
    const writes = some.map((one) => writeOf(organisation, one, renewed))
    if ((await organisation.table.transact(writes)).done) continue
    for (const stored of some) await rewrite(organisation, stored, renewed)
  }
  return { sticks: stale.length, untold }
}

/** Folds a state of an earlier build anew from its facts. */
async function foldedAnew({ sticks }: Organisation, stored: StoredStick): Promise<StoredStick> {
  if (stored.shape === shapeOfState) return stored
  return { ...stored, state: replay(await sticks.facts(stored.stickId), stored.stickId), shape: shapeOfState }
}

function writeOf({ sticks }: Organisation, stored: StoredStick, renewed: Renewed): Write {
  const { standing, morning, depotId = stored.depotId } = renewed.as(stored)
  const there = { ...stored, depotId }
  return sticks.relistedWrite(there, relisted(there, standing, morning))
}

async function rewrite(organisation: Organisation, found: StoredStick, renewed: Renewed): Promise<void> {
  let stored: StoredStick | undefined = found
  for (let tries = 0; tries < 5; tries++) {
    if (stored === undefined) return
    if ((await organisation.table.transact([writeOf(organisation, stored, renewed)])).done) return
    const now = await organisation.sticks.stored(found.stickId)
    if (now === undefined || !renewed.isStale(now)) return
    stored = await foldedAnew(organisation, now)
  }
  // the stick's page is not done then, and the next run begins with it again
  throw new Error(`stick ${found.stickId} was being written to`)
}
