/**
 * Fills an organisation that has nothing from its archive, by the same folding as a table that was lost. Nothing that
 * is there is ever written over. Nobody can sign in, and no morning comes to a depot, before all else is there. Broken
 * off, it is begun again with the same archive.
 */
import type { Instant } from '../../shared-domain/calendar.ts'
import type { JournalLine } from '../store/journal.ts'
import { asNotice } from '../store/notices.ts'
import { type Organisation, openOrganisation } from '../store/organisation.ts'
import { beginToRefill, noteRefilled } from '../store/refilled-mark.ts'
import type { Item, Table } from '../store/table.ts'
import { accountsQueue, type Entity } from '../store/table-shape.ts'
import { checkArchive, isOf, linesOf, type Sealed } from './archive.ts'
import { foldedBack } from './folded-back.ts'

export interface FillingIn extends Sealed {
  readonly table: Table
  /** every item of the table, in any order */
  readonly scan: () => AsyncIterable<Item>
  /** the lines of the archive, from the first one with each call */
  readonly lines: () => AsyncIterable<string>
  readonly now: Instant
}

export interface FilledFrom {
  readonly items: number
  readonly sticks: number
  /** notices of which nobody knows whether they were sent from where the archive was taken */
  readonly unknown: number
  /** addresses that another organisation has by now: their people cannot sign in */
  readonly taken: number
}

export type Refilled = FilledFrom | 'not empty' | 'filled before'

/** Written last: by these people sign in, mornings come, and facts get their places in the tree. */
const last: readonly Entity[] = ['address', 'owners', 'accounts owed', 'depot pointer', 'tree']

const atOnce = 25

export async function fillFrom(filling: FillingIn): Promise<Refilled> {
  const { table, organisation: name, seal, now } = filling
  await checkArchive(filling.lines(), filling)
  const organisation = openOrganisation(table, name)
  const begun = await beginToRefill(organisation, { seal, now, isEmpty: () => isEmpty(filling) })
  if (begun !== 'begun') return begun
  const found: Found = { sticks: new Map(), late: [], items: 0, unknown: 0 }
  await inLots(linesOf(filling.lines()), (line) => filledIn(organisation, line, found))
  // rules and depots are read once they are there
  const filled = openOrganisation(table, name)
  await inLots(found.sticks, ([stickId, kept]) => foldedBack({ organisation: filled, now }, stickId, kept))
  let taken = 0
  for (const item of found.late) if (!(await filledLast(table, item, filling))) taken += 1
  await noteRefilled(organisation, now)
  return { items: found.items + found.late.length, sticks: found.sticks.size, unknown: found.unknown, taken }
}

async function isEmpty({ scan, organisation }: FillingIn): Promise<boolean> {
  for await (const item of scan()) if (isOf(item, organisation)) return false
  return true
}

interface Found {
  /** sticks with what the archive says of how far their people were told */
  readonly sticks: Map<string, Item | undefined>
  readonly late: Item[]
  items: number
  unknown: number
}

async function filledIn({ table, notices }: Organisation, { entity, item }: JournalLine, found: Found): Promise<void> {
  const stickId = item.pk.split('#STICK#')[1]
  if (entity === 'stick' && stickId !== undefined) found.sticks.set(stickId, item)
  else if (entity === 'fact' && stickId !== undefined && !found.sticks.has(stickId))
    found.sticks.set(stickId, undefined)
  if (entity === 'stick') return
  if (last.includes(entity)) {
    found.late.push(item)
    return
  }
  found.items += 1
  if (entity !== 'notice') {
    await table.transact([table.putNew(item)])
    return
  }
  const notice = asNotice(item)
  const maybeSent = notice.state === 'owed' || notice.state === 'claimed'
  // in no queue, so that nobody sends it before it is noted that nobody knows
  const { queue: _, queueAt: __, ...resting } = item
  await table.transact([table.putNew(maybeSent ? (resting as Item) : item)])
  if (maybeSent || notice.state === 'unknown whether sent') found.unknown += 1
  if (maybeSent) await notices.noteUnknown(notice)
}

/** Answers false for an address that is another organisation's. */
async function filledLast(table: Table, item: Item, { organisation, now }: FillingIn): Promise<boolean> {
  const owed = item.entity === 'accounts owed' ? { ...item, queue: accountsQueue, queueAt: now } : item
  if ((await table.transact([table.putNew(owed)])).done || item.entity !== 'address') return true
  return (await table.get({ pk: item.pk, sk: item.sk }))?.organisation === organisation
}

async function inLots<T>(all: AsyncIterable<T> | Iterable<T>, work: (one: T) => Promise<unknown>): Promise<void> {
  let lot: T[] = []
  for await (const one of all) {
    lot.push(one)
    if (lot.length < atOnce) continue
    await Promise.all(lot.map(work))
    lot = []
  }
  await Promise.all(lot.map(work))
}
