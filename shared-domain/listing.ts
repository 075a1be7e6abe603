/** The list on which a stick lies, its place there, and the day on which somebody is next to be told of it. */
import { type CalendarDate, type Instant, millisOf } from './calendar.ts'
import { longUntold } from './notices/change.ts'
import { earlierOf, nextLabelTellOn, nextLoanTellOn, nextTellOn } from './notices/ladder.ts'
import type { Morning, MorningStick } from './notices/morning.ts'
import type { Rules } from './policy/rules.ts'
import { nextChangeOn } from './state/next-change.ts'
import type { Standing } from './state/standing.ts'
import type { StickState } from './state/state.ts'
import { mustNotBeUsed, type Seen, seenAs } from './state/use.ts'

/** The five lists a roster is read from; see `placeIn` for the order within each. */
export const standingGroups = ['usable', 'held', 'awaiting', 'removed', 'scrapped'] as const
export type StandingGroup = (typeof standingGroups)[number]

/**
 * The instant since which a stick must not be used, or was last told to be out of use, and whether anybody who has it
 * has confirmed that.
 */
export interface Held {
  readonly at: Instant
  /** the newest notices of it that are to be confirmed; none where nobody was told */
  readonly about?: string
  /** true where somebody of the crew confirmed it, or one of them is on record as told face to face */
  readonly confirmed: boolean
}

/** Everything kept of a stick: its folded state, how far its crew was told, and where it lies. */
export interface KeptStick extends MorningStick {
  /** present where the stick must not be used */
  readonly held?: Held | undefined
  /** the number of facts recorded of the stick; fewer may be folded in, where one was taken back */
  readonly recorded: number
}

export interface Listing {
  readonly group: StandingGroup
  readonly place: string
  /** present where the stick must not be used */
  readonly held?: Held
  /** the place that the stick goes to once somebody confirms what `about` names */
  readonly onceConfirmed?: { readonly about: string; readonly held: Held; readonly place: string }
  /** the date of return of a stick lent out, which is on a list of its own besides */
  readonly returnBy: CalendarDate | null
  /**
   * the day on which somebody is next to look at the stick, and whether some day to come, or one that nobody was told
   * of, changes how it stands
   */
  readonly nextTellOn: CalendarDate | null
  readonly changesByItself: boolean
}

/** `standing` is how the stick stands on that day. */
export function listingOf(kept: KeptStick, standing: Standing, morning: Morning): Listing {
  const { rules } = morning
  const group = groupOf(standing)
  // a stick that must not be used for another reason keeps who was told so, and nothing where nobody was
  const isKept = group === 'held' || (mustNotBeUsed(standing.status) && kept.held?.about !== undefined)
  const own = isKept ? heldOf(kept, standing, rules) : {}
  return {
    group,
    place: placeIn(group, { ...kept, held: own.held, dueOn: standing.dueOn }, rules),
    ...own,
    returnBy: lentUntil(kept.state),
    ...nextLook(kept, standing, morning),
  }
}

/** The first day on which somebody is owed word of the stick, or on which time alone changes how it stands. */
function nextLook(
  kept: KeptStick,
  standing: Standing,
  morning: Morning,
): Pick<Listing, 'nextTellOn' | 'changesByItself'> {
  if (kept.untold !== undefined) return { nextTellOn: longUntold, changesByItself: true }
  const change = nextChangeOn(kept.state, standing, morning)
  const loan = nextLoanTellOn(kept.state, kept.loanTold ?? null)
  const label = nextLabelTellOn(standing, kept.labelTold ?? null)
  const told = earlierOf(nextTellOn(standing, kept, morning.rules), earlierOf(loan, label))
  return { nextTellOn: earlierOf(change, told), changesByItself: change !== null }
}

function heldOf(kept: KeptStick, standing: Standing, rules: Rules): Pick<Listing, 'held' | 'onceConfirmed'> {
  const held = kept.held ?? { at: newestOf(standing.holds), confirmed: false }
  const { about } = held
  if (about === undefined || held.confirmed) return { held }
  const confirmed = { ...held, confirmed: true }
  const place = placeIn(groupOf(standing), { ...kept, held: confirmed, dueOn: standing.dueOn }, rules)
  return { held, onceConfirmed: { about, held: confirmed, place } }
}

/** A hold that came with no fact, by a change of the rules alone, is as old as its cause. */
function newestOf(holds: Standing['holds']): Instant {
  const [newest] = holds
    .flatMap(({ since }) => since ?? [])
    .sort()
    .reverse()
  return `${newest ?? '1970-01-01'}T00:00:00.000Z` as Instant
}

const groups: { readonly [seen in Seen]: StandingGroup } = {
  usable: 'usable',
  'on hold': 'held',
  'awaiting first test': 'awaiting',
  'removed from service': 'removed',
  scrapped: 'scrapped',
}

const groupOf = ({ status }: Pick<Standing, 'status'>) => groups[seenAs(status)]

export const noDueDate = '9999-99-99'

/** The parts of a stick that say where it lies in its list. */
interface Listed extends Pick<KeptStick, 'stickId' | 'state' | 'held'>, Pick<Standing, 'dueOn'> {}

/**
 * The place of a stick in its list.
 * - Sticks that may be used or are overdue lie by due date, the oldest first.
 * - Sticks on hold lie with those first that are still in somebody's hands and not confirmed by them, the newest first.
 * - Sticks on hold before there are any rules lie by number, and so do all others.
 */
export function placeIn(
  group: StandingGroup,
  { stickId, state: { custody }, held, dueOn }: Listed,
  rules: Rules,
): string {
  if (group === 'usable') return `${dueOn ?? noDueDate}#${stickId}`
  if (group !== 'held') return `${group}#${stickId}`
  if (!rules.entered) return `${noDueDate}#${stickId}`
  const inHands = custody !== null && ('crewId' in custody || 'lentTo' in custody)
  const urgent = inHands && !held?.confirmed
  return `${group}#${urgent ? 0 : 1}#${backwards(held?.at)}#${stickId}`
}

/** Milliseconds so far off that a later instant sorts first. */
const farOff = 99_999_999_999_999

function backwards(at: Instant | undefined): string {
  return String(farOff - (at === undefined ? 0 : millisOf(at))).padStart(14, '0')
}

/** The day by which the stick is to be back, where it is lent out and still there to come back. */
export function lentUntil({ custody, scrapped }: StickState): CalendarDate | null {
  return custody !== null && 'lentTo' in custody && scrapped === null ? custody.returnBy : null
}
