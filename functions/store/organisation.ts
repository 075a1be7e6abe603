/** The items of one organisation. Nothing of them can be opened without naming the organisation. */
import { type CalendarDate, type Instant, localDateAt } from '../../shared-domain/calendar.ts'
import { notTakenBack } from '../../shared-domain/in-force.ts'
import { sameMailbox } from '../../shared-domain/mailbox.ts'
import { hasEnded, isOn } from '../../shared-domain/people.ts'
import { noRules, type Rules, rulesFrom, withRecalls } from '../../shared-domain/policy/rules.ts'
import { goodAgainAfter, type Recall } from '../../shared-domain/recall/recall.ts'
import type { Crew, Person } from '../../shared-domain/registers.ts'
import { keysOf, type OrganisationTable } from './keys.ts'
import { openNotices } from './notice-life.ts'
import { type BindingRecall, recallsBinding } from './recalls-binding.ts'
import { type Edition, openRegisters } from './registers.ts'
import { openSticks } from './sticks.ts'
import { readingAhead, type Table } from './table.ts'

export type Organisation = ReturnType<typeof openOrganisation>

/** The employer's own layer; there is one. */
export const employerPolicyId = 'employer'

export function openOrganisation(shared: Table, organisation: string) {
  const table = readingAhead(shared)
  const keys = keysOf(organisation)
  const registers = openRegisters(table, keys, organisation)
  const sticks = openSticks(table, keys, organisation)
  const notices = openNotices(table, organisation)

  /** Answers the zone by whose clock the day turns at a depot; UTC where it is not known where a stick lies. */
  async function zoneAt(depotId: string | null, now: Instant): Promise<string> {
    const depot = depotId === null ? undefined : await registers.depotNow(depotId, now)
    return depot?.body.timeZone ?? 'UTC'
  }

  /** A crew's day is told by the clock of the depot to which it belongs then. */
  const byItsDepot =
    (now: Instant) =>
    async ({ body }: Edition<Crew>) =>
      localDateAt(now, await zoneAt(body.depotId, now))
  const crewNow = (id: string, now: Instant) => registers.inForce('crew', id, byItsDepot(now))
  const crewsNow = (now: Instant) => registers.allInForce('crew', byItsDepot(now))

  /** People who have begun and not ended. Both are told by the register's own day, which is that of UTC. */
  async function peopleNow(now: Instant): Promise<Person[]> {
    return (await entriesOfPeople(now)).map(({ body }) => body)
  }

  /** Entries of people with their ids. A person who has ended, or has not begun, is left out. */
  async function entriesOfPeople(now: Instant) {
    const today = localDateAt(now, 'UTC')
    return (await registers.allInForce('person', today)).filter((entry) => isOn(entry, today))
  }

  /**
   * Answers whether the mailbox is that of somebody who has ended, and nobody who is here by now reads mail there.
   * Whatever else still names the address does not count.
   */
  async function hasLeft(email: string, now: Instant): Promise<boolean> {
    const today = localDateAt(now, 'UTC')
    const entries = await registers.allInForce('person', today)
    const readers = entries.filter(({ body }) => sameMailbox(body.email) === sameMailbox(email))
    return readers.length > 0 && readers.every(({ body }) => hasEnded(body, today))
  }

  async function rulesOn(day: CalendarDate): Promise<Rules> {
    const [edition, recalls] = await Promise.all([registers.inForce('policy', employerPolicyId, day), recallsNow()])
    return withRecalls(edition === undefined ? noRules : rulesFrom(edition.body, edition.edition), recalls)
  }

  const recallsNow = () => readRecalls({ table, keys, name: organisation }, registers)

  return {
    name: organisation,
    table,
    keys,
    registers,
    sticks,
    notices,
    zoneAt,
    crewNow,
    crewsNow,
    peopleNow,
    entriesOfPeople,
    hasLeft,
    rulesOn,
    recallsNow,
    asItBinds: (recall: BindingRecall) => asItBinds(registers, recall),
  }
}

type Registers = ReturnType<typeof openRegisters>

/** Recalls are read once, as registers are: for one request or one round. */
function readRecalls(place: OrganisationTable, registers: Registers): Promise<readonly Recall[]> {
  return registers.readOnce('recalls that bind', async () => {
    const { recalls } = await recallsBinding(place)
    return Promise.all(recalls.map((one) => asItBinds(registers, one)))
  })
}

/** A recall by an instrument ends where that was calibrated anew, which its entry says. */
async function asItBinds(registers: Registers, recall: BindingRecall): Promise<Recall> {
  const { cause } = recall
  if (!('instrumentId' in cause)) return recall
  const editions = notTakenBack(await registers.editions('instrument', cause.instrumentId))
  const calibrations = editions.map(({ body }) => body)
  const goodAgainOn = goodAgainAfter(cause, calibrations)
  return goodAgainOn === undefined ? recall : { ...recall, goodAgainOn }
}
