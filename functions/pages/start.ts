/**
 * The page on which a person's day begins: of a crew its own sticks, of the bench what lies there, of everybody else
 * all that they may read.
 */
import type { Asker } from '../questions/asker.ts'

export function startOf({ role, crewId }: Asker['caller']): string {
  if (role === 'bench') return '/roster?bench=true'
  return role === 'crew' && crewId !== null ? '/crew' : '/roster'
}
