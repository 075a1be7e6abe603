/**
 * Accounts at the user pool follow the register of people: whoever has an address there, today or from a day on, has an
 * account under it, and whoever has it no more has none. The register never waits for the pool. What fails is done
 * again: as its message comes again, and each hour.
 */
import type { SQSBatchResponse, SQSRecord } from 'aws-lambda'
import { addDays, type CalendarDate, type Instant, localDateAt, startOfDay } from '../../shared-domain/calendar.ts'
import { sameMailbox } from '../../shared-domain/mailbox.ts'
import { bindsThrough } from '../../shared-domain/people.ts'
import type { WallClock } from '../ground/clock.ts'
import { describe, log } from '../ground/log.ts'
import {
  type AccountStanding,
  type AccountsOwed,
  accountOf,
  accountsDue,
  accountsOwedTo,
  noteAccount,
  setAccountsSeenTo,
} from '../store/accounts.ts'
import { namedBy, organisationOfAddress } from '../store/addresses.ts'
import { takeEach } from '../store/handed-on.ts'
import { type Organisation, openOrganisation } from '../store/organisation.ts'
import { isMailPaused } from '../store/restored-mark.ts'
import type { Table } from '../store/table.ts'
import type { Pool } from '../web/pool.ts'

export interface AccountsParts {
  readonly table: Table
  readonly clock: WallClock
  readonly pool: () => Promise<Pool>
}

/** Sees to the accounts of people as their queue names them. A message comes again where one of them is not done. */
export const seeToThose = (parts: AccountsParts, records: readonly SQSRecord[]): Promise<SQSBatchResponse> =>
  takeEach(records, async (keys) => {
    // the pool mails whom it makes: the run of each hour takes it up once a person lets mail go on
    if (await isMailPaused(parts.table)) return true
    for (const key of keys) {
      const owed = await accountsOwedTo(parts.table, key, parts.clock())
      if (owed !== undefined) await seeTo(parts, owed)
    }
    return true
  })

/** Takes up the days that have come, and what came through no queue. */
export async function seeToDue(parts: AccountsParts): Promise<{ people: number; failed: number }> {
  if (await isMailPaused(parts.table)) return { people: 0, failed: 0 }
  const due = await accountsDue(parts.table, parts.clock())
  let failed = 0
  for (const owed of due) {
    try {
      await seeTo(parts, owed)
    } catch (error) {
      failed += 1
      const { organisation, personId } = owed
      log('error', 'an account was not seen to', { organisation, personId, trouble: describe(error) })
    }
  }
  return { people: due.length, failed }
}

async function seeTo(parts: AccountsParts, owed: AccountsOwed): Promise<void> {
  const organisation = openOrganisation(parts.table, owed.organisation)
  const editions = await organisation.registers.editions('person', owed.personId)
  const addresses = new Map(editions.map(({ body: { email } }) => [sameMailbox(email), email]))
  const days: Instant[] = []
  for (const email of addresses.values()) {
    const next = await follow(parts, { organisation, personId: owed.personId, email })
    if (next !== null) days.push(next)
  }
  if (owed.again !== undefined) await inviteAgain(parts, organisation, owed.personId)
  await setAccountsSeenTo(organisation, owed, days.sort()[0] ?? null)
}

interface Named {
  readonly organisation: Organisation
  readonly personId: string
  readonly email: string
}

/** Answers when to look again: on the day after the person's last with this address. */
async function follow(parts: AccountsParts, named: Named): Promise<Instant | null> {
  const { organisation, personId, email } = named
  // what is another organisation's by now, their own people ask for
  if ((await organisationOfAddress(parts.table, email)) !== organisation.name) return null
  const today = localDateAt(parts.clock(), 'UTC')
  const own = bindsThrough(
    await organisation.registers.inForceFrom('person', personId, today),
    ({ body }) => sameMailbox(body.email) === sameMailbox(email),
    today,
  )
  await (own === null ? leave(parts, named, today) : give(parts, named, today))
  return own === null || own === 'without an end' ? null : startOfDay(addDays(own, 1), 'UTC')
}

/**
 * An account that the pool's own people closed stays closed: only what we ended is opened again. Somebody else's is
 * never handed on, for they know its password: it is made anew.
 */
async function give(parts: AccountsParts, named: Named, today: CalendarDate): Promise<void> {
  const { table } = parts
  const { organisation, personId, email } = named
  const before = await accountOf(table, email)
  const isTheirs = before?.organisation === organisation.name && before.personId === personId
  if (isTheirs && before.standing === 'made') return
  const pool = await parts.pool()
  if (before === undefined) await pool.make(email)
  else if (isTheirs) await openAgain(pool, email)
  else {
    const isStillTheirs =
      before.organisation === organisation.name &&
      before.standing === 'made' &&
      (await namedBy(organisation, email, today)).includes(before.personId)
    if (isStillTheirs) return
    await pool.makeAnew(email)
  }
  await note(parts, named, 'made')
}

async function openAgain(pool: Pool, email: string): Promise<void> {
  if ((await pool.make(email)) === 'known') await pool.letInAgain(email)
}

/** The person has the address no more: whoever else has it gets an account of their own, and else nobody has one. */
async function leave(parts: AccountsParts, named: Named, today: CalendarDate): Promise<void> {
  const { organisation, email } = named
  const [next] = await namedBy(organisation, email, today)
  if (next !== undefined) return give(parts, { ...named, personId: next }, today)
  if ((await accountOf(parts.table, email))?.standing === 'ended') return
  await (await parts.pool()).end(email)
  await note(parts, named, 'ended')
  // whoever was entered with the address in between saw an account that stood, and asked for none
  organisation.registers.readAnew()
  const [meanwhile] = await namedBy(organisation, email, today)
  if (meanwhile !== undefined) await give(parts, { ...named, personId: meanwhile }, today)
}

const note = ({ table, clock }: AccountsParts, { organisation, personId, email }: Named, standing: AccountStanding) =>
  noteAccount(table, email, { standing, organisation: organisation.name, personId, since: clock() })

/** Under the address by which the person signs in now, or will first. */
async function inviteAgain({ clock, pool }: AccountsParts, { registers }: Organisation, personId: string) {
  const [present] = await registers.inForceFrom('person', personId, localDateAt(clock(), 'UTC'))
  if (present !== undefined) await (await pool()).inviteAgain(present.body.email)
}
