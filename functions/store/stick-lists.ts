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
  /** read from its end, which is then left out */
  readonly back?: boolean
}

export interface StickPage {
  readonly sticks: readonly StoredStick[]
  /** the key to go on from, or backwards the one to go on before; null when there is no more */
  readonly next: string | null
}

/** Numbers of sticks as keys alone tell them. */
export interface NumberPage {
  readonly stickIds: readonly string[]
  readonly isAll: boolean
}

/** A test among those with its instrument: its place sorts by day, and then by stick. */
export interface TestPlace {
  readonly place: string
  readonly stickId: string
  /** the number of the fact on its stick */
  readonly seq: number
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

/** A list, and the name by which it is sorted. */
interface List {
  readonly index: Range['index']
  readonly partition: Range['partition']
  readonly sort: string
  /** of what lies there only the place is read */
  readonly keysOnly?: boolean
}

const lent = (depotLentKey: string): List => ({
  index: 'by-depot-return',
  partition: ['depotLentKey', depotLentKey],
  sort: 'returnSort',
})

const standing = (depotStandingKey: string): List => ({
  index: 'by-depot-standing',
  partition: ['depotStandingKey', depotStandingKey],
  sort: 'standingSort',
})

const ofCrew = (crewKey: string): List => ({
  index: 'by-crew-standing',
  partition: ['crewKey', crewKey],
  sort: 'standingSort',
})

function rangeIn(
  { index, partition, sort, keysOnly = false }: List,
  { from, to, limit, back = false }: Stretch,
): Range {
  const bounds = { between: [sort, from, to] as const, descending: back, limit: back ? limit + 1 : limit }
  return { ...(index === undefined ? {} : { index }), partition, keysOnly, ...bounds }
}

/** Both bounds of a range are read, so one key more is asked for where the last of them is to be left out. */
async function placesIn(table: Table, list: List, stretch: Stretch) {
  const { to, back = false } = stretch
  const { items, next } = await table.page(rangeIn(list, stretch))
  const last = items.at(-1)?.[list.sort]
  return {
    items: back ? items.filter((one) => one[list.sort] !== to) : items,
    next: next === undefined || last === undefined ? null : back ? String(last) : justAfter(String(last)),
  }
}

async function stickPage(table: Table, list: List, stretch: Stretch): Promise<StickPage> {
  const { items, next } = await placesIn(table, list, stretch)
  return { sticks: readEach(items, asStored), next }
}

/**
 * A crew's sticks as they are by now, since the index keeps keys alone. A stick that has left the crew is left out,
 * though the index may still show it.
 */
async function crewPage({ table, keys }: OrganisationTable, crewId: string, stretch: Stretch): Promise<StickPage> {
  const crewKey = keys.crewSticks(crewId)
  const { items, next } = await placesIn(table, ofCrew(crewKey), stretch)
  const found = new Map((await table.getAll(items)).map((item) => [item.pk, item]))
  const present = items.flatMap(({ pk }) => found.get(pk) ?? []).filter((item) => item.crewKey === crewKey)
  return { sticks: readEach(present, asStored), next }
}

/** The due dates of a depot's usable sticks, in order and one for each stick. */
async function dueDates(
  { table, keys }: OrganisationTable,
  depotId: string | null,
  stretch: Stretch,
): Promise<{ readonly dates: readonly CalendarDate[]; readonly next: string | null }> {
  const list: List = { ...standing(keys.depotStanding(depotId, 'usable')), keysOnly: true }
  const { items, next } = await placesIn(table, list, stretch)
  // a place begins with the date
  return { dates: items.map((one) => String(one[list.sort]).slice(0, '2026-03-02'.length) as CalendarDate), next }
}

/** Places of tests with an instrument, the newest first, from a place on: the index keeps keys alone. */
async function testPlaces(
  { table, keys }: OrganisationTable,
  instrumentId: string,
  { from, limit }: { readonly from: string; readonly limit: number },
): Promise<{ readonly places: readonly TestPlace[]; readonly isAll: boolean }> {
  const { items, next } = await table.page({
    index: 'by-instrument',
    partition: ['instrumentKey', keys.instrumentTests(instrumentId)],
    between: ['testedSort', '0', from],
    descending: true,
    limit,
  })
  const places = items.map(({ testedSort }) => {
    const place = String(testedSort)
    const [, stickId = '', seq = ''] = place.split('#')
    return { place, stickId, seq: Number(seq) }
  })
  return { places, isAll: next === undefined }
}

/** Numbers of the sticks that were tested with an instrument after a day, in order and each once. */
async function testedWithAfter(
  { table, keys }: OrganisationTable,
  instrumentId: string,
  day: CalendarDate,
): Promise<readonly string[]> {
  const places = await table.all({
    index: 'by-instrument',
    partition: ['instrumentKey', keys.instrumentTests(instrumentId)],
    // no letter of a number comes behind it: that day itself is left out
    between: ['testedSort', `${day}#~`, '~'],
  })
  return [...new Set(places.map(({ testedSort }) => String(testedSort).split('#')[1] ?? ''))].sort()
}

/** Reads keys alone, no more than `most`, in whatever order they lie. */
async function numbersIn({ table, keys }: OrganisationTable, range: Range, most: number): Promise<NumberPage> {
  const items: Item[] = []
  let after: Record<string, unknown> | undefined
  do {
    const page = await table.page({ ...range, limit: most - items.length, after })
    items.push(...page.items)
    after = page.next
  } while (after !== undefined && items.length < most)
  return { stickIds: items.map(({ pk }) => pk.slice(keys.stick('').length)), isAll: after === undefined }
}

/** Numbers of the sticks of a maker's lot. */
function numbersOfLot(place: OrganisationTable, lot: string, most: number): Promise<NumberPage> {
  return numbersIn(place, { index: 'by-lot', partition: ['lotKey', place.keys.lot(lot)] }, most)
}

function numbersOfCrew(place: OrganisationTable, crewId: string, most: number): Promise<NumberPage> {
  const { index, partition } = ofCrew(place.keys.crewSticks(crewId))
  return numbersIn(place, { ...(index === undefined ? {} : { index }), partition }, most)
}

/**
 * Numbers of the sticks at a depot of which somebody is to be told some day, by the ladder or by a change of their
 * standing: all that have a due date.
 */
async function numbersToBeTold(place: OrganisationTable, depotId: string | null, most: number): Promise<NumberPage> {
  const parts = [place.keys.depotTell(depotId), place.keys.depotChange(depotId)].map((key) =>
    numbersIn(place, { index: 'by-depot-next-tell', partition: ['depotTellKey', key] }, most),
  )
  const pages = await Promise.all(parts)
  return { stickIds: pages.flatMap(({ stickIds }) => stickIds), isAll: pages.every(({ isAll }) => isAll) }
}

/** The least key greater than this one. */
export function justAfter(key: string): string {
  return `${key}\u0000`
}

export function listsOfSticks(place: OrganisationTable) {
  const { table, keys } = place
  return {
    ...sharing(place, { dueToBeTold, dueToChange, untoldOf, crewPage, dueDates, testPlaces }),
    ...sharing(place, { numbersOfLot, numbersOfCrew, numbersToBeTold, testedWithAfter }),
    standingPage: (depotId: string | null, group: StandingGroup, range: Stretch) =>
      stickPage(table, standing(keys.depotStanding(depotId, group)), range),
    /** Sticks lent out, whatever their status, the soonest to be back first. */
    lentPage: (depotId: string | null, range: Stretch) => stickPage(table, lent(keys.depotLent(depotId)), range),
    /** Counts the keys there, no further than the limit. */
    standingCount: (depotId: string | null, group: StandingGroup, range: Stretch) =>
      table.count(rangeIn(standing(keys.depotStanding(depotId, group)), range)),
    crewCount: (crewId: string, range: Stretch) => table.count(rangeIn(ofCrew(keys.crewSticks(crewId)), range)),
  }
}
