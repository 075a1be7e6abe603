/** Sticks in the table: the folded state with what the indexes need, and the facts it is folded from. */
import { createHash } from 'node:crypto'
import { isDeepStrictEqual } from 'node:util'
import type { CalendarDate, Instant } from '../../shared-domain/calendar.ts'
import type { RecordedFact } from '../../shared-domain/facts.ts'
import type { KeptStick, Listing, StandingGroup } from '../../shared-domain/listing.ts'
import { longUntold } from '../../shared-domain/notices/change.ts'
import type { OwedNotice } from '../../shared-domain/notices/notice.ts'
import type { Rules } from '../../shared-domain/policy/rules.ts'
import type { Stick } from '../../shared-domain/registers.ts'
import type { Relisted } from '../../shared-domain/relisting.ts'
import { packed, unpacked } from '../../shared-domain/state/logged-uses.ts'
import { shapeOfState } from '../../shared-domain/state/shape.ts'
import { initial, type StickState } from '../../shared-domain/state/state.ts'
import { changeIf, eitherOf, is, isNew, isThere, onlyIf } from './change.ts'
import type { Keys, OrganisationTable } from './keys.ts'
import { readEach, readerOf } from './reading.ts'
import { canonical } from './registers.ts'
import { owing, writeLeft } from './still-owed.ts'
import type { Item, Key, Range, Table, Write } from './table.ts'

export interface StoredStick extends KeptStick {
  /** the rules under which it was written, by their id */
  readonly writtenUnder: string | null
  /** which shape of state it holds: one of an earlier build is folded anew from its facts with the next one */
  readonly shape: number
  /** rises with every write of this item */
  readonly version: number
}

/** A fact to be written, under its id. */
export interface NewFact {
  readonly fact: RecordedFact
  readonly bodyHash: string
  /** of a bench test: no copy of it is ever recorded */
  readonly likeness?: string | undefined
  /** of a report that waited: what says that it is placed */
  readonly placed?: Write | undefined
  /** its id was kept for it while it waited */
  readonly hasWaited?: boolean
  /** what else is written with it */
  readonly also?: readonly Write[] | undefined
}

const isCorrected = (one: readonly [string, string | undefined]): one is readonly [string, string] =>
  one[1] !== undefined

/** A fact that stands no more. */
interface Struck {
  readonly slip: RecordedFact
  /** of a bench test */
  readonly likeness: string | undefined
  readonly correctedBy: string
}

/** What is written of one stick: all of it or nothing. */
export interface Recorded {
  readonly before: StoredStick | undefined
  readonly next: KeptStick
  readonly listing: Listing
  readonly facts: readonly NewFact[]
  readonly rules: Rules
  readonly notices: readonly OwedNotice[]
}

export type Tested = Extract<RecordedFact, { readonly kind: 'tested' }>

/** Which facts were accepted under which of the caller's ids, and from what body. */
export interface Guard {
  /** not yet known of a report that waits for somebody to say which stick it is about */
  readonly stickId?: string
  readonly seq?: number
  readonly bodyHash: string
  /** of a fact that was a slip: the correction that says so */
  readonly correctedBy?: string
}

/** A part of a list, between two of its keys, and no more than so many. */
interface Stretch {
  readonly from: string
  readonly to: string
  readonly limit: number
}

export interface StickPage {
  readonly sticks: readonly StoredStick[]
  /** where to go on; null when there is no more */
  readonly next: string | null
}

/** An earlier build may have left out what is not named here. */
type EverKept = Partial<StoredStick> & Pick<StoredStick, 'stickId' | 'state' | 'told' | 'depotId' | 'version'>

const asStick = readerOf<EverKept>('stick', {
  stickId: 'text',
  state: 'map',
  told: ['map', 'null'],
  loanTold: ['map', 'absent'],
  labelTold: ['map', 'absent'],
  depotId: ['text', 'null'],
  seen: ['text', 'absent'],
  untold: ['text', 'absent'],
  shownDueOn: ['text', 'null', 'absent'],
  broughtForwardFrom: ['text', 'null', 'absent'],
  writtenUnder: ['text', 'null', 'absent'],
  shape: ['number', 'absent'],
  recorded: ['number', 'absent'],
  version: 'number',
  held: ['map', 'absent'],
})
const asFact = readerOf<{ readonly fact: RecordedFact }>('fact', { fact: 'map' })
const asGuard = readerOf<Guard>('guard', {
  stickId: ['text', 'absent'],
  seq: ['number', 'absent'],
  bodyHash: 'text',
  correctedBy: ['text', 'absent'],
})
const asLikeness = readerOf<{ readonly factId: string; readonly struck?: string }>('likeness', {
  factId: 'text',
  struck: ['text', 'absent'],
})

/** Of 20 KB each they are a small part of what a function has. */
const sticksOnPage = 100

export function openSticks(table: Table, keys: Keys, organisation: string) {
  async function stored(stickId: string): Promise<StoredStick | undefined> {
    const item = await table.get(keys.state(stickId))
    return item === undefined ? undefined : asStored(item)
  }

  async function facts(stickId: string): Promise<RecordedFact[]> {
    const items = await table.all({
      partition: ['pk', keys.stick(stickId)],
      between: ['sk', 'FACT#', 'FACT#~'],
      consistent: true,
    })
    return items.map((item) => asFact(item).fact)
  }

  async function fact(stickId: string, seq: number): Promise<RecordedFact | undefined> {
    const item = await table.get(keys.fact(stickId, seq))
    return item === undefined ? undefined : asFact(item).fact
  }

  /** Its entry on the register that is this of its facts. */
  async function entry(stickId: string, seq: number): Promise<Stick | undefined> {
    const entered = await fact(stickId, seq)
    return entered?.kind === 'registered' ? entered.stick : undefined
  }

  /** Of a day and later, by whichever stick; the index keeps keys alone. */
  async function testsFrom(instrumentId: string, day: CalendarDate): Promise<Tested[]> {
    const places = await table.all({
      index: 'by-instrument',
      partition: ['instrumentKey', keys.instrumentTests(instrumentId)],
      between: ['testedSort', day, '~'],
    })
    return readEach(await table.getAll(places), asFact).flatMap(({ fact }) => (fact.kind === 'tested' ? [fact] : []))
  }

  /** Of every stick tested with one of these instruments which of its facts is its newest test; keys alone are read. */
  async function newestTests(instrumentIds: readonly string[]): Promise<ReadonlyMap<string, number>> {
    const newest = new Map<string, { readonly day: string; readonly seq: number }>()
    for (const instrumentId of instrumentIds) {
      const places = await table.all({
        index: 'by-instrument',
        partition: ['instrumentKey', keys.instrumentTests(instrumentId)],
        between: ['testedSort', '0', '~'],
      })
      for (const { testedSort } of places) {
        const [day = '', stickId = '', seq = ''] = String(testedSort).split('#')
        const known = newest.get(stickId)
        const isNewer = known === undefined || day > known.day || (day === known.day && Number(seq) > known.seq)
        if (isNewer) newest.set(stickId, { day, seq: Number(seq) })
      }
    }
    return new Map([...newest].map(([stickId, { seq }]) => [stickId, seq]))
  }

  async function guard(factId: string): Promise<Guard | undefined> {
    const item = await table.get(keys.guard(factId))
    return item === undefined ? undefined : asGuard(item)
  }

  /** Of these facts the ones that were slips, each with the correction that says so. */
  async function slipsAmong(factIds: readonly string[]): Promise<ReadonlyMap<string, string>> {
    if (factIds.length === 0) return new Map()
    const different = [...new Set(factIds)]
    const items = await table.getAll(different.map((id) => keys.guard(id)))
    const byKey = new Map(items.map((item) => [item.pk, asGuard(item).correctedBy]))
    return new Map(different.flatMap((id) => [[id, byKey.get(keys.guard(id).pk)] as const]).filter(isCorrected))
  }

  /** Its id is taken, and of which stick it is is not yet known, or not yet so. */
  function waitingWrite(factId: string, hash: string): Write {
    return table.putNew({ ...keys.guard(factId), entity: 'guard', bodyHash: hash })
  }

  /** The test of this stick that is equal to one with this likeness in everything but its id, by that id. */
  async function copyOf(stickId: string, likeness: string): Promise<string | undefined> {
    const item = await table.get(keys.likeness(stickId, likeness))
    const known = item === undefined ? undefined : asLikeness(item)
    return known?.struck === undefined ? known?.factId : undefined
  }

  /**
   * One transaction: the facts under their ids, the state as it follows, the notices they owe. `lost`: somebody else wrote
   * first, so begin again from what is stored now.
   */
  async function record(one: Recorded, now: Instant): Promise<'recorded' | 'lost'> {
    return recordTogether([one], { now, also: [] })
  }

  /** The same of several sticks at once. */
  async function recordTogether(
    all: readonly Recorded[],
    { now, also }: { readonly now: Instant; readonly also: readonly Write[] },
  ): Promise<'recorded' | 'lost'> {
    const always = [...all.flatMap(writesOf), ...also]
    const place: OrganisationTable = { table, keys, name: organisation }
    const cause = all[0]?.facts.at(-1)?.fact.factId ?? ''
    const notices = all.flatMap((one) => one.notices)
    const { writes, left } = owing(place, { always, notices, cause, now })
    const { done } = await table.transact(writes)
    if (!done) return 'lost'
    await writeLeft(place, left)
    return 'recorded'
  }

  function writesOf({ before, next, rules, facts: added, listing }: Recorded): Write[] {
    const version = (before?.version ?? 0) + 1
    const stick = { ...next, writtenUnder: rules.id, shape: shapeOfState, version }
    return [
      ...added.flatMap((one) => factWrites(next.stickId, one)),
      table.put(item(stick, listing), unchangedSince(before)),
    ]
  }

  /** What stands no more is found by no instrument, and may be recorded again. */
  function struckWrites(stickId: string, { slip: { factId, seq }, likeness, correctedBy }: Struck): Write[] {
    return [
      table.change(keys.guard(factId), changeIf({ set: { correctedBy } }, isThere('pk'))),
      ...(likeness === undefined
        ? []
        : [
            table.change(keys.fact(stickId, seq), changeIf({ remove: ['instrumentKey', 'testedSort'] }, isThere('pk'))),
            table.change(keys.likeness(stickId, likeness), changeIf({ set: { struck: 'yes' } }, isThere('pk'))),
          ]),
    ]
  }

  function factWrites(
    stickId: string,
    { fact, bodyHash: hash, likeness, placed, hasWaited, also = [] }: NewFact,
  ): Write[] {
    const { factId, seq } = fact
    const guard = { ...keys.guard(factId), entity: 'guard' as const, stickId, seq, bodyHash: hash }
    return [
      table.putNew({ ...keys.fact(stickId, seq), entity: 'fact', fact, ...instrumentIndex(stickId, fact) }),
      // a report that waited has kept its id all the while
      placed === undefined && !hasWaited ? table.putNew(guard) : table.put(guard),
      ...(likeness === undefined
        ? []
        : [
            table.put(
              { ...keys.likeness(stickId, likeness), entity: 'likeness', factId },
              onlyIf(eitherOf(isNew, is('struck', 'yes'))),
            ),
          ]),
      ...(placed === undefined ? [] : [placed]),
      ...also,
    ]
  }

  /**
   * Remembers how far a stick's crew was told, and in which notices; beside the crew too where one of them is filed under
   * another crew.
   */
  function toldWrites(
    before: StoredStick,
    relisted: Relisted,
    entry: {
      day: CalendarDate
      notices: readonly string[]
      filedElsewhere: boolean
      round: string
      now: Instant
    },
  ): Write[] {
    const key = keys.told(before.stickId, entry.day, entry.round)
    return [relistedWrite(before, relisted), pointerWrite(before, { ...entry, key })]
  }

  /** Beside a stick, and its crew where they are filed under another: notices that name it. */
  function pointerWrite(
    { stickId, state: { crewId } }: StoredStick,
    {
      key,
      notices,
      filedElsewhere,
      now,
    }: { key: Key; notices: readonly string[]; filedElsewhere: boolean; now: Instant },
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

  /** Of a list of silence that names it. */
  function silenceWrite(stored: StoredStick, list: { day: CalendarDate; number: string; now: Instant }): Write {
    const key = keys.told(stored.stickId, list.day, `silence ${list.number}`)
    return pointerWrite(stored, { key, notices: [list.number], filedElsewhere: true, now: list.now })
  }

  /** Those that are there and read. */
  async function known(stickIds: readonly string[]): Promise<StoredStick[]> {
    return readEach(await table.getAll([...new Set(stickIds)].map((id) => keys.state(id))), asStored)
  }

  function relistedWrite(before: StoredStick, { next, listing, rules }: Relisted): Write {
    const after = { ...before, ...next, writtenUnder: rules.id, version: before.version + 1 }
    return table.put(item(after, listing), unchangedSince(before))
  }

  function item(stick: StoredStick, listing: Listing): Item {
    const { group, place, held, onceConfirmed, returnBy, nextTellOn, changesByItself } = listing
    const { stickId, state, depotId } = stick
    const tellKey = changesByItself ? keys.depotChange(depotId) : keys.depotTell(depotId)
    const lot = state.registrations.at(-1)?.stick.lot
    return {
      ...keys.state(stickId),
      entity: 'stick',
      ...stick,
      state: asKept(state),
      broughtForwardFrom: stick.broughtForwardFrom ?? undefined,
      // of a stick of which nothing was taken back
      recorded: stick.recorded === state.facts ? undefined : stick.recorded,
      // what is held no more and nobody was told of: whoever tells it asks whether they knew of the hold
      held: held ?? (stick.untold === undefined ? undefined : stick.held),
      depotStandingKey: keys.depotStanding(depotId, group),
      standingSort: place,
      // beside a held stick, so that whoever takes the confirmation reads nothing of the stick
      ...(onceConfirmed === undefined
        ? {}
        : {
            toConfirm: onceConfirmed.about,
            heldOnceConfirmed: onceConfirmed.held,
            sortOnceConfirmed: onceConfirmed.place,
          }),
      ...(returnBy === null ? {} : { depotLentKey: keys.depotLent(depotId), returnSort: `${returnBy}#${stickId}` }),
      ...(nextTellOn === null ? {} : { depotTellKey: tellKey, nextTellOn: `${nextTellOn}#${stickId}` }),
      ...(state.crewId === null ? {} : { crewKey: keys.crewSticks(state.crewId) }),
      ...(lot === undefined ? {} : { lotKey: keys.lot(lot) }),
    }
  }

  function instrumentIndex(stickId: string, fact: RecordedFact): Record<string, string> {
    if (fact.kind !== 'tested') return {}
    return {
      instrumentKey: keys.instrumentTests(fact.test.instrumentId),
      testedSort: `${fact.occurredOn}#${stickId}#${fact.seq}`,
    }
  }

  /** A page at a time, the longest untold first. */
  async function* dueToBeTold(
    depotIds: readonly (string | null)[],
    through: CalendarDate,
  ): AsyncGenerator<readonly StoredStick[]> {
    for (const key of depotIds.flatMap((id) => [keys.depotChange(id), keys.depotTell(id)])) yield* pagesAt(key, through)
  }

  async function* pagesAt(key: string, through: CalendarDate): AsyncGenerator<readonly StoredStick[]> {
    let after: Record<string, unknown> | undefined
    do {
      const { items, next } = await table.page({ ...lookedAtBy(key, through), limit: sticksOnPage, after })
      yield await stillThere(items, key, through)
      after = next
    } while (after !== undefined)
  }

  /** Of those that a day alone changes the ones that are to be looked at: it may have come. */
  async function dueToChange(depotId: string | null, through: CalendarDate): Promise<StoredStick[]> {
    const key = keys.depotChange(depotId)
    return stillThere(await table.all(lookedAtBy(key, through)), key, through)
  }

  /**
   * As they are by now: the index keeps keys alone. What has moved on, or to another depot, which the index may not show yet, is
   * none of it.
   */
  async function stillThere(places: readonly Item[], key: string, through: CalendarDate): Promise<StoredStick[]> {
    const found = new Map((await table.getAll(places)).map((item) => [item.pk, item]))
    const items = places.flatMap(({ pk }) => found.get(pk) ?? [])
    return readEach(
      items.filter(({ depotTellKey, nextTellOn }) => depotTellKey === key && String(nextTellOn) <= `${through}#~`),
      asStored,
    )
  }

  const lookedAtBy = (key: string, through: CalendarDate): Range => ({
    index: 'by-depot-next-tell',
    partition: ['depotTellKey', key],
    between: ['nextTellOn', '0', `${through}#~`],
  })

  /** Those that other rules have changed, and nobody was told of that yet; a page at a time. */
  async function* untoldOf(
    depotIds: readonly (string | null)[],
  ): AsyncGenerator<{ readonly depotId: string | null; readonly sticks: readonly StoredStick[] }> {
    for (const depotId of depotIds) {
      for await (const sticks of pagesAt(keys.depotChange(depotId), longUntold))
        yield { depotId, sticks: sticks.filter(({ untold }) => untold !== undefined) }
    }
  }

  /** Who asks is about to say something of them: one that does not read fails the whole. */
  async function fresh(stickIds: readonly string[]): Promise<StoredStick[]> {
    return (await table.getAll(stickIds.map((id) => keys.state(id)))).map(asStored)
  }

  async function stickPage(range: Range & { readonly between: readonly [string, string, string] }): Promise<StickPage> {
    const { items, next } = await table.page(range)
    const last = items.at(-1)?.[range.between[0]]
    return {
      sticks: readEach(items, asStored),
      next: next === undefined || last === undefined ? null : justAfter(String(last)),
    }
  }

  /** Those lent out, whatever their status; the soonest to be back first. */
  function lentPage(depotId: string | null, range: Stretch): Promise<StickPage> {
    return stickPage({
      index: 'by-depot-return',
      partition: ['depotLentKey', keys.depotLent(depotId)],
      between: ['returnSort', range.from, range.to],
      limit: range.limit,
    })
  }

  /** How many keys lie there, counted no further than the limit. */
  function standingCount(depotId: string | null, group: StandingGroup, range: Stretch): Promise<number> {
    return table.count({
      index: 'by-depot-standing',
      partition: ['depotStandingKey', keys.depotStanding(depotId, group)],
      between: ['standingSort', range.from, range.to],
      limit: range.limit,
    })
  }

  function crewCount(crewId: string, range: Stretch): Promise<number> {
    return table.count({
      index: 'by-crew-standing',
      partition: ['crewKey', keys.crewSticks(crewId)],
      between: ['standingSort', range.from, range.to],
      limit: range.limit,
    })
  }

  function standingPage(depotId: string | null, group: StandingGroup, range: Stretch): Promise<StickPage> {
    return stickPage({
      index: 'by-depot-standing',
      partition: ['depotStandingKey', keys.depotStanding(depotId, group)],
      between: ['standingSort', range.from, range.to],
      limit: range.limit,
    })
  }

  /** As they are by now: the index keeps keys alone. One that has left the crew, which the index may not show yet, is none of it. */
  async function crewPage(crewId: string, range: Stretch): Promise<StickPage> {
    const crewKey = keys.crewSticks(crewId)
    const { items, next } = await table.page({
      index: 'by-crew-standing',
      partition: ['crewKey', crewKey],
      between: ['standingSort', range.from, range.to],
      limit: range.limit,
    })
    const found = new Map((await table.getAll(items)).map((item) => [item.pk, item]))
    const present = items.flatMap(({ pk }) => found.get(pk) ?? []).filter((item) => item.crewKey === crewKey)
    const last = items.at(-1)?.standingSort
    return {
      sticks: readEach(present, asStored),
      next: next === undefined || last === undefined ? null : justAfter(String(last)),
    }
  }

  return {
    stored,
    facts,
    fact,
    entry,
    testsFrom,
    newestTests,
    guard,
    copyOf,
    record,
    recordTogether,
    struckWrites,
    waitingWrite,
    slipsAmong,
    toldWrites,
    silenceWrite,
    known,
    relistedWrite,
    dueToBeTold,
    dueToChange,
    untoldOf,
    fresh,
    standingPage,
    crewPage,
    lentPage,
    standingCount,
    crewCount,
  }
}

/** Somebody of the crew knows of the hold that `about` names. Fails where it was told anew since, or is no more. */
export function confirmedWrite({ table, keys }: OrganisationTable, stickId: string, about: string): Write {
  const change = {
    take: { held: 'heldOnceConfirmed', standingSort: 'sortOnceConfirmed' },
    add: { version: 1 },
    remove: ['toConfirm', 'heldOnceConfirmed', 'sortOnceConfirmed'],
  }
  return table.change(keys.state(stickId), changeIf(change, is('toConfirm', about)))
}

/** The least key greater than this one. */
export function justAfter(key: string): string {
  return `${key}\u0000`
}

/**
 * A stick without what the table keeps beside it for its lists, which is worked out anew at every write. What an earlier
 * build did not keep reads as nothing known, and what is not known is never to a stick's favour.
 */
function asStored(item: unknown): StoredStick {
  const { stickId, state, told, depotId, version, loanTold, labelTold, held, seen, untold, ...rest } = asStick(item)
  return {
    stickId,
    state: { ...initial, ...state, uses: usesOf(state.uses) },
    told,
    depotId,
    shownDueOn: rest.shownDueOn ?? null,
    broughtForwardFrom: rest.broughtForwardFrom ?? null,
    writtenUnder: rest.writtenUnder ?? null,
    shape: rest.shape ?? 1,
    recorded: rest.recorded ?? state.facts,
    version,
    ...(loanTold === undefined ? {} : { loanTold }),
    ...(labelTold === undefined ? {} : { labelTold }),
    ...(held === undefined ? {} : { held }),
    ...(seen === undefined ? {} : { seen }),
    ...(untold === undefined ? {} : { untold }),
  }
}

/** Without what is as it was in the beginning, and with its uses as one text: a stick that is used every day is written every day. */
function asKept(state: StickState): Record<string, unknown> {
  const begun = Object.entries(state).filter(
    ([name, value]) => !isDeepStrictEqual(value, initial[name as keyof StickState]),
  )
  return Object.fromEntries(begun.map(([name, value]) => [name, name === 'uses' ? packed(state.uses) : value]))
}

/** Earlier builds kept a list. */
function usesOf(kept: unknown): StoredStick['state']['uses'] {
  return typeof kept === 'string' ? unpacked(kept) : ((kept as StoredStick['state']['uses'] | undefined) ?? [])
}

function unchangedSince(before: StoredStick | undefined) {
  return onlyIf(before === undefined ? isNew : is('version', before.version))
}

export function bodyHash(kind: string, stickId: string, body: unknown): string {
  return createHash('sha256').update(canonical({ kind, stickId, body })).digest('base64url')
}
