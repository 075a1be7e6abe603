/** People who were told that a stick must not be used, and have not confirmed that they know. */
import type { Addressee } from '../../shared-domain/notices/notice.ts'
import type { Organisation } from '../store/organisation.ts'
import type { StoredStick } from '../store/sticks.ts'

export type SilentPerson = Pick<Addressee, 'name' | 'role'>

/** In order of their names. Answers nobody once one of the stick's crew has confirmed it: one speaks for all. */
export async function silentAbout(
  { notices }: Organisation,
  { stickId, held }: Pick<StoredStick, 'stickId' | 'held'>,
): Promise<SilentPerson[]> {
  if (held?.confirmed) return []
  const silent = (await notices.notConfirmed(stickId)).map(({ to: { name, role } }) => ({ name, role }))
  return silent.toSorted((a, b) => Number(a.name > b.name) - Number(a.name < b.name))
}
