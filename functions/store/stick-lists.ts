/**
 * The lists in which sticks lie: by depot and how they stand, by crew, lent out, and by when they are looked at next.
 */
import type { CalendarDate } from '../../shared-domain/calendar.ts'
import type { StandingGroup } from '../../shared-domain/listing.ts'
import { longUntold } from '../../shared-domain/notices/change.ts'
import type { OrganisationTable } from './keys.ts'
import { readEach } from './reading.ts'
import { sharing } from './sharing.ts'
import { asStored, type StoredStick } from './stick-item.ts'
import type { Item, Range, Table } from './table.ts'

/** A part of a list, between two of its keys, and no more than so many. */
interface Stretch {
  readonly from: string
  readonly to: string
  readonly limit: number
}

export interface StickPage {
  readonly sticks: readonly StoredStick[]
  /** the key to go on from; null when there is no more */
  readonly next: string | null
}

/** A hundred sticks of 20 KB each are a small part of a function's memory. */
const sticksOnPage = 100

/** Sticks to be looked at by this day, a page at a time, the longest untold of each kind and depot first. */
async function* dueToBeTold(
  { table, keys }: OrganisationTable,
  depotIds: readonly (string | null)[],
  through: CalendarDate,
): AsyncGenerator<readonly StoredStick[]> {
  for (const key of depotIds.flatMap((id) => [keys.depotChange(id), keys.depotTell(id)]))
    yield* pagesAt(table, { key, through })
}

/** Sticks that a day alone changes and that are to be looked at: the day may have come. */
async function dueToChange(
  { table, keys }: OrganisationTable,
  depotId: string | null,
  through: CalendarDate,
): Promise<StoredStick[]> {
  const looking = { key: keys.depotChange(depotId), through }
  return stillThere(table, await table.all(lookedAtBy(looking)), looking)
}

/** Sticks that other rules have changed, where nobody was told of that yet; a page at a time. */
async function* untoldOf(
  { table, keys }: OrganisationTable,
  depotIds: readonly (string | null)[],
): AsyncGenerator<{ readonly depotId: string | null; readonly sticks: readonly StoredStick[] }> {
  for (const depotId of depotIds) {
    for await (const sticks of pagesAt(table, { key: keys.depotChange(depotId), through: longUntold }))
      yield { depotId, sticks: sticks.filter(({ untold }) => untold !== undefined) }
  }
}

/** A list of sticks to be looked at, and the last day that counts. */
interface Looking {
  readonly key: string
  readonly through: CalendarDate
}

const lookedAtBy = ({ key, through }: Looking): Range => ({
  index: 'by-depot-next-tell',
  partition: ['depotTellKey', key],
  between: ['nextTellOn', '0', `${through}#~`],
})

async function* pagesAt(table: Table, looking: Looking): AsyncGenerator<readonly StoredStick[]> {
  let after: Record<string, unknown> | undefined
  do {
    const { items, next } = await table.page({ ...lookedAtBy(looking), limit: sticksOnPage, after })
    yield await stillThere(table, items, looking)
    after = next
  } while (after !== undefined)
}

/**
 * Sticks as they are by now, since the index keeps keys alone. A stick that has moved on, or to another depot, is
 * left out, though the index may still show it.
 */
async function stillThere(table: Table, places: readonly Item[], { key, through }: Looking): Promise<StoredStick[]> {
  const found = new Map((await table.getAll(places)).map((item) => [item.pk, item]))
  const items = places.flatMap(({ pk }) => found.get(pk) ?? [])
  return readEach(
    items.filter(({ depotTellKey, nextTellOn }) => depotTellKey === key && String(nextTellOn) <= `${through}#~`),
    asStored,
  )
}

/** A range with bounds, by which a page of sticks says where it goes on. */
type Bounded = Range & { readonly between: readonly [name: string, from: string, to: string] }

const lent = (depotLentKey: string, { from, to, limit }: Stretch): Bounded => ({
  index: 'by-depot-return',
  partition: ['depotLentKey', depotLentKey],
  between: ['returnSort', from, to],
  limit,
})

const standing = (depotStandingKey: string, { from, to, limit }: Stretch): Bounded => ({
  index: 'by-depot-standing',
  partition: ['depotStandingKey', depotStandingKey],
  between: ['standingSort', from, to],
  limit,
})

const ofCrew = (crewKey: string, { from, to, limit }: Stretch): Bounded => ({
  index: 'by-crew-standing',
  partition: ['crewKey', crewKey],
  between: ['standingSort', from, to],
  limit,
})

async function stickPage(table: Table, range: Bounded): Promise<StickPage> {
  const { items, next } = await table.page(range)
  const last = items.at(-1)?.[range.between[0]]
  return {
    sticks: readEach(items, asStored),
    next: next === undefined || last === undefined ? null : justAfter(String(last)),
  }
}

/**
 * A crew's sticks as they are by now, since the index keeps keys alone. A stick that has left the crew is left out,
 * though the index may still show it.
 */
async function crewPage({ table, keys }: OrganisationTable, crewId: string, range: Stretch): Promise<StickPage> {
  const crewKey = keys.crewSticks(crewId)
  const { items, next } = await table.page(ofCrew(crewKey, range))
  const found = new Map((await table.getAll(items)).map((item) => [item.pk, item]))
  const present = items.flatMap(({ pk }) => found.get(pk) ?? []).filter((item) => item.crewKey === crewKey)
  const last = items.at(-1)?.standingSort
  return {
    sticks: readEach(present, asStored),
    next: next === undefined || last === undefined ? null : justAfter(String(last)),
  }
}

/** The least key greater than this one. */
export function justAfter(key: string): string {
  return `${key}\u0000`
}

export function listsOfSticks(place: OrganisationTable) {
  const { table, keys } = place
  return {
    ...sharing(place, { dueToBeTold, dueToChange, untoldOf, crewPage }),
    standingPage: (depotId: string | null, group: StandingGroup, range: Stretch) =>
      stickPage(table, standing(keys.depotStanding(depotId, group), range)),
    /** Sticks lent out, whatever their status, the soonest to be back first. */
    lentPage: (depotId: string | null, range: Stretch) => stickPage(table, lent(keys.depotLent(depotId), range)),
    /** Counts the keys there, no further than the limit. */
    standingCount: (depotId: string | null, group: StandingGroup, range: Stretch) =>
      table.count(standing(keys.depotStanding(depotId, group), range)),
    crewCount: (crewId: string, range: Stretch) => table.count(ofCrew(keys.crewSticks(crewId), range)),
  }
}
