/** Records that people without e-mail were told face to face, beside the notice that asked for it. */
import type { CalendarDate, Instant } from '../../shared-domain/calendar.ts'
import type { OrganisationTable } from './keys.ts'
import type { Notice } from './notices.ts'
import { readerOf } from './reading.ts'
import type { Item, Write } from './table.ts'

/** A record that somebody without e-mail was told face to face, by whom and when. */
export interface ToldInPerson {
  readonly name: string
  readonly toldOn: CalendarDate
  readonly by: string
  readonly recordedAt: Instant
}

/** A person to be told face to face, by their place in a notice's list. */
export interface PersonToTell {
  readonly notice: Notice
  readonly at: number
}

/** The record is kept once for each person. */
export function toldInPersonWrite(
  { table, keys }: OrganisationTable,
  { notice, at }: PersonToTell,
  told: ToldInPerson,
): Write {
  const { number } = notice
  return table.putNew({ ...keys.toldInPerson(number, at), entity: 'told in person', number, ...told })
}

/**
 * Answers for each notice, by its number, the records of its list in the list's order. A person who was not told yet
 * has null.
 */
export async function toldInPerson(
  { table, keys }: OrganisationTable,
  notices: readonly Notice[],
): Promise<ReadonlyMap<string, readonly (ToldInPerson | null)[]>> {
  const asked = notices.flatMap(({ number, to }) => to.tellInPerson.map((_, place) => keys.toldInPerson(number, place)))
  const found = new Map((await table.getAll(asked)).map((item) => [`${item.pk} ${item.sk}`, item]))
  return new Map(
    notices.map(({ number, to }) => [
      number,
      to.tellInPerson.map((_, place) => {
        const { pk, sk } = keys.toldInPerson(number, place)
        const item = found.get(`${pk} ${sk}`)
        return item === undefined ? null : asTold(item)
      }),
    ]),
  )
}

const read = readerOf<ToldInPerson>('told in person', { name: 'text', toldOn: 'text', by: 'text', recordedAt: 'text' })

function asTold(item: Item): ToldInPerson {
  const { name, toldOn, by, recordedAt } = read(item)
  return { name, toldOn, by, recordedAt }
}
