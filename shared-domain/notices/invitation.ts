/**
 * Somebody on the register of people is told what they may do: once when they are entered, and again where an edition
 * of their entry gives them more or another address.
 */
import type { CalendarDate } from '../calendar.ts'
import { sameMailbox } from '../mailbox.ts'
import { hasEnded, rightsOf } from '../people.ts'
import type { Person } from '../registers.ts'
import { type Action, givesMore, may } from '../rights.ts'
import { type Ability, abilities } from '../words.ts'
import { peopleInCharge } from './audience.ts'
import type { InvitationTold, InvitedWhy, OwedNotice } from './notice.ts'

/** The ability that each right is told as. A right that nobody would look for by itself is told with another. */
const toldAs: { readonly [action in Action]: Ability | null } = {
  'read depots': null,
  'read crews': null,
  'read contacts': null,
  'read people': null,
  'read instruments': null,
  'read tree heads': null,
  'read the fleet': null,
  'read procedures': null,
  'read demonstrations': null,
  'read policies': null,
  'read the organisation': null,
  'enter a depot': 'keep people',
  'enter a crew': 'keep people',
  'enter a person': 'keep people',
  'enter an owner': 'enter owners',
  'enter an instrument': 'keep instruments',
  'enter a procedure': 'keep rules',
  'enter a demonstration': 'keep rules',
  'enter a policy': 'keep rules',
  'enter the organisation': 'keep rules',
  'read proposals': null,
  'decide a proposal': 'decide changes',
  'try a policy': null,
  'enter a stick': 'keep sticks',
  'read a stick': 'see sticks',
  'take a proof': null,
  'read the roster': 'see sticks',
  'ask what would follow': null,
  'report danger': 'report danger',
  'record a use': 'write down uses and looks',
  'record a check': 'write down uses and looks',
  'record a test': 'test',
  'count a test from before': 'keep sticks',
  'correct a fact': 'keep sticks',
  'judge a test again': null,
  'record a step': 'test',
  'record a certificate': 'test',
  'move a stick': 'move sticks',
  'hand over a stick': null,
  'release a stick': 'test',
  'remove a stick': 'keep sticks',
  'look at the paper': 'keep sticks',
  'record a label': 'move sticks',
  'open a recall': 'recall sticks',
  'close a recall': 'recall sticks',
  'read recalls': null,
  'place a report': 'place reports',
  'read unplaced reports': null,
  import: null,
  'read a plan': null,
  'plan a bench': null,
  'take out files': null,
  'read notices': 'see sticks',
  'record a telling': 'mark people told',
  'remind of a stick': 'remind crews',
  'keep feeds': 'put dates in a calendar',
  'keep addresses': 'clear addresses',
}

/**
 * Answers what the person may do to anything at all. An ability is told where every right behind it is theirs.
 * @lintignore what each role is told is tried by itself
 */
export function abilitiesOf(person: Pick<Person, 'role' | 'depots' | 'crewId'>): Ability[] {
  const holder = rightsOf(person)
  const subjects = [null, holder.crewId].flatMap((crewId) =>
    [null, ...holder.depots].map((depotId) => ({ crewId, depotId })),
  )
  const has = (action: Action) => subjects.some((subject) => may(holder, action, subject))
  const all = Object.entries(toldAs) as [Action, Ability | null][] // the type makes the table total
  return abilities.filter((one) => all.every(([action, ability]) => ability !== one || has(action)))
}

/** Somebody's entry beside the one that bound before it, and how people of the organisation are called. */
export interface Entered {
  readonly personId: string
  /** the number of the edition among those of the entry */
  readonly edition: number
  readonly before: Person | undefined
  readonly after: Person
  readonly organisation: string
  /** whoever entered it, where that is somebody else on the register */
  readonly by: Person | undefined
  /** somebody to ask where nobody else on the register entered it */
  readonly owner: Person | undefined
  readonly crew: string | undefined
  readonly depots: readonly string[]
}

/** The notice owed on a day of the register; none where the entry gives nothing new, or is over. */
export function invitationOwed(entered: Entered, day: CalendarDate): OwedNotice[] {
  const { personId, edition, before, after, organisation, by, owner, crew, depots } = entered
  if (hasEnded(after, day)) return []
  const why = whyInvited(before, after, day)
  if (why === null) return []
  const ask = by ?? owner
  const invitation: InvitationTold = {
    why,
    organisation,
    ...(by === undefined ? {} : { by: by.name }),
    ...(ask === undefined ? {} : { ask: { name: ask.name, email: ask.email } }),
    role: after.role,
    may: abilitiesOf(after),
    ...(crew === undefined ? {} : { crew }),
    depots,
    ...(after.until === undefined ? {} : { until: after.until }),
  }
  return peopleInCharge([after]).map((to) => ({
    kind: 'invitation',
    key: ['invitation', personId, edition].join('|'),
    to,
    day,
    lines: [],
    invitation,
  }))
}

function whyInvited(before: Person | undefined, after: Person, day: CalendarDate): InvitedWhy | null {
  if (before === undefined || hasEnded(before, day)) return 'entered'
  if (sameMailbox(before.email) !== sameMailbox(after.email)) return 'new address'
  return givesMore(rightsOf(after), rightsOf(before)) ? 'more' : null
}
