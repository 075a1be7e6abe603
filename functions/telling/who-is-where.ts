/** The registers as they are on a day, as far as sticks of some depots need them. */
import type { CalendarDate, Instant } from '../../shared-domain/calendar.ts'
import type { WhoIsWhere } from '../../shared-domain/notices/morning.ts'
import type { Organisation } from '../store/organisation.ts'
import type { StoredStick } from '../store/sticks.ts'

export async function whoIsWhere(
  organisation: Organisation,
  sticks: readonly StoredStick[],
  { day, now }: { readonly day: CalendarDate; readonly now: Instant },
): Promise<WhoIsWhere> {
  const idsOf = (of: (stick: StoredStick) => string | null) => [...new Set(sticks.flatMap((stick) => of(stick) ?? []))]
  const { registers } = organisation
  const [crews, depots, people] = await Promise.all([
    found(
      idsOf(({ state }) => state.crewId),
      async (id) => (await registers.inForce('crew', id, day))?.body,
    ),
    found(
      idsOf(({ depotId }) => depotId),
      async (id) => (await registers.inForce('depot', id, day))?.body.name,
    ),
    organisation.peopleNow(now),
  ])
  return { crews, depotNames: depots, people }
}

async function found<Value>(ids: readonly string[], look: (id: string) => Promise<Value | undefined>) {
  const all = await Promise.all(ids.map(async (id) => [id, await look(id)] as const))
  return new Map(all.flatMap(([id, value]) => (value === undefined ? [] : [[id, value] as const])))
}
