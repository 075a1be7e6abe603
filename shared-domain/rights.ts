/**
 * The one table of rights: who may do what, and to whose. Another organisation is not in it, since nothing of it is
 * ever found.
 */
import type { CalendarDate } from './calendar.ts'
import { inCharge } from './notices/audience.ts'
import type { Role } from './words.ts'

export interface RightsHolder {
  readonly role: Role
  /** `*` is every depot */
  readonly depots: readonly string[]
  readonly crewId: string | null
}

/**
 * The crew and depot that something belongs to: a stick's crew and the depot where it lies, or a crew and its depot.
 * `*` stands for what every depot has to be one's own for.
 */
export interface Subject {
  readonly crewId: string | null
  readonly depotId: string | null
}

type Reach = 'nothing' | 'own crew' | 'own depots' | 'every depot' | 'everything'

const nobody = 'nothing'
const crew = 'own crew'
const depots = 'own depots'
const every = 'every depot'
const all = 'everything'

type Row = { readonly [role in Role]: Reach }
// eslint-disable-next-line max-params -- a row of the table below, under the roles that head it
const row = (ofCrew: Reach, bench: Reach, manager: Reach, owner: Reach): Row => ({
  crew: ofCrew,
  bench,
  manager,
  owner,
})

/** The reach of each role: crew, bench, manager, owner. */
const rights = {
  'read depots': row(all, all, all, all),
  'read crews': row(all, all, all, all),
  'read contacts': row(crew, all, all, all),
  'read people': row(nobody, nobody, all, all),
  'read instruments': row(nobody, all, all, all),
  'read procedures': row(nobody, all, all, all),
  'read demonstrations': row(nobody, all, all, all),
  'read policies': row(all, all, all, all),
  'read the organisation': row(nobody, nobody, all, all),
  'enter a depot': row(nobody, nobody, depots, all),
  'enter a crew': row(nobody, nobody, depots, all),
  'enter a person': row(nobody, nobody, depots, all),
  'enter an owner': row(nobody, nobody, nobody, all),
  'enter an instrument': row(nobody, all, every, all),
  'enter a procedure': row(nobody, nobody, every, all),
  'enter a demonstration': row(nobody, nobody, every, all),
  'enter a policy': row(nobody, nobody, every, all),
  'enter the organisation': row(nobody, nobody, every, all),
  'read proposals': row(nobody, nobody, all, all),
  'decide a proposal': row(nobody, nobody, all, all),
  'try a policy': row(nobody, nobody, depots, all),
  'enter a stick': row(nobody, nobody, depots, all),
  'read a stick': row(crew, depots, depots, all),
  'take a proof': row(nobody, depots, depots, all),
  'read tree heads': row(nobody, all, all, all),
  'read the roster': row(crew, depots, depots, all),
  'read the fleet': row(nobody, nobody, depots, all),
  'ask what would follow': row(crew, depots, depots, all),
  'report danger': row(all, all, all, all),
  'record a use': row(crew, depots, depots, all),
  'record a check': row(crew, depots, depots, all),
  'record a test': row(nobody, depots, depots, all),
  'count a test from before': row(nobody, nobody, depots, all),
  'correct a fact': row(nobody, nobody, depots, all),
  'judge a test again': row(nobody, depots, depots, all),
  'record a step': row(nobody, depots, depots, all),
  'record a certificate': row(nobody, depots, depots, all),
  'move a stick': row(nobody, depots, depots, all),
  // foremen alone have it of a crew, and among crews of its depot: see hand-over.ts
  'hand over a stick': row(crew, depots, depots, all),
  'release a stick': row(nobody, depots, depots, all),
  'remove a stick': row(nobody, nobody, depots, all),
  'record a label': row(nobody, depots, depots, all),
  'look at the paper': row(nobody, nobody, depots, all),
  'open a recall': row(nobody, nobody, all, all),
  'close a recall': row(nobody, nobody, all, all),
  'read recalls': row(nobody, all, all, all),
  'place a report': row(nobody, nobody, all, all),
  'read unplaced reports': row(nobody, nobody, all, all),
  'read notices': row(crew, depots, depots, all),
  'record a telling': row(crew, depots, depots, all),
  'remind of a stick': row(nobody, nobody, depots, all),
  'keep feeds': row(crew, nobody, depots, all),
  // each row needs the right of what it becomes besides
  import: row(nobody, all, all, all),
  // the right to read what a file holds is needed besides
  'take out files': row(nobody, all, all, all),
  'read a plan': row(nobody, depots, depots, all),
  'plan a bench': row(nobody, nobody, depots, all),
  'keep addresses': row(nobody, nobody, all, all),
} as const satisfies Record<string, Row>

export type Action = keyof typeof rights
/** @lintignore every right there is is tried by itself */
export const actions = Object.keys(rights) as Action[]

export function may(person: RightsHolder, action: Action, { crewId, depotId }: Subject): boolean {
  switch (rights[action][person.role] as Reach) {
    case 'nothing':
      return false
    case 'own crew':
      return person.crewId !== null && crewId === person.crewId
    case 'own depots':
      return inCharge(person, depotId)
    case 'every depot':
      return inCharge(person, '*')
    case 'everything':
      return true
  }
}

/** A person's rights, and until when they last. */
export interface Rights extends RightsHolder {
  readonly until?: CalendarDate | undefined
}

/** Tells whether there is anything, or any day, that `next` has a right to and `had` has not. */
export function givesMore(next: Rights, had: Rights): boolean {
  if (lastsLonger(next, had)) return true
  const subjects = [null, next.crewId].flatMap((crewId) =>
    [null, '*', ...next.depots].map((depotId) => ({ crewId, depotId })),
  )
  return actions.some((action) => subjects.some((subject) => may(next, action, subject) && !may(had, action, subject)))
}

export function lastsLonger({ until }: Pick<Rights, 'until'>, than: Pick<Rights, 'until'>): boolean {
  return than.until !== undefined && (until === undefined || until > than.until)
}

/** Tells whether the role may do the action to anything; whose that is has to be asked besides. */
export function mayAtAll(role: Role, action: Action): boolean {
  return rights[action][role] !== 'nothing'
}

export function rolesFor(action: Action): Role[] {
  return (Object.keys(rights[action]) as Role[]).filter((role) => mayAtAll(role, action))
}
