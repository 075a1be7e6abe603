/** Sticks in the table: the folded state with what the indexes need, and the facts it is folded from. */
import type { CalendarDate, Instant } from '../../shared-domain/calendar.ts'
import type { KeptStick, Listing } from '../../shared-domain/listing.ts'
import type { OwedNotice } from '../../shared-domain/notices/notice.ts'
import type { Rules } from '../../shared-domain/policy/rules.ts'
import type { Relisted } from '../../shared-domain/relisting.ts'
import { shapeOfState } from '../../shared-domain/shape-of-state.ts'
import { changeIf, is } from './change.ts'
import type { Keys, OrganisationTable } from './keys.ts'
import { readEach } from './reading.ts'
import { sharing } from './sharing.ts'
import { factWrites, type NewFact, verbsOfFacts } from './stick-facts.ts'
import { asStored, type StoredStick, stickItem, unchangedSince } from './stick-item.ts'
import { listsOfSticks } from './stick-lists.ts'
import { owing, writeLeft } from './still-owed.ts'
import type { Key, Table, Write } from './table.ts'

export { bodyHash, type Guard, type NewFact, type Tested } from './stick-facts.ts'
export { asStored, type StoredStick } from './stick-item.ts'
export { justAfter, type NumberPage, type StickPage } from './stick-lists.ts'

/** The part of one stick in a transaction: all of it is written, or nothing. */
export interface Recorded {
  readonly before: StoredStick | undefined
  readonly next: KeptStick
  readonly listing: Listing
  readonly facts: readonly NewFact[]
  readonly rules: Rules
  readonly notices: readonly OwedNotice[]
}

async function stored({ table, keys }: OrganisationTable, stickId: string): Promise<StoredStick | undefined> {
  const item = await table.get(keys.state(stickId))
  return item === undefined ? undefined : asStored(item)
}

/** Sticks that are there and read; any other number is passed over. */
async function known({ table, keys }: OrganisationTable, stickIds: readonly string[]): Promise<StoredStick[]> {
  return readEach(await table.getAll([...new Set(stickIds)].map((id) => keys.state(id))), asStored)
}

/** Sticks of which the caller is about to say something: one that does not read fails the whole. */
async function fresh({ table, keys }: OrganisationTable, stickIds: readonly string[]): Promise<StoredStick[]> {
  return (await table.getAll(stickIds.map((id) => keys.state(id)))).map(asStored)
}

/**
 * Records in one transaction the facts under their ids, the state as it follows, and the notices they owe. `lost`:
 * somebody else wrote first, so begin again from what is stored now.
 */
async function record(place: OrganisationTable, one: Recorded, now: Instant): Promise<'recorded' | 'lost'> {
  return recordTogether(place, [one], { now, also: [] })
}

/** Records several sticks in one transaction, and `also` with them. */
async function recordTogether(
  place: OrganisationTable,
  all: readonly Recorded[],
  { now, also }: { readonly now: Instant; readonly also: readonly Write[] },
): Promise<'recorded' | 'lost'> {
  const always = [...all.flatMap((one) => writesOf(place, one, now)), ...also]
  const cause = all[0]?.facts.at(-1)?.fact.factId ?? ''
  const notices = all.flatMap((one) => one.notices)
  const { writes, left } = owing(place, { always, notices, cause, now })
  const { done } = await place.table.transact(writes)
  if (!done) return 'lost'
  await writeLeft(place, left)
  return 'recorded'
}

function writesOf(
  place: OrganisationTable,
  { before, next, rules, facts: added, listing }: Recorded,
  writtenAt: Instant,
): Write[] {
  const version = (before?.version ?? 0) + 1
  const stick = { ...next, writtenUnder: rules.id, shape: shapeOfState, version }
  return [
    ...added.flatMap((one) => factWrites(place, next.stickId, { ...one, writtenAt })),
    place.table.put(stickItem(place.keys, stick, listing), unchangedSince(before)),
  ]
}

/**
 * A stick that is brought back, as its facts and the word that its people had make it. `known` is the newest that is
 * known of how it was written. False where somebody else wrote it meanwhile.
 */
async function putBack(
  { table, keys }: OrganisationTable,
  { before, known }: { readonly before: StoredStick | undefined; readonly known: number },
  { next, listing, rules }: Relisted,
): Promise<boolean> {
  const version = Math.max(before?.version ?? 0, known) + 1
  const stick = { ...next, writtenUnder: rules.id, shape: shapeOfState, version }
  return (await table.transact([table.put(stickItem(keys, stick, listing), unchangedSince(before))])).done
}

function relistedWrite(
  { table, keys }: OrganisationTable,
  before: StoredStick,
  { next, listing, rules }: Relisted,
): Write {
  const after = { ...before, ...next, writtenUnder: rules.id, version: before.version + 1 }
  return table.put(stickItem(keys, after, listing), unchangedSince(before))
}

/** The telling of a stick's crew in a round: how far they are told by it, and in which notices. */
interface Telling {
  readonly day: CalendarDate
  readonly notices: readonly string[]
  readonly filedElsewhere: boolean
  readonly round: string
  readonly now: Instant
}

/**
 * Remembers how far a stick's crew was told, and in which notices. The notices are named beside the crew too where
 * one of them is filed under another crew.
 */
function toldWrites(
  place: OrganisationTable,
  before: StoredStick,
  { relisted, ...entry }: Telling & { readonly relisted: Relisted },
): Write[] {
  const key = place.keys.told(before.stickId, entry.day, entry.round)
  return [relistedWrite(place, before, relisted), pointerWrite(place, before, { ...entry, key })]
}

/**
 * A pointer to notices that name the stick. It lies beside the stick, and beside its crew where they are filed under
 * another.
 */
function pointerWrite(
  { table, keys }: OrganisationTable,
  { stickId, state: { crewId } }: StoredStick,
  { key, notices, filedElsewhere, now }: Omit<Telling, 'day' | 'round'> & { readonly key: Key },
): Write {
  return table.put({
    ...key,
    entity: 'told',
    notices,
    noticeStickKey: keys.noticesOfStick(stickId),
    ...(filedElsewhere ? { noticeCrewKey: keys.noticesOfCrew(crewId) } : {}),
    owedAt: now,
  })
}

/** The pointer to a list of silence that names the stick. */
function silenceWrite(
  place: OrganisationTable,
  stored: StoredStick,
  list: { day: CalendarDate; number: string; now: Instant },
): Write {
  const key = place.keys.told(stored.stickId, list.day, `silence ${list.number}`)
  return pointerWrite(place, stored, { key, notices: [list.number], filedElsewhere: true, now: list.now })
}

/** The pointer to the notices of a reminder that name the stick, which itself stays as it is. */
function remindedWrite(
  place: OrganisationTable,
  stored: StoredStick,
  told: { day: CalendarDate; factId: string; numbers: readonly string[]; now: Instant },
): Write {
  const key = place.keys.told(stored.stickId, told.day, `reminder ${told.factId}`)
  return pointerWrite(place, stored, { key, notices: told.numbers, filedElsewhere: true, now: told.now })
}

/** The state of a stick of which texts were erased: nothing else of it is another. */
export function refoldedWrite(
  { table, keys }: OrganisationTable,
  { stickId, version }: StoredStick,
  state: StoredStick['state'],
): Write {
  return table.change(keys.state(stickId), changeIf({ set: { state }, add: { version: 1 } }, is('version', version)))
}

export function openSticks(table: Table, keys: Keys, organisation: string) {
  const place: OrganisationTable = { table, keys, name: organisation }
  return {
    ...sharing(place, verbsOfFacts),
    ...listsOfSticks(place),
    ...sharing(place, { stored, known, fresh, record, recordTogether, silenceWrite, remindedWrite, relistedWrite }),
    ...sharing(place, { putBack }),
    toldWrites: (before: StoredStick, relisted: Relisted, telling: Telling) =>
      toldWrites(place, before, { ...telling, relisted }),
  }
}

/**
 * Notes that somebody of the crew knows of the hold that `about` names. The write fails where the stick was told of
 * anew since, or where that hold is no more.
 */
export function confirmedWrite({ table, keys }: OrganisationTable, stickId: string, about: string): Write {
  const change = {
    take: { held: 'heldOnceConfirmed', standingSort: 'sortOnceConfirmed' },
    add: { version: 1 },
    remove: ['toConfirm', 'heldOnceConfirmed', 'sortOnceConfirmed'],
  }
  return table.change(keys.state(stickId), changeIf(change, is('toConfirm', about)))
}
