/** The page on which a person's day begins: of a crew its own sticks, of everybody else all that they may read. */
import type { Asker } from '../questions/asker.ts'

export function startOf({ role, crewId }: Asker['caller']): string {
  return role === 'crew' && crewId !== null ? `/roster?${new URLSearchParams({ crew: crewId })}` : '/roster'
}
