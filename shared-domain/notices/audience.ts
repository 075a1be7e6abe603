/** The people who are told. One mailbox gets one message, whatever roles and spellings it appears under. */
import { sameMailbox } from '../mailbox.ts'
import type { Rules } from '../policy/rules.ts'
import type { Crew, Person } from '../registers.ts'
import { errandsOf } from './confirmations.ts'
import type { Addressee } from './notice.ts'

/** The people who may be told of a stick at its depot. */
export interface ThoseAround {
  readonly crew: Crew | null
  readonly people: readonly Person[]
  readonly depotId: string | null
}

/**
 * The crew's own people, each by mail where there is an address. Those without one are told in person by the foreman.
 * Where no foreman has mail, whoever of the crew has mail tells them, else the managers.
 * @lintignore who is told is tried by itself
 */
export function crewAudience(crew: Crew | null): Addressee[] {
  if (crew === null) return []
  const byMail = crew.recipients.flatMap((one) =>
    one.email === undefined ? [] : [addressee({ ...one, email: one.email }, one.role)],
  )
  return giveTheErrand(distinct(byMail), withoutMail(crew))
}

/** Crew, foreman and the managers of the depot, or the owners where it has none: for what cannot wait. */
export function wholeAudience({ crew, people, depotId }: ThoseAround): Addressee[] {
  const managers = managersOf(people, depotId)
  const all = distinct([...crewAudience(crew), ...(managers.length > 0 ? managers : ownersOf(people))])
  const errandIsGiven = all.some((one) => one.tellInPerson.length > 0)
  return errandIsGiven || crew === null ? all : giveTheErrand(all, withoutMail(crew))
}

/**
 * The audience for work that the bench has left undone: its people and the managers, and the crew too where the stick
 * is back with it.
 */
export function benchAudience(who: ThoseAround): Addressee[] {
  const bench = who.people.filter((one) => one.role === 'bench' && inCharge(one, who.depotId))
  return distinct([...bench.map((one) => addressee(one, 'bench')), ...wholeAudience(who)])
}

/**
 * The audience for a notice that was told to somebody else in vain: the crew, and of managers and owners those alone
 * whom mail reaches.
 */
export function audienceAbove(
  { crew, people, depotId }: ThoseAround,
  isReached: (email: string) => boolean,
): Addressee[] {
  const above = [...managersOf(people, depotId), ...ownersOf(people)].filter(({ email }) => isReached(email))
  return distinct([...crewAudience(crew), ...above])
}

function managersOf(people: readonly Person[], depotId: string | null): Addressee[] {
  const managers = people.filter((one) => one.role === 'manager' && inCharge(one, depotId))
  return managers.map((one) => addressee(one, 'manager'))
}

function ownersOf(people: readonly Person[]): Addressee[] {
  const owners = people.filter(({ role }) => role === 'owner')
  return owners.map((one) => ({ ...addressee(one, 'manager'), owns: true }))
}

/**
 * Addresses managers and owners as such, whichever depot they have, and whoever asked for something in their own role.
 */
export function peopleInCharge(people: readonly Person[]): Addressee[] {
  return distinct(
    people.map((one) =>
      one.role === 'owner' ? { ...addressee(one, 'manager'), owns: true } : addressee(one, one.role),
    ),
  )
}

/**
 * The reach of a due date by now: it climbs from the crew to its foremen, managers and owners, the longer it is
 * overdue.
 */
export interface Climbed {
  readonly toForemen: boolean
  readonly toManagers: boolean
  readonly toOwners: boolean
}

/**
 * | | until the due date | first word that it is overdue | later |
 * |---|---|---|---|
 * | crew | always | always | always |
 * | foremen | where they are to hear after 0 weeks | always | from their week on |
 * | managers | – | always | from their week on; 0 weeks: from the first overdue day |
 * | owners | – | from their week on | from their week on; 0 weeks: from the first overdue day |
 */
export function climbedTo(
  daysOverdue: number,
  { overdueClimbs }: Pick<Rules, 'overdueClimbs'>,
  isFirstWord: boolean,
): Climbed {
  const { foremanAfterWeeks, managerAfterWeeks, ownerAfterWeeks } = overdueClimbs
  const overdueFor = (weeks: number) => daysOverdue > 0 && daysOverdue >= 7 * weeks
  return {
    toForemen: isFirstWord || foremanAfterWeeks === 0 || overdueFor(foremanAfterWeeks),
    toManagers: isFirstWord || overdueFor(managerAfterWeeks),
    toOwners: overdueFor(ownerAfterWeeks),
  }
}

/**
 * The readers of a digest. Where nobody of those it has climbed to can be mailed, the next above are told, so that no
 * stick runs out unheard of.
 */
export function digestAudience(who: ThoseAround, { toForemen, toManagers, toOwners }: Climbed): Addressee[] {
  const { crew, people } = who
  if (toManagers) return withOwners(wholeAudience(who), toOwners ? people : [])
  if (toOwners) return withOwners(digestAudience(who, { toForemen, toManagers, toOwners: false }), people)
  const all = crewAudience(crew)
  const told = toForemen ? all : crewAudience(crew === null ? null : withoutForemen(crew))
  if (told.length > 0) return told
  return all.length > 0 ? all : wholeAudience(who)
}

function withOwners(audience: readonly Addressee[], people: readonly Person[]): Addressee[] {
  return distinct([...audience, ...ownersOf(people)])
}

function withoutForemen(crew: Crew): Crew {
  return { ...crew, recipients: crew.recipients.filter((one) => one.role !== 'foreman') }
}

export function inCharge(one: { readonly depots: readonly string[] }, depotId: string | null): boolean {
  return depotId === null || one.depots.includes('*') || one.depots.includes(depotId)
}

function addressee(
  { name, email, language, units }: Pick<Person, 'name' | 'email' | 'language' | 'units'>,
  role: Addressee['role'],
): Addressee {
  return {
    name,
    email,
    role,
    ...(language === undefined ? {} : { language }),
    ...(units === undefined ? {} : { units }),
    tellInPerson: [],
  }
}

function withoutMail(crew: Crew): { name: string; phone: string }[] {
  return crew.recipients.flatMap((one) =>
    one.email === undefined && one.phone !== undefined ? [{ name: one.name, phone: one.phone }] : [],
  )
}

function giveTheErrand(all: readonly Addressee[], errand: Addressee['tellInPerson']): Addressee[] {
  if (errand.length === 0) return [...all]
  const foremen = all.some((one) => one.role === 'foreman')
  return all.map((one) => (!foremen || one.role === 'foreman' ? { ...one, tellInPerson: errand } : one))
}

/**
 * The first role of a mailbox stands. A foreman listed as crew too is a foreman, and whoever manages or owns as well
 * stays so.
 */
function distinct(all: readonly Addressee[]): Addressee[] {
  const byMailbox = new Map<string, Addressee>()
  for (const one of all) {
    const mailbox = sameMailbox(one.email)
    const known = byMailbox.get(mailbox)
    if (known === undefined || (known.role === 'crew' && one.role === 'foreman')) byMailbox.set(mailbox, one)
    else if (known.role !== 'manager' && one.role === 'manager')
      byMailbox.set(mailbox, { ...known, ...(one.owns ? { owns: true } : { manages: true }) })
  }
  return [...byMailbox.values()]
}

/** Makes one reader of a mailbox told as two: a foreman before a crew member, with the errands of both. */
export function oneReader(a: Addressee, b: Addressee): Addressee {
  return { ...(b.role === 'foreman' ? b : a), tellInPerson: errandsOf([a, b]) }
}
