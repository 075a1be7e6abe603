/** The registers: every edition kept, the newest also at the head. */
import { type CalendarDate, type Instant, localDateAt } from '../../shared-domain/calendar.ts'
import { canonical } from '../../shared-domain/canonical.ts'
import { inForce as editionInForce, notTakenBack } from '../../shared-domain/in-force.ts'
import type { EmployerPolicy } from '../../shared-domain/policy/policy.ts'
import type {
  Crew,
  Demonstration,
  Depot,
  Instrument,
  OrganisationEntry,
  Person,
  Procedure,
} from '../../shared-domain/registers.ts'
import { accountsOwedWrite } from './accounts-owed.ts'
import { is, isNew, onlyIf } from './change.ts'
import { type Keys, type OrganisationTable, type RegisterKind, systemDepots } from './keys.ts'
import { readEach, readerOf } from './reading.ts'
import type { Table, Write } from './table.ts'

export interface Bodies {
  depot: Depot
  crew: Crew
  person: Person
  instrument: Instrument
  procedure: Procedure
  demonstration: Demonstration
  policy: EmployerPolicy
  /** the organisation's own entry, the only one of its kind, under the organisation's name */
  organisation: OrganisationEntry
}

export interface Edition<Body> {
  /** `2026-03-02#0001`: sorts by the day it takes effect, then as recorded */
  readonly edition: string
  readonly number: number
  readonly effectiveFrom: CalendarDate
  readonly recordedAt: Instant
  readonly recordedBy: string
  /** the second person, where the edition loosened */
  readonly approvedBy?: string
  /** the edition that was a slip, and stands no more with this one */
  readonly takesBack?: string
  /** the correction, where the edition stands in place of a slip */
  readonly correction?: string
  readonly body: Body
}

export interface RegisterEntry<Body> extends Edition<Body> {
  readonly id: string
}

/** The edition that takes effect last stands at the head, whether its day has come or not. */
interface Head<Body> {
  readonly id: string
  readonly count: number
  readonly newest: Edition<Body>
}

export interface DepotPointer {
  readonly organisation: string
  readonly depotId: string
  readonly timeZone: string
  readonly sweepHour: number
}

/** The clock by which a depot's mornings come, from a day on. */
interface Mornings extends Pick<Depot, 'timeZone' | 'sweepHour'> {
  readonly effectiveFrom: CalendarDate
}

const asEdition = readerOf<Edition<object>>('edition', {
  edition: 'text',
  number: 'number',
  effectiveFrom: 'text',
  recordedAt: 'text',
  recordedBy: 'text',
  approvedBy: ['text', 'absent'],
  takesBack: ['text', 'absent'],
  correction: ['text', 'absent'],
  body: 'map',
})
const asHead = readerOf<Head<object>>('register', { id: 'text', count: 'number', newest: 'map' })

/** Earlier builds kept no mornings, and only the clock that takes effect last. */
type KeptPointer = Pick<DepotPointer, 'organisation' | 'depotId'> &
  Partial<DepotPointer & { readonly mornings: readonly Mornings[] }>
const asPointer = readerOf<KeptPointer>(
  'depot pointer',
  {
    organisation: 'text',
    depotId: 'text',
    timeZone: ['text', 'absent'],
    sweepHour: ['number', 'absent'],
    mornings: ['list', 'absent'],
  },
  { mayBeUnnamed: true },
)

export interface NewEdition<K extends RegisterKind> {
  readonly body: Bodies[K]
  readonly effectiveFrom: CalendarDate
  readonly recordedAt: Instant
  readonly recordedBy: string
  readonly approvedBy?: string
  readonly takesBack?: string
  readonly correction?: string
  /** the number of editions that the entry must still have, so that this one joins those it was weighed against */
  readonly onlyWith?: number
  readonly also?: readonly Write[]
}

/** The registers of one organisation, as far as they were read: once for one request or one round. */
interface Opened extends OrganisationTable {
  readonly heard: Map<string, Promise<unknown>>
}

/** The entry of a register by its id. */
interface Entry<K extends RegisterKind> {
  readonly kind: K
  readonly id: string
}

export function openRegisters(table: Table, keys: Keys, organisation: string) {
  const opened: Opened = { table, keys, name: organisation, heard: new Map() }
  return {
    /** Answers whether anybody made the entry, for whatever day. */
    has: async (kind: RegisterKind, id: string) => (await head(opened, { kind, id })) !== undefined,
    countOf: (kind: RegisterKind, id: string) => countOf(opened, { kind, id }),
    pageInForce: (kind: RegisterKind, day: CalendarDate, part: Part) => pageInForce(opened, { kind, day }, part),
    editions: <K extends RegisterKind>(kind: K, id: string) => editions(opened, { kind, id }),
    inForce: <K extends RegisterKind>(kind: K, id: string, day: CalendarDate | DayBy<K>) =>
      inForce(opened, { kind, id }, day),
    inForceFrom: <K extends RegisterKind>(kind: K, id: string, day: CalendarDate) =>
      inForceFrom(opened, { kind, id }, day),
    allInForce: <K extends RegisterKind>(kind: K, day: CalendarDate | DayBy<K>) => allInForce(opened, kind, day),
    /** A depot's day is told by the clock of the edition that sets it. */
    depotNow: (id: string, now: Instant) => inForce(opened, { kind: 'depot', id }, byItsOwnClock(now)),
    depotsNow: (now: Instant) => allInForce(opened, 'depot', byItsOwnClock(now)),
    add: <K extends RegisterKind>(kind: K, id: string, edition: NewEdition<K>) => add(opened, { kind, id }, edition),
    /** Asks for entries already while something else is read. */
    readAhead: (kind: RegisterKind, id?: string): void => {
      const read: Promise<unknown> = id === undefined ? heads(opened, kind) : head(opened, { kind, id })
      read.catch(() => undefined)
    },
    /** Reads once, with the registers, what binds beside them. */
    readOnce: <T>(name: string, read: () => Promise<T>) => once<T>(opened, name, read),
    /** Forgets what was read before another writer came: it may not be what is there now. */
    readAnew: () => opened.heard.clear(),
  }
}

/** Reads once for each opening of the registers. A read that failed is made again. */
function once<T>({ heard }: Opened, name: string, read: () => Promise<unknown>): Promise<T> {
  const known = heard.get(name) ?? read()
  heard.set(name, known)
  known.catch(() => {
    if (heard.get(name) === known) heard.delete(name)
  })
  return known as Promise<T>
}

function forget({ heard }: Opened, { kind, id }: Entry<RegisterKind>): void {
  heard.delete(`${kind} ${id}`)
  heard.delete(`editions of ${kind} ${id}`)
  heard.delete(`heads of ${kind}`)
}

function head<K extends RegisterKind>(opened: Opened, { kind, id }: Entry<K>) {
  return once<Head<Bodies[K]> | undefined>(opened, `${kind} ${id}`, async () => {
    const item = await opened.table.get(opened.keys.registerHead(kind, id))
    return item === undefined ? undefined : asHead(item)
  })
}

function heads<K extends RegisterKind>(opened: Opened, kind: K) {
  return once<Head<Bodies[K]>[]>(opened, `heads of ${kind}`, async () =>
    readEach(await opened.table.all({ partition: ['pk', opened.keys.registerHeads(kind)] }), asHead),
  )
}

/** Counts the entry's editions by now, whatever was read of it before. */
async function countOf(opened: Opened, entry: Entry<RegisterKind>): Promise<number> {
  forget(opened, entry)
  return (await head(opened, entry))?.count ?? 0
}

/** A part of a register: entries from the first after `after` on, and no more than so many. */
interface Part {
  readonly after: string
  readonly limit: number
}

/**
 * A page of the register as it is on a day: entries by number, from the first after `after` on. A page of the table
 * may end before `limit` entries are read.
 */
async function pageInForce(
  opened: Opened,
  { kind, day }: { readonly kind: RegisterKind; readonly day: CalendarDate },
  { after, limit }: Part,
): Promise<{ entries: RegisterEntry<unknown>[]; next: string | null }> {
  const partition = ['pk', opened.keys.registerHeads(kind)] as const
  const page = await opened.table.page({ partition, between: ['sk', `${after}\u0000`, '~'], limit: limit + 1 })
  const items = page.items.slice(0, limit)
  const isAll = page.items.length <= limit && page.next === undefined
  const found = readEach(items, asHead) as Head<Bodies[RegisterKind]>[]
  const entries = await Promise.all(found.map((one) => entryOn(opened, { kind, head: one }, day)))
  return { entries, next: isAll ? null : (items.at(-1)?.sk ?? null) }
}

function editions<K extends RegisterKind>(opened: Opened, { kind, id }: Entry<K>) {
  return once<Edition<Bodies[K]>[]>(opened, `editions of ${kind} ${id}`, () => readEditions(opened, { kind, id }))
}

async function readEditions<K extends RegisterKind>(
  { table, keys }: Opened,
  { kind, id }: Entry<K>,
): Promise<Edition<Bodies[K]>[]> {
  const items = await table.all({ partition: ['pk', keys.editions(kind, id)], consistent: true })
  return items.map((item) => asEdition(item) as Edition<Bodies[K]>)
}

/** The edition of an entry that binds on a day. */
async function inForce<K extends RegisterKind>(
  opened: Opened,
  entry: Entry<K>,
  day: CalendarDate | DayBy<K>,
): Promise<Edition<Bodies[K]> | undefined> {
  const known = await head(opened, entry)
  return known === undefined ? undefined : entryOn(opened, { kind: entry.kind, head: known }, day)
}

/** All editions are read only where the day of the last of them has not come. */
async function entryOn<K extends RegisterKind>(
  opened: Opened,
  { kind, head: { id, count, newest } }: { readonly kind: K; readonly head: Head<Bodies[K]> },
  day: CalendarDate | DayBy<K>,
): Promise<RegisterEntry<Bodies[K]>> {
  const dayBy = typeof day === 'function' ? day : () => day
  if (count === 1 || newest.effectiveFrom <= (await dayBy(newest))) return { ...newest, id }
  const all = notTakenBack(await editions(opened, { kind, id }))
  const days = new Map(await Promise.all(all.map(async (one) => [one, await dayBy(one)] as const)))
  return { ...(editionInForce(all, (one) => days.get(one) ?? one.effectiveFrom) ?? newest), id }
}

/** The whole register as it is on a day. */
async function allInForce<K extends RegisterKind>(
  opened: Opened,
  kind: K,
  day: CalendarDate | DayBy<K>,
): Promise<RegisterEntry<Bodies[K]>[]> {
  const known = await heads(opened, kind)
  return Promise.all(known.map((one) => entryOn(opened, { kind, head: one }, day)))
}

/** The edition of the day, and all that take effect later. */
async function inForceFrom<K extends RegisterKind>(
  opened: Opened,
  entry: Entry<K>,
  day: CalendarDate,
): Promise<Edition<Bodies[K]>[]> {
  const known = await head(opened, entry)
  if (known === undefined) return []
  const present = await entryOn(opened, { kind: entry.kind, head: known }, day)
  if (present.edition === known.newest.edition) return [known.newest]
  return notTakenBack(await editions(opened, entry)).filter(({ edition }) => edition >= present.edition)
}

/**
 * Adds an edition to an entry that has `onlyWith` editions, and writes `also` with it. A body equal to the one in
 * force on its day adds nothing. `lost` when another writer came first: read and try again.
 */
async function add<K extends RegisterKind>(
  opened: Opened,
  entry: Entry<K>,
  { onlyWith, also = [], ...given }: NewEdition<K>,
): Promise<{ outcome: 'first' | 'added' | 'unchanged'; edition: Edition<Bodies[K]> } | 'lost'> {
  forget(opened, entry)
  const known = await head(opened, entry)
  const present =
    known === undefined ? undefined : await entryOn(opened, { kind: entry.kind, head: known }, given.effectiveFrom)
  forget(opened, entry)
  if (onlyWith !== undefined && (known?.count ?? 0) !== onlyWith) return 'lost'
  if (present !== undefined && given.takesBack === undefined && same(present.body, given.body)) {
    if (also.length > 0 && !(await opened.table.transact(also)).done) return 'lost'
    return { outcome: 'unchanged', edition: present }
  }
  const mayMatter = entry.kind === 'depot' || given.takesBack !== undefined
  const others = mayMatter && known !== undefined ? await readEditions(opened, entry) : []
  const count = (known?.count ?? 0) + 1
  const edition: Edition<Bodies[K]> = {
    ...given,
    number: count,
    edition: `${given.effectiveFrom}#${String(count).padStart(4, '0')}`,
  }
  const { done } = await opened.table.transact([...editionWrites(opened, entry, { known, edition, others }), ...also])
  return done ? { outcome: known === undefined ? 'first' : 'added', edition } : 'lost'
}

/** An edition on its way in, and what the entry holds already. */
interface Joining<K extends RegisterKind> {
  readonly known: Head<Bodies[K]> | undefined
  readonly edition: Edition<Bodies[K]>
  readonly others: readonly Edition<Bodies[K]>[]
}

function editionWrites<K extends RegisterKind>(
  opened: Opened,
  { kind, id }: Entry<K>,
  { known, edition, others }: Joining<K>,
): Write[] {
  const { table, keys } = opened
  const stand = notTakenBack([...others, edition]).sort((a, b) => (a.edition < b.edition ? -1 : 1))
  const newest = newestOf(known?.newest, edition, stand.at(-1))
  const writes: Write[] = [
    table.putNew({ pk: keys.editions(kind, id), sk: edition.edition, entity: 'edition', kind, id, ...edition }),
    table.put(
      { ...keys.registerHead(kind, id), entity: 'register', kind, id, count: edition.number, newest },
      onlyIf(known === undefined ? isNew : is('count', known.count)),
    ),
  ]
  if (kind === 'person') return [...writes, accountsOwedWrite(opened, id, edition)]
  if (kind !== 'depot') return writes
  const ofDepot = { editions: stand as Edition<Depot>[], now: edition.recordedAt } // the kind decides the body
  return [...writes, table.put(pointer(opened, id, ofDepot))]
}

/**
 * Mornings that are past by now are left out: a depot that is edited every day for years must not outgrow its
 * pointer.
 */
function pointer(
  { keys, name: organisation }: OrganisationTable,
  depotId: string,
  { editions: all, now }: { readonly editions: readonly Edition<Depot>[]; readonly now: Instant },
) {
  const present = editionInForce(all, byItsOwnClock(now))
  const mornings = all
    .filter(({ edition }) => present === undefined || edition >= present.edition)
    .map(({ effectiveFrom, body: { timeZone, sweepHour } }): Mornings => ({ effectiveFrom, timeZone, sweepHour }))
  return { ...keys.depotPointer(depotId), entity: 'depot pointer' as const, organisation, depotId, mornings }
}

/**
 * Answers the edition for the head of the entry. Where a slip is taken back, it is the last of all that stand.
 * Otherwise it is whichever of the two takes effect last.
 */
function newestOf<Body>(
  known: Edition<Body> | undefined,
  added: Edition<Body>,
  ofAll: Edition<Body> | undefined,
): Edition<Body> {
  if (added.takesBack !== undefined) return ofAll ?? added
  return known === undefined || added.edition > known.edition ? added : known
}

type DayBy<K extends RegisterKind> = (edition: Edition<Bodies[K]>) => CalendarDate | Promise<CalendarDate>

const byItsOwnClock = (now: Instant) => (edition: Edition<Depot>) => localDateAt(now, edition.body.timeZone)

/** The depots of every organisation, by the clock that each has now. */
export async function depotPointers(table: Table, now: Instant): Promise<DepotPointer[]> {
  const items = await table.all({ partition: ['pk', systemDepots] })
  return readEach(items, (item) => pointerNow(item, now))
}

function pointerNow(item: unknown, now: Instant): DepotPointer {
  const { organisation, depotId, mornings = [], ...kept } = asPointer(item)
  const { timeZone, sweepHour } = editionInForce(mornings, (one) => localDateAt(now, one.timeZone)) ?? kept
  if (timeZone === undefined || sweepHour === undefined) throw new Error('a depot pointer says nothing of its mornings')
  return { organisation, depotId, timeZone, sweepHour }
}

function same(a: unknown, b: unknown): boolean {
  return canonical(a) === canonical(b)
}
