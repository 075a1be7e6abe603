/** The sticks of a crew in the order in which the crew has something to do with them, the worst first. */
import type { Standing } from './state/standing.ts'
import type { StickState } from './state/state.ts'
import { mayBeUsed } from './state/use.ts'

/** The parts of the list, the worst first. */
export const crewParts = [
  /** must not be used, and somebody has it: the crew, or whoever it is lent to */
  'stop',
  /** is out of service for good, and nobody recorded that it was handed in */
  'hand in',
  'overdue',
  /** may be used, and is to be brought in or looked over by a day that is near */
  'bring',
  'lent',
  'missing',
  'use',
  /** lies at a bench or in a store: the crew has nothing to do with it now */
  'away',
] as const
export type CrewPart = (typeof crewParts)[number]

/** The part in which a stick of the crew stands; null where it is out of service for good and in nobody's hands. */
export function crewPartOf({ status }: Pick<Standing, 'status'>, { custody, missing }: StickState): CrewPart | null {
  const lies = custody !== null && ('bench' in custody || 'store' in custody)
  if (status === 'scrapped' || status === 'removed from service') return lies || custody === null ? null : 'hand in'
  if (missing) return 'missing'
  if (lies) return 'away'
  if (status === 'overdue') return 'overdue'
  if (!mayBeUsed(status)) return 'stop'
  if (custody !== null && 'lentTo' in custody) return 'lent'
  return status === 'due soon' ? 'bring' : 'use'
}

interface Listed {
  readonly stickId: string
  readonly part: CrewPart
  readonly standing: Pick<Standing, 'dueOn'>
  readonly state: StickState
  /** since when it must not be used, where that is known */
  readonly heldAt?: string | undefined
}

/** What must not be used lies the newest first, all else by the day that comes first. */
export function inCrewOrder(a: Listed, b: Listed): number {
  const byPart = crewParts.indexOf(a.part) - crewParts.indexOf(b.part)
  if (byPart !== 0) return byPart
  const [left, right] = a.part === 'stop' ? [b, a] : [a, b]
  return compared(dayOf(left), dayOf(right)) || compared(a.stickId, b.stickId)
}

const compared = (a: string, b: string) => (a < b ? -1 : a > b ? 1 : 0)

function dayOf({ part, standing, state: { custody }, heldAt }: Listed): string {
  if (part === 'stop') return heldAt ?? ''
  if (part === 'lent' && custody !== null && 'lentTo' in custody) return custody.returnBy
  return standing.dueOn ?? '~'
}
