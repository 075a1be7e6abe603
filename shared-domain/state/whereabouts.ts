/** The depot to which a stick belongs. */
import type { StickState } from './state.ts'

/** The depot where the stick lies, else the depot of its crew. */
export function depotOf({ custody }: Pick<StickState, 'custody'>, crewDepotId: string | null): string | null {
  const lying = custody === null ? null : 'store' in custody ? custody.store : 'bench' in custody ? custody.bench : null
  return lying ?? crewDepotId
}
