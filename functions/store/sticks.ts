/** Sticks in the table: the folded state with what the indexes need, and the facts it is folded from. */
import { createHash } from 'node:crypto'
import { isDeepStrictEqual } from 'node:util'
import type { CalendarDate, Instant } from '../../shared-domain/calendar.ts'
import { canonical } from '../../shared-domain/canonical.ts'
import type { RecordedFact } from '../../shared-domain/facts.ts'
import type { KeptStick, Listing, StandingGroup } from '../../shared-domain/listing.ts'
import { longUntold } from '../../shared-domain/notices/change.ts'
import type { OwedNotice } from '../../shared-domain/notices/notice.ts'
import type { Rules } from '../../shared-domain/policy/rules.ts'
import type { Stick } from '../../shared-domain/registers.ts'
import type { Relisted } from '../../shared-domain/relisting.ts'
import { shapeOfState } from '../../shared-domain/shape-of-state.ts'
import { packed, unpacked } from '../../shared-domain/state/logged-uses.ts'
import { initial, type StickState } from '../../shared-domain/state/state.ts'
import { changeIf, eitherOf, is, isNew, isThere, onlyIf } from './change.ts'
import type { Keys, OrganisationTable } from './keys.ts'
import { readEach, readerOf } from './reading.ts'
import { owing, writeLeft } from './still-owed.ts'
import type { Item, Key, Range, Table, Write } from './table.ts'

export interface StoredStick extends KeptStick {
  /** the rules under which it was written, by their id */
  readonly writtenUnder: string | null
  /** the shape of its state: a state of an earlier build is folded anew from its facts with the next fact */
  readonly shape: number
  /** rises with every write of this item */
  readonly version: number
}

/** A fact to be written, under its id. */
export interface NewFact {
  readonly fact: RecordedFact
  readonly bodyHash: string
  /** the likeness of a bench test, so that no copy of it is ever recorded */
  readonly likeness?: string | undefined
  /** the write that says that a waiting report is placed */
  readonly placed?: Write | undefined
  /** the fact's id was kept for it while it waited */
  readonly hasWaited?: boolean
  /** further writes of the same transaction */
  readonly also?: readonly Write[] | undefined
}

const isCorrected = (one: readonly [string, string | undefined]): one is readonly [string, string] =>
  one[1] !== undefined

/** A fact that stands no more. */
interface Struck {
  readonly slip: RecordedFact
  /** the likeness, where the slip is a bench test */
  readonly likeness: string | undefined
  readonly correctedBy: string
}

/** The part of one stick in a transaction: all of it is written, or nothing. */
export interface Recorded {
  readonly before: StoredStick | undefined
  readonly next: KeptStick
  readonly listing: Listing
  readonly facts: readonly NewFact[]
  readonly rules: Rules
  readonly notices: readonly OwedNotice[]
}

export type Tested = Extract<RecordedFact, { readonly kind: 'tested' }>

/** The guard of an id that a caller used: the fact accepted under it, and the hash of that fact's body. */
export interface Guard {
  /** absent while a report waits for somebody to say which stick it is about */
  readonly stickId?: string
  readonly seq?: number
  readonly bodyHash: string
  /** the correction that says that the fact was a slip */
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
  /** the key to go on from; null when there is no more */
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

/** A hundred sticks of 20 KB each are a small part of a function's memory. */
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

  /** Answers the register entry that the stick's fact at `seq` holds; undefined where that fact is of another kind. */
  async function entry(stickId: string, seq: number): Promise<Stick | undefined> {
    const entered = await fact(stickId, seq)
    return entered?.kind === 'registered' ? entered.stick : undefined
  }

  /**
   * Tests with an instrument from a day on, of whichever stick. The index keeps keys alone, so the facts are read by
   * them.
   */
  async function testsFrom(instrumentId: string, day: CalendarDate): Promise<Tested[]> {
    const places = await table.all({
      index: 'by-instrument',
      partition: ['instrumentKey', keys.instrumentTests(instrumentId)],
      between: ['testedSort', day, '~'],
    })
    return readEach(await table.getAll(places), asFact).flatMap(({ fact }) => (fact.kind === 'tested' ? [fact] : []))
  }

  /**
   * Answers for every stick tested with one of these instruments the place of its newest such test among its facts.
   * Only keys are read.
   */
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

  /** Answers the slips among these facts, each with the correction that says so. */
  async function slipsAmong(factIds: readonly string[]): Promise<ReadonlyMap<string, string>> {
    if (factIds.length === 0) return new Map()
    const different = [...new Set(factIds)]
    const items = await table.getAll(different.map((id) => keys.guard(id)))
    const byKey = new Map(items.map((item) => [item.pk, asGuard(item).correctedBy]))
    return new Map(different.flatMap((id) => [[id, byKey.get(keys.guard(id).pk)] as const]).filter(isCorrected))
  }

  /** Takes the id of a fact that waits: of which stick it is, is not yet known or not yet settled. */
  function waitingWrite(factId: string, hash: string): Write {
    return table.putNew({ ...keys.guard(factId), entity: 'guard', bodyHash: hash })
  }

  /**
   * Answers the id of the stick's test that equals one with this likeness in everything but its id. A slip counts as
   * none.
   */
  async function copyOf(stickId: string, likeness: string): Promise<string | undefined> {
    const item = await table.get(keys.likeness(stickId, likeness))
    const known = item === undefined ? undefined : asLikeness(item)
    return known?.struck === undefined ? known?.factId : undefined
  }

  /**
   * Records in one transaction the facts under their ids, the state as it follows, and the notices they owe. `lost`:
   * somebody else wrote first, so begin again from what is stored now.
   */
  async function record(one: Recorded, now: Instant): Promise<'recorded' | 'lost'> {
    return recordTogether([one], { now, also: [] })
  }

  /** Records several sticks in one transaction, and `also` with them. */
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

  /** A slip is found by no instrument any more, and the same test may be recorded again. */
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
   * Remembers how far a stick's crew was told, and in which notices. The notices are named beside the crew too where
   * one of them is filed under another crew.
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

  /**
   * A pointer to notices that name the stick. It lies beside the stick, and beside its crew where they are filed under
   * another.
   */
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

  /** The pointer to a list of silence that names the stick. */
  function silenceWrite(stored: StoredStick, list: { day: CalendarDate; number: string; now: Instant }): Write {
    const key = keys.told(stored.stickId, list.day, `silence ${list.number}`)
    return pointerWrite(stored, { key, notices: [list.number], filedElsewhere: true, now: list.now })
  }

  /** Sticks that are there and read; any other number is passed over. */
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
      // the count is kept only of a stick of which a fact was taken back
      recorded: stick.recorded === state.facts ? undefined : stick.recorded,
      // a hold that is over is kept while nobody was told so: whoever tells it asks whether they knew of the hold
      held: held ?? (stick.untold === undefined ? undefined : stick.held),
      depotStandingKey: keys.depotStanding(depotId, group),
      standingSort: place,
      // the place once confirmed lies beside a held stick, so that whoever takes the confirmation reads nothing of the
      // stick
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

  /** Sticks to be looked at by this day, a page at a time, the longest untold of each kind and depot first. */
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

  /** Sticks that a day alone changes and that are to be looked at: the day may have come. */
  async function dueToChange(depotId: string | null, through: CalendarDate): Promise<StoredStick[]> {
    const key = keys.depotChange(depotId)
    return stillThere(await table.all(lookedAtBy(key, through)), key, through)
  }

  /**
   * Sticks as they are by now, since the index keeps keys alone. A stick that has moved on, or to another depot, is
   * left out, though the index may still show it.
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

  /** Sticks that other rules have changed, where nobody was told of that yet; a page at a time. */
  async function* untoldOf(
    depotIds: readonly (string | null)[],
  ): AsyncGenerator<{ readonly depotId: string | null; readonly sticks: readonly StoredStick[] }> {
    for (const depotId of depotIds) {
      for await (const sticks of pagesAt(keys.depotChange(depotId), longUntold))
        yield { depotId, sticks: sticks.filter(({ untold }) => untold !== undefined) }
    }
  }

  /** Sticks of which the caller is about to say something: one that does not read fails the whole. */
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

  /** Sticks lent out, whatever their status, the soonest to be back first. */
  function lentPage(depotId: string | null, range: Stretch): Promise<StickPage> {
    return stickPage({
      index: 'by-depot-return',
      partition: ['depotLentKey', keys.depotLent(depotId)],
      between: ['returnSort', range.from, range.to],
      limit: range.limit,
    })
  }

  /** Counts the keys there, no further than the limit. */
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

  /**
   * A crew's sticks as they are by now, since the index keeps keys alone. A stick that has left the crew is left out,
   * though the index may still show it.
   */
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

/** The least key greater than this one. */
export function justAfter(key: string): string {
  return `${key}\u0000`
}

/**
 * A stick without what the table keeps beside it for its lists, which is worked out anew at every write. Whatever an
 * earlier build did not keep reads as nothing known, and what is not known is never to a stick's favour.
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

/**
 * The state as it is stored: without what is as it was in the beginning, and with its uses as one text. A stick that is
 * used every day is written every day.
 */
function asKept(state: StickState): Record<string, unknown> {
  const begun = Object.entries(state).filter(
    ([name, value]) => !isDeepStrictEqual(value, initial[name as keyof StickState]),
  )
  return Object.fromEntries(begun.map(([name, value]) => [name, name === 'uses' ? packed(state.uses) : value]))
}

/** Earlier builds kept uses as a list. */
function usesOf(kept: unknown): StoredStick['state']['uses'] {
  return typeof kept === 'string' ? unpacked(kept) : ((kept as StoredStick['state']['uses'] | undefined) ?? [])
}

function unchangedSince(before: StoredStick | undefined) {
  return onlyIf(before === undefined ? isNew : is('version', before.version))
}

export function bodyHash(kind: string, stickId: string, body: unknown): string {
  return createHash('sha256').update(canonical({ kind, stickId, body })).digest('base64url')
}
