/** What depots, crews and people are called, for whoever may know: to choose from, and beside what is told of sticks. */
import { mayAtAll } from '../../shared-domain/rights.ts'
import type { Asker } from './asker.ts'

export interface Directory {
  readonly depots: readonly { readonly id: string; readonly name: string; readonly timeZone: string }[]
  readonly crews: readonly { readonly id: string; readonly name: string; readonly depotId: string }[]
  /** of those who may not read the register of people nobody */
  readonly people: readonly { readonly id: string; readonly name: string }[]
}

export async function directoryFor({ organisation, caller }: Asker): Promise<Directory> {
  const { registers } = organisation
  const [depots, crews, people] = await Promise.all([
    registers.heads('depot'),
    registers.heads('crew'),
    mayAtAll(caller.role, 'read people') ? registers.heads('person') : [],
  ])
  return {
    depots: depots.map(({ id, newest: { body } }) => ({ id, name: body.name, timeZone: body.timeZone })),
    crews: crews.map(({ id, newest: { body } }) => ({ id, name: body.name, depotId: body.depotId })),
    people: people.map(({ id, newest: { body } }) => ({ id, name: body.name })),
  }
}
