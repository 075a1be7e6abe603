/** Names of depots, crews and people, for whoever may know them: to choose from, and beside what is told of sticks. */
import { localDateAt } from '../../shared-domain/calendar.ts'
import type { Depot } from '../../shared-domain/registers.ts'
import { mayAtAll } from '../../shared-domain/rights.ts'
import type { Asker } from './asker.ts'

interface DepotNamed extends Pick<Depot, 'address' | 'hours'> {
  readonly id: string
  readonly name: string
  readonly timeZone: string
}

export interface Directory {
  readonly depots: readonly DepotNamed[]
  readonly crews: readonly { readonly id: string; readonly name: string; readonly depotId: string }[]
  /** people; nobody for those who may not read the register of people */
  readonly people: readonly { readonly id: string; readonly name: string }[]
}

export async function directoryFor({ organisation, caller, now }: Asker): Promise<Directory> {
  const { registers } = organisation
  const [depots, crews, people] = await Promise.all([
    registers.depotsNow(now),
    organisation.crewsNow(now),
    mayAtAll(caller.role, 'read people') ? registers.allInForce('person', localDateAt(now, 'UTC')) : [],
  ])
  return {
    depots: depots.map(({ id, body: { name, timeZone, address, hours } }) => ({ id, name, timeZone, address, hours })),
    crews: crews.map(({ id, body }) => ({ id, name: body.name, depotId: body.depotId })),
    people: people.map(({ id, body }) => ({ id, name: body.name })),
  }
}
