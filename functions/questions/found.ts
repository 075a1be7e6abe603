/**
 * Sticks looked for by any part of their number, or by their lot. No list has numbers in order of their parts, so keys
 * are looked through, as far as a search may go, and it is said where it stopped. Only what matches is read.
 */
import { noDueDate, type StandingGroup, standingGroups } from '../../shared-domain/listing.ts'
import type { NumberPage, StickPage, StoredStick } from '../store/sticks.ts'
import type { Asker } from './asker.ts'

export interface Sought {
  readonly part?: string | undefined
  readonly lot?: string | undefined
  /** what of the fleet is looked through */
  readonly among: { readonly crewId: string } | { readonly depotIds: readonly (string | null)[] }
}

export interface Searched {
  /** the number of sticks whose numbers were looked at */
  readonly looked: number
  /** nothing was left out: neither a number that was not looked at, nor a stick that matches */
  readonly isAll: boolean
}

export interface Found extends Searched {
  readonly sticks: readonly StoredStick[]
}

/** A key takes about 150 bytes, so that a search reads 3 MB of keys at a depot. */
const mostKeys = 20_000
/** Sticks without a due date lie on lists that hold the whole of them, about 3 KB each. */
const mostOnList = 1000
/** Whoever finds more than these types more of the number. */
export const mostFound = 500
const depotsAtOnce = 8

export async function findSticks(asker: Asker, sought: Sought): Promise<Found> {
  const numbers = await numbersAmong(asker, sought)
  const matching = numbers.stickIds.filter(partOf(sought.part ?? ''))
  const read = await asker.organisation.sticks.known(matching.slice(0, mostFound))
  return {
    sticks: read.filter((stored) => isAmong(sought, stored)),
    looked: numbers.stickIds.length,
    isAll: numbers.isAll && matching.length <= mostFound,
  }
}

function partOf(part: string): (stickId: string) => boolean {
  const folded = part.toLowerCase()
  return (stickId) => stickId.toLowerCase().includes(folded)
}

/** A key may show a stick where it was a moment ago. */
function isAmong({ among, lot }: Sought, { depotId, state }: StoredStick): boolean {
  if (lot !== undefined && state.registrations.at(-1)?.stick.lot !== lot) return false
  return 'crewId' in among ? state.crewId === among.crewId : among.depotIds.includes(depotId)
}

function numbersAmong(asker: Asker, { lot, among }: Sought): Promise<NumberPage> {
  const { sticks } = asker.organisation
  if (lot !== undefined) return sticks.numbersOfLot(lot, mostKeys)
  return 'crewId' in among ? sticks.numbersOfCrew(among.crewId, mostKeys) : numbersAtDepots(asker, among.depotIds)
}

/** Depots are looked through a few at a time, until the search has gone as far as it may. */
async function numbersAtDepots(asker: Asker, depotIds: readonly (string | null)[]): Promise<NumberPage> {
  const stickIds = new Set<string>()
  let isAll = true
  for (let i = 0; i < depotIds.length; i += depotsAtOnce) {
    if (stickIds.size >= mostKeys) return { stickIds: [...stickIds], isAll: false }
    const some = depotIds.slice(i, i + depotsAtOnce)
    for (const page of await Promise.all(some.map((id) => numbersAt(asker, id)))) {
      for (const stickId of page.stickIds) stickIds.add(stickId)
      isAll &&= page.isAll
    }
  }
  return { stickIds: [...stickIds], isAll }
}

async function numbersAt(asker: Asker, depotId: string | null): Promise<NumberPage> {
  const { sticks } = asker.organisation
  const pages = await Promise.all([
    sticks.numbersToBeTold(depotId, mostKeys),
    ...standingGroups.map((group) => numbersOnList((range) => sticks.standingPage(depotId, group, range), group)),
  ])
  return { stickIds: pages.flatMap(({ stickIds }) => stickIds), isAll: pages.every(({ isAll }) => isAll) }
}

/**
 * A list is read page by page, since a page ends at a megabyte. Of usable sticks those with a date are told by keys.
 */
async function numbersOnList(
  read: (range: { from: string; to: string; limit: number }) => Promise<StickPage>,
  group: StandingGroup,
): Promise<NumberPage> {
  const stickIds: string[] = []
  for (let from: string | null = group === 'usable' ? noDueDate : '0'; from !== null; ) {
    if (stickIds.length >= mostOnList) return { stickIds, isAll: false }
    const page: StickPage = await read({ from, to: '~', limit: mostOnList - stickIds.length })
    stickIds.push(...page.sticks.map(({ stickId }) => stickId))
    from = page.next
  }
  return { stickIds, isAll: true }
}
