/** The registers: an entry as it is on a day, and their lists by number. */
import type { CalendarDate } from '../../shared-domain/calendar.ts'
import { notTakenBack } from '../../shared-domain/in-force.ts'
import type { Crew } from '../../shared-domain/registers.ts'
import { type Action, may } from '../../shared-domain/rights.ts'
import { notFound } from '../ground/errors.ts'
import type { RegisterKind } from '../store/keys.ts'
import { employerPolicyId } from '../store/organisation.ts'
import type { RegisterEntry } from '../store/registers.ts'
import type { Asker } from './asker.ts'
import { checkRole } from './rights.ts'
import { todayAt } from './today.ts'

export const toRead = {
  depot: 'read depots',
  crew: 'read crews',
  person: 'read people',
  instrument: 'read instruments',
  procedure: 'read procedures',
  demonstration: 'read demonstrations',
  policy: 'read policies',
  organisation: 'read the organisation',
} as const satisfies { readonly [kind in RegisterKind]: Action }

export const toEnter = {
  depot: 'enter a depot',
  crew: 'enter a crew',
  person: 'enter a person',
  instrument: 'enter an instrument',
  procedure: 'enter a procedure',
  demonstration: 'enter a demonstration',
  policy: 'enter a policy',
  organisation: 'enter the organisation',
} as const satisfies { readonly [kind in RegisterKind]: Action }

/** The only entry of a register that has one. */
export function onlyEntryOf({ organisation }: Asker, kind: string): string | undefined {
  if (kind === 'policy') return employerPolicyId
  return kind === 'organisation' ? organisation.name : undefined
}

/** The entry of a day; today is the register's own day, which is that of UTC. */
export async function entryFor(
  asker: Asker,
  { kind, id, on }: { readonly kind: RegisterKind; readonly id: string; readonly on?: CalendarDate | undefined },
): Promise<RegisterEntry<unknown>> {
  checkRole(asker.caller, toRead[kind])
  const day = on ?? (await todayAt(asker, null)).today
  const edition = await asker.organisation.registers.inForce(kind, id, day)
  if (edition === undefined) throw notFound({ is: 'none: entry on', entry: kind, id, on: day })
  return seenBy(asker, kind, { ...edition, id })
}

export interface EntryPage {
  readonly entries: readonly RegisterEntry<unknown>[]
  /** the number to go on after; null when there is no more */
  readonly next: string | null
}

/** Entries as they are today. */
export async function entriesFor(
  asker: Asker,
  { kind, ...page }: { readonly kind: RegisterKind; readonly after: string; readonly limit: number },
): Promise<EntryPage> {
  checkRole(asker.caller, toRead[kind])
  const { today } = await todayAt(asker, null)
  const { entries, next } = await asker.organisation.registers.pageInForce(kind, today, page)
  return { entries: entries.map((entry) => seenBy(asker, kind, entry)), next }
}

/** How an edition stands today among all of its entry. */
export type EditionStanding = 'stands' | 'to come' | 'earlier' | 'taken back'

export interface ToldEdition extends RegisterEntry<unknown> {
  readonly standing: EditionStanding
}

export interface EntryHistory {
  /** the edition that stands today */
  readonly present: ToldEdition
  /** all of them, in the order in which they take effect */
  readonly editions: readonly ToldEdition[]
}

/** Every edition of an entry, and which of them stands today: by its own depot's clock, where it has one. */
export async function editionsFor(
  asker: Asker,
  { kind, id }: { readonly kind: RegisterKind; readonly id: string },
): Promise<EntryHistory> {
  checkRole(asker.caller, toRead[kind])
  const { registers } = asker.organisation
  const present = await presentOf(asker, kind, id)
  if (present === undefined) throw notFound({ is: 'none: entry', entry: kind, id })
  const all = await registers.editions(kind, id)
  const standing = new Set(notTakenBack(all).map(({ edition }) => edition))
  const editions = all.map(
    (one): ToldEdition => ({
      ...seenBy(asker, kind, { ...one, id }),
      standing: standing.has(one.edition) ? standingOf(one.edition, present.edition) : 'taken back',
    }),
  )
  const told = editions.find(({ edition }) => edition === present.edition)
  if (told === undefined) throw new Error(`${kind} ${id}: the edition ${present.edition} is not among its editions`)
  return { present: told, editions }
}

function standingOf(edition: string, present: string): EditionStanding {
  if (edition === present) return 'stands'
  return edition > present ? 'to come' : 'earlier'
}

async function presentOf({ organisation, now }: Asker, kind: RegisterKind, id: string) {
  if (kind === 'depot') return organisation.registers.depotNow(id, now)
  if (kind === 'crew') return organisation.crewNow(id, now)
  return organisation.registers.inForce(kind, id, (await todayAt({ organisation, now }, null)).today)
}

/** The entry as the caller sees it: a crew comes without its recipients where they are not the caller's to write to. */
function seenBy({ caller }: Asker, kind: RegisterKind, entry: RegisterEntry<unknown>): RegisterEntry<unknown> {
  if (kind !== 'crew') return entry
  const { recipients: _, ...others } = entry.body as Crew // the kind decides the body's type
  const mayReach = may(caller, 'read contacts', { crewId: entry.id, depotId: others.depotId })
  return mayReach ? entry : { ...entry, body: others }
}
