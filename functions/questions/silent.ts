/** Who was told that a stick must not be used, and has not confirmed that they know. */
import type { Addressee } from '../../shared-domain/notices/notice.ts'
import type { Organisation } from '../store/organisation.ts'

export type Silent = Pick<Addressee, 'name' | 'role'>

export async function silentAbout({ notices }: Organisation, stickId: string): Promise<Silent[]> {
  return (await notices.notConfirmed(stickId)).map(({ to: { name, role } }) => ({ name, role }))
}
