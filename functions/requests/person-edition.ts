/**
 * Four things that an edition of a person's entry must not do, whoever puts it: widen their own rights, take a right
 * away without effect, leave the organisation without an owner, name an address of another organisation.
 */
import type { CalendarDate } from '../../shared-domain/calendar.ts'
import type { Expected } from '../../shared-domain/fault.ts'
import { ownerlessOn, type PersonEdition, rightsOf } from '../../shared-domain/people.ts'
import type { Person } from '../../shared-domain/registers.ts'
import { givesMore, lastsLonger, type Rights } from '../../shared-domain/rights.ts'
import { invalid, notAllowed, refused } from '../ground/errors.ts'
import { dayOf, type Editing } from '../questions/edit-rights.ts'
import { addressWrites } from '../store/addresses.ts'
import { ownersAsTheyAre } from '../store/owners.ts'
import type { Write } from '../store/table.ts'

/** The checks of an edition; they answer the writes that keep their outcome true until it is written. */
export async function checkPerson(editing: Editing<Person>): Promise<readonly Write[]> {
  const { organisation, id, body, now } = editing
  const asTheyAre = await ownersAsTheyAre(organisation)
  // entries that were read earlier may have changed since
  organisation.registers.readAnew()
  await checkNotWidened(editing)
  await checkBinds(editing)
  await checkOwnerStays(editing)
  const address = await addressOf(editing)
  const own = await organisation.registers.inForceFrom('person', id, dayOf(now))
  const isOwner = [...own.map((one) => one.body), body].some(({ role }) => role === 'owner')
  return isOwner ? [asTheyAre, ...address] : address
}

/** The writes by which the address is the organisation's. Nothing is told of who else has it. */
async function addressOf({ organisation, id, body, now }: Editing<Person>): Promise<readonly Write[]> {
  const writes = await addressWrites(organisation, { id, email: body.email, now })
  if (writes !== undefined) return writes
  throw invalid({ pointer: '/email', came: body.email, expected: { is: 'right: an address for here' } })
}

async function checkNotWidened({ organisation, caller, id, body, now }: Editing<Person>): Promise<void> {
  if (id !== caller.personId) return
  const entry = await organisation.registers.inForce('person', id, body.effectiveFrom ?? dayOf(now))
  if (entry === undefined || givesMore(heldBy(body), heldBy(entry.body))) {
    throw notAllowed({ is: 'not allowed: own rights' })
  }
}

/** An edition that takes a right away binds at once, or is refused with the day from which it would bind. */
async function checkBinds({ organisation, id, body, now }: Editing<Person>): Promise<void> {
  const today = dayOf(now)
  const from = body.effectiveFrom ?? today
  const [present, ...later] = await organisation.registers.inForceFrom('person', id, today)
  const next = heldBy(body)
  // the first entry binds before its own day too, and an edition put today comes before it
  const binds = present !== undefined && present.effectiveFrom <= today
  if (binds && from < present.effectiveFrom && givesMore(heldBy(present.body), next)) {
    throw wrongDay(body, { is: 'right: from the day that binds', first: present.effectiveFrom })
  }
  // an edition recorded later than now was recorded by a clock that was set back since
  const undoing = later
    .filter(isLastOfItsDay)
    .findLast((one) => one.effectiveFrom > from && one.recordedAt <= now && lastsLonger(one.body, body))
  if (undoing !== undefined) {
    throw wrongDay(body, { is: 'right: another day first', first: undoing.effectiveFrom })
  }
}

const isLastOfItsDay = ({ effectiveFrom }: PersonEdition, place: number, all: readonly PersonEdition[]) =>
  all[place + 1]?.effectiveFrom !== effectiveFrom

const heldBy = (entry: Person): Rights => ({ ...rightsOf(entry), until: entry.until })

function wrongDay({ effectiveFrom }: Person, expected: Expected) {
  return invalid({ pointer: '/effectiveFrom', came: effectiveFrom ?? null, expected })
}

async function checkOwnerStays({ organisation, id, body, now }: Editing<Person>): Promise<void> {
  const { registers } = organisation
  const today = dayOf(now)
  const own = await registers.inForceFrom('person', id, today)
  if (own.every((one) => one.body.role !== 'owner')) return
  const ids = (await registers.allInForce('person', today)).map((one) => one.id)
  const known = await Promise.all(
    ids.map(async (one) => [one, await registers.inForceFrom('person', one, today)] as const),
  )
  const from: CalendarDate = body.effectiveFrom ?? today
  const next = { effectiveFrom: from, recordedAt: now, body }
  const edited = [
    ...own.filter((one) => one.effectiveFrom <= from),
    next,
    ...own.filter((one) => one.effectiveFrom > from),
  ]
  const others = known.filter(([one]) => one !== id).map(([, editions]) => editions)
  const day = ownerlessOn({ before: [...others, own], after: [...others, edited] }, today)
  if (day === null) return
  const text =
    `From ${day} on nobody on the register would own the organisation. Enter another owner first. Nothing was ` +
    'changed.'
  throw refused({ code: 'last-owner', text })
}
