/** The registers: every edition kept, the newest also at the head. */
import type { CalendarDate, Instant } from '../../shared-domain/calendar.ts'
import type { EmployerPolicy } from '../../shared-domain/policy/policy.ts'
import type { Crew, Depot, Instrument, Person, Procedure } from '../../shared-domain/registers.ts'
import { is, isNew, onlyIf } from './change.ts'
import { type Keys, type RegisterKind, systemDepots } from './keys.ts'
import { readEach, reading } from './reading.ts'
import type { Table, Write } from './table.ts'

export interface Bodies {
  depot: Depot
  crew: Crew
  person: Person
  instrument: Instrument
  procedure: Procedure
  policy: EmployerPolicy
}

export interface Edition<Body> {
  /** `2026-03-02#0001`: sorts by the day it takes effect, then as recorded */
  readonly edition: string
  readonly number: number
  readonly effectiveFrom: CalendarDate
  readonly recordedAt: Instant
  readonly recordedBy: string
  readonly body: Body
}

export interface Head<Body> {
  readonly id: string
  readonly count: number
  /** the one that takes effect last */
  readonly newest: Edition<Body>
}

export interface DepotPointer {
  readonly organisation: string
  readonly depotId: string
  readonly timeZone: string
  readonly sweepHour: number
}

const asEdition = reading<Edition<object>>('edition', {
  edition: 'text',
  number: 'number',
  effectiveFrom: 'text',
  recordedAt: 'text',
  recordedBy: 'text',
  body: 'map',
})
const asHead = reading<Head<object>>('register', { id: 'text', count: 'number', newest: 'map' })
const asPointer = reading<DepotPointer>(
  'depot pointer',
  { organisation: 'text', depotId: 'text', timeZone: 'text', sweepHour: 'number' },
  { mayBeUnnamed: true },
)

export type Registers = ReturnType<typeof openRegisters>

export function openRegisters(table: Table, keys: Keys, organisation: string) {
  const heard = new Map<string, Promise<unknown>>()

  /** Read once for each opening of the registers, which is for one request or one round; what failed is read again. */
  function once<T>(name: string, read: () => Promise<unknown>): Promise<T> {
    const known = heard.get(name) ?? read()
    heard.set(name, known)
    known.catch(() => {
      if (heard.get(name) === known) heard.delete(name)
    })
    return known as Promise<T>
  }

  const head = <K extends RegisterKind>(kind: K, id: string) =>
    once<Head<Bodies[K]> | undefined>(`${kind} ${id}`, async () => {
      const item = await table.get(keys.registerHead(kind, id))
      return item === undefined ? undefined : asHead(item)
    })

  const heads = <K extends RegisterKind>(kind: K) =>
    once<Head<Bodies[K]>[]>(`heads of ${kind}`, async () =>
      readEach(await table.all({ partition: ['pk', keys.registerHeads(kind)] }), asHead),
    )

  /** Of a register by number, the first after this one; a page of the table may end before so many are read. */
  async function headsAfter(
    kind: RegisterKind,
    { after, limit }: { readonly after: string; readonly limit: number },
  ): Promise<{ entries: Head<unknown>[]; next: string | null }> {
    const partition = ['pk', keys.registerHeads(kind)] as const
    const page = await table.page({ partition, between: ['sk', `${after}\u0000`, '~'], limit: limit + 1 })
    const items = page.items.slice(0, limit)
    const isAll = page.items.length <= limit && page.next === undefined
    return { entries: readEach(items, asHead), next: isAll ? null : (items.at(-1)?.sk ?? null) }
  }

  const editions = <K extends RegisterKind>(kind: K, id: string) =>
    once<Edition<Bodies[K]>[]>(`editions of ${kind} ${id}`, () => readEditions(kind, id))

  async function readEditions<K extends RegisterKind>(kind: K, id: string): Promise<Edition<Bodies[K]>[]> {
    const items = await table.all({ partition: ['pk', keys.editions(kind, id)], consistent: true })
    return items.map((item) => asEdition(item) as Edition<Bodies[K]>)
  }

  /** The edition in force on a day; for a day before the first one, the first. */
  async function inForce<K extends RegisterKind>(
    kind: K,
    id: string,
    day: CalendarDate,
  ): Promise<Edition<Bodies[K]> | undefined> {
    const known = await head(kind, id)
    return known === undefined ? undefined : editionOn(kind, known, day)
  }

  async function editionOn<K extends RegisterKind>(
    kind: K,
    { id, count, newest }: Head<Bodies[K]>,
    day: CalendarDate,
  ): Promise<Edition<Bodies[K]>> {
    if (count === 1 || newest.effectiveFrom <= day) return newest
    const all = await editions(kind, id)
    return all.findLast((edition) => edition.effectiveFrom <= day) ?? all[0] ?? newest
  }

  /** The whole register as it is on a day. */
  async function allInForce<K extends RegisterKind>(kind: K, day: CalendarDate): Promise<Bodies[K][]> {
    const known = await heads(kind)
    return Promise.all(known.map(async (one) => (await editionOn(kind, one, day)).body))
  }

  /**
   * Adds an edition; the body that is in force on its day again adds nothing. `lost` when another writer came first: read
   * and try again.
   */
  async function add<K extends RegisterKind>(
    kind: K,
    id: string,
    entry: { body: Bodies[K]; effectiveFrom: CalendarDate; recordedAt: Instant; recordedBy: string },
  ): Promise<{ outcome: 'first' | 'added' | 'unchanged'; edition: Edition<Bodies[K]> } | 'lost'> {
    forget(kind, id)
    const known = await head(kind, id)
    const present = known === undefined ? undefined : await editionOn(kind, known, entry.effectiveFrom)
    forget(kind, id)
    if (present !== undefined && same(present.body, entry.body)) return { outcome: 'unchanged', edition: present }
    const count = (known?.count ?? 0) + 1
    const edition: Edition<Bodies[K]> = {
      ...entry,
      number: count,
      edition: `${entry.effectiveFrom}#${String(count).padStart(4, '0')}`,
    }
    const newest = known === undefined || edition.edition > known.newest.edition ? edition : known.newest
    const writes: Write[] = [
      table.putNew({ pk: keys.editions(kind, id), sk: edition.edition, entity: 'edition', kind, id, ...edition }),
      table.put(
        { ...keys.registerHead(kind, id), entity: 'register', kind, id, count, newest },
        onlyIf(known === undefined ? isNew : is('count', known.count)),
      ),
    ]
    if (kind === 'depot')
      writes.push(
        table.put({ ...keys.depotPointer(id), entity: 'depot pointer', ...pointer(id, newest.body as Depot) }),
      )
    const { done } = await table.transact(writes)
    return done ? { outcome: known === undefined ? 'first' : 'added', edition } : 'lost'
  }

  function forget(kind: RegisterKind, id: string): void {
    heard.delete(`${kind} ${id}`)
    heard.delete(`editions of ${kind} ${id}`)
    heard.delete(`heads of ${kind}`)
  }

  function pointer(depotId: string, { timeZone, sweepHour }: Depot): DepotPointer {
    return { organisation, depotId, timeZone, sweepHour }
  }

  /** What was read before another writer came may not be what is there now. */
  function readAnew(): void {
    heard.clear()
  }

  return { head, heads, headsAfter, editions, inForce, allInForce, add, readAnew }
}

/** The depots of every organisation, for the sweep. */
export async function depotPointers(table: Table): Promise<DepotPointer[]> {
  const items = await table.all({ partition: ['pk', systemDepots] })
  return readEach(items, asPointer)
}

function same(a: unknown, b: unknown): boolean {
  return canonical(a) === canonical(b)
}

/** JSON with its keys in order and absent values left out, so that equal bodies are equal text. */
export function canonical(value: unknown): string {
  return JSON.stringify(value, (_, inner) =>
    inner !== null && typeof inner === 'object' && !Array.isArray(inner)
      ? Object.fromEntries(Object.entries(inner).sort(([a], [b]) => (a < b ? -1 : 1)))
      : inner,
  )
}
