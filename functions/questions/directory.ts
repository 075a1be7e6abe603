/** Names of depots, crews and people, for whoever may know them: to choose from, and beside what is told of sticks. */
import { localDateAt } from '../../shared-domain/calendar.ts'
import { mayAtAll } from '../../shared-domain/rights.ts'
import type { Asker } from './asker.ts'

export interface Directory {
  readonly depots: readonly { readonly id: string; readonly name: string; readonly timeZone: string }[]
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
    depots: depots.map(({ id, body }) => ({ id, name: body.name, timeZone: body.timeZone })),
    crews: crews.map(({ id, body }) => ({ id, name: body.name, depotId: body.depotId })),
    people: people.map(({ id, body }) => ({ id, name: body.name })),
  }
}
