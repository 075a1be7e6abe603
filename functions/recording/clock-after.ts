/**
 * The clock by which a stick's days are counted from a fact on.
 * - A fact that moves the stick names the clock, also where it stays the same: a move recorded late must not reach
 *   beyond it.
 * - A fact of any other kind names it only where the stick's depot has changed without a move.
 */
import type { Happening } from '../../shared-domain/facts.ts'
import type { StickState } from '../../shared-domain/state/state.ts'
import type { Actor } from './actor.ts'

interface Happened {
  readonly happening: Happening
  readonly state: StickState
  /** the zone of where the stick lies without the fact */
  readonly home: string
}

export async function clockAfter(
  { organisation, now }: Actor,
  { happening, state, home }: Happened,
): Promise<{ clockAfter?: string }> {
  const crewId = crewGoneTo(happening, state)
  const crew = crewId === undefined ? undefined : await organisation.crewNow(crewId, now)
  const depotId = crew?.body.depotId ?? depotLaidAt(happening)
  if (depotId !== undefined) return { clockAfter: await organisation.zoneAt(depotId, now) }
  return state.stays.at(-1)?.zone === home ? {} : { clockAfter: home }
}

function depotLaidAt(happening: Happening): string | undefined {
  if (happening.kind !== 'moved' || typeof happening.move.to === 'string') return undefined
  const { to } = happening.move
  return 'store' in to ? to.store : 'bench' in to ? to.bench : undefined
}

export function crewGoneTo(happening: Happening, { registrations }: StickState): string | undefined {
  if (happening.kind === 'registered') {
    const named = happening.stick.crewId
    return named === registrations.at(-1)?.stick.crewId ? undefined : named
  }
  if (happening.kind !== 'moved' || typeof happening.move.to === 'string') return undefined
  return 'crewId' in happening.move.to ? happening.move.to.crewId : undefined
}
