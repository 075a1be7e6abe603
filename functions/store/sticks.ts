/** Sticks in the table: the folded state with what the indexes need, and the facts it is folded from. */
import { createHash } from 'node:crypto'
import type { CalendarDate, Instant } from '../../shared-domain/calendar.ts'
import type { RecordedFact } from '../../shared-domain/facts.ts'
import {
  earlierOf,
  earlierThanShown,
  type LoanTold,
  nextLoanTellOn,
  nextTellOn,
  stillForward,
  type Told,
} from '../../shared-domain/notices/ladder.ts'
import type { OwedNotice } from '../../shared-domain/notices/notice.ts'
import type { Rules } from '../../shared-domain/policy/rules.ts'
import type { Standing } from '../../shared-domain/state/standing.ts'
import { type StickState, unknown } from '../../shared-domain/state/state.ts'
import { mayBeUsed } from '../../shared-domain/state/use.ts'
import { changeIf, is, isNew, onlyIf } from './change.ts'
import type { Keys } from './keys.ts'
import { noticeWrite } from './notices.ts'
import { readEach, reading } from './reading.ts'
import { canonical } from './registers.ts'
import type { Item, Range, Table, Write } from './table.ts'

export interface StoredStick {
  readonly stickId: string
  readonly state: StickState
  readonly told: Told | null
  /** that a loan is not back; none told of where it is left out */
  readonly loanTold?: LoanTold | undefined
  readonly depotId: string | null
  /** the due date under which it lies in the lists, as its crew knows it */
  readonly shownDueOn: CalendarDate | null
  /** brought forward from this date by a change of the rules, and its crew not yet told */
  readonly broughtForwardFrom: CalendarDate | null
  /** the rules under which it was written, by their id */
  readonly writtenUnder: string | null
  /** which shape of state it holds: one of an earlier build is folded anew from its facts with the next one */
  readonly shape: number
  /** rises with every write of this item */
  readonly version: number
  /** of a stick on hold, as its list is sorted by it: kept by `record`, not by whoever hands a stick over */
  readonly held?: Held | undefined
}

/** Since when a stick is on hold, or was last told to be, and whether anybody who has it has confirmed that. */
export interface Held {
  readonly at: Instant
  /** the newest notices of it that are to be confirmed; none where nobody was told */
  readonly about?: string
  /** by somebody of its crew, or of somebody of it that he was told face to face */
  readonly confirmed: boolean
}

/** Which facts were accepted under which of the caller's ids, and from what body. */
export interface Guard {
  /** not yet known of a report that waits for somebody to say which stick it is about */
  readonly stickId?: string
  readonly seq?: number
  readonly bodyHash: string
}

export interface StickPage {
  readonly sticks: readonly StoredStick[]
  /** where to go on; null when there is no more */
  readonly next: string | null
}

/** What an earlier build kept, and what it may have left out. */
type KeptStick = Partial<StoredStick> & Pick<StoredStick, 'stickId' | 'state' | 'told' | 'depotId' | 'version'>

const asStick = reading<KeptStick>('stick', {
  stickId: 'text',
  state: 'map',
  told: ['map', 'null'],
  loanTold: ['map', 'absent'],
  depotId: ['text', 'null'],
  shownDueOn: ['text', 'null', 'absent'],
  broughtForwardFrom: ['text', 'null', 'absent'],
  writtenUnder: ['text', 'null', 'absent'],
  shape: ['number', 'absent'],
  version: 'number',
  held: ['map', 'absent'],
})
const asFact = reading<{ readonly fact: RecordedFact }>('fact', { fact: 'map' })
const asGuard = reading<Guard>('guard', { stickId: ['text', 'absent'], seq: ['number', 'absent'], bodyHash: 'text' })
const asLikeness = reading<{ readonly factId: string }>('likeness', { factId: 'text' })

/** The five lists a roster is read from; see `placeIn` for the order within each. */
export const standingGroups = ['usable', 'held', 'awaiting', 'removed', 'scrapped'] as const
export type StandingGroup = (typeof standingGroups)[number]

/** Raised whenever the fold keeps something it did not keep before. */
export const shapeOfState = 6

export const noDueDate = '9999-99-99'

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

  async function guard(factId: string): Promise<Guard | undefined> {
    const item = await table.get(keys.guard(factId))
    return item === undefined ? undefined : asGuard(item)
  }

  /** The test of this stick that is equal to one with this likeness in everything but its id, by that id. */
  async function copyOf(stickId: string, likeness: string): Promise<string | undefined> {
    const item = await table.get(keys.likeness(stickId, likeness))
    return item === undefined ? undefined : asLikeness(item).factId
  }

  /**
   * One transaction: the fact under its id, the state as it follows, the notices it owes. `lost`: somebody else wrote
   * first, so begin again from what is stored now.
   */
  async function record(entry: {
    before: StoredStick | undefined
    after: StoredStick
    fact: RecordedFact
    bodyHash: string
    /** of a bench test: no copy of it is ever recorded */
    likeness?: string | undefined
    /** of a report that waited: what says that it is placed */
    placed?: Write | undefined
    standing: Standing
    rules: Rules
    notices: readonly OwedNotice[]
    now: Instant
  }): Promise<'recorded' | 'lost'> {
    const { after, fact, likeness } = entry
    const owed = entry.notices.map((notice) => noticeWrite(table, keys, organisation, notice, entry.now))
    const guard = {
      ...keys.guard(fact.factId),
      entity: 'guard' as const,
      stickId: after.stickId,
      seq: fact.seq,
      bodyHash: entry.bodyHash,
    }
    const always = [
      table.putNew({
        ...keys.fact(after.stickId, fact.seq),
        entity: 'fact',
        fact,
        ...instrumentIndex(after.stickId, fact),
      }),
      // a report that waited has kept its id all the while
      entry.placed === undefined ? table.putNew(guard) : table.put(guard),
      table.put(
        item({ ...after, loanTold: entry.before?.loanTold, held: heldBy(entry) }, entry.standing, entry.rules),
        unchangedSince(entry.before),
      ),
      ...(likeness === undefined
        ? []
        : [table.putNew({ ...keys.likeness(after.stickId, likeness), entity: 'likeness', factId: fact.factId })]),
      ...(entry.placed === undefined ? [] : [entry.placed]),
    ]
    const room = mostInOneTransaction - always.length
    const { done } = await table.transact([...always, ...owed.slice(0, room)])
    if (!done) return 'lost'
    // A crew of 40 with more than 57 managers; the first of them are told even if the rest should be lost here.
    for (let i = room; i < owed.length; i += mostInOneTransaction)
      await table.transact(owed.slice(i, i + mostInOneTransaction))
    return 'recorded'
  }

  /**
   * Remembers how far a stick's crew was told, and in which notices; beside the crew too where one of them is filed under
   * another crew.
   */
  function toldWrites(
    before: StoredStick,
    entry: {
      told?: Told
      loanTold?: LoanTold
      through: CalendarDate
      standing: Standing
      rules: Rules
      notices: readonly string[]
      filedElsewhere: boolean
      round: string
      now: Instant
    },
  ): Write[] {
    const after = {
      ...before,
      ...(entry.told === undefined ? {} : { told: entry.told, broughtForwardFrom: null }),
      loanTold: entry.loanTold ?? before.loanTold,
      version: before.version + 1,
    }
    return [
      table.put(item(after, entry.standing, entry.rules), unchangedSince(before)),
      table.put({
        ...keys.told(before.stickId, entry.through, entry.round),
        entity: 'told',
        notices: entry.notices,
        noticeStickKey: keys.noticesOfStick(before.stickId),
        ...(entry.filedElsewhere ? { noticeCrewKey: keys.noticesOfCrew(before.state.crewId) } : {}),
        owedAt: entry.now,
      }),
    ]
  }

  /** Its place in the lists anew; a date brought forward is for the next digest to tell. */
  function reindexWrite(before: StoredStick, standing: Standing, rules: Rules): Write {
    const broughtForwardFrom = stillForward(
      before.broughtForwardFrom ?? earlierThanShown(before.shownDueOn, standing),
      standing,
    )
    const after = { ...before, broughtForwardFrom, version: before.version + 1 }
    return table.put(item(after, standing, rules), unchangedSince(before))
  }

  function item(given: StoredStick, standing: Standing, rules: Rules): Item {
    const { stickId, state, depotId } = given
    const lot = state.registrations.at(-1)?.stick.lot
    const tellOn = earlierOf(
      nextTellOn(standing, given.told, rules, given.broughtForwardFrom),
      nextLoanTellOn(state, given.loanTold ?? null),
    )
    const group = groupOf(standing)
    const held = group === 'held' ? (given.held ?? { at: newestOf(standing.holds), confirmed: false }) : undefined
    const stick = { ...given, held, shownDueOn: standing.dueOn, writtenUnder: rules.id }
    const returnBy = lentUntil(state)
    return {
      ...keys.state(stickId),
      entity: 'stick',
      ...stick,
      depotStandingKey: keys.depotStanding(depotId, group),
      standingSort: placeIn(group, stick, standing, rules),
      ...(held?.about === undefined || held.confirmed ? {} : toConfirm(stick, held, held.about, rules)),
      ...(returnBy === null ? {} : { depotLentKey: keys.depotLent(depotId), returnSort: `${returnBy}#${stickId}` }),
      ...(tellOn === null ? {} : { depotTellKey: keys.depotTell(depotId), nextTellOn: `${tellOn}#${stickId}` }),
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

  async function dueToBeTold(depotId: string | null, through: CalendarDate): Promise<StoredStick[]> {
    const items = await table.all({
      index: 'by-depot-next-tell',
      partition: ['depotTellKey', keys.depotTell(depotId)],
      between: ['nextTellOn', '0', `${through}#~`],
    })
    return readEach(items, asStored)
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
  function lentPage(depotId: string | null, range: { from: string; to: string; limit: number }): Promise<StickPage> {
    return stickPage({
      index: 'by-depot-return',
      partition: ['depotLentKey', keys.depotLent(depotId)],
      between: ['returnSort', range.from, range.to],
      limit: range.limit,
    })
  }

  /** How many keys lie there, counted no further than `most`. */
  function standingCount(
    depotId: string | null,
    group: StandingGroup,
    [from, to]: readonly [string, string],
    most: number,
  ) {
    return table.count({
      index: 'by-depot-standing',
      partition: ['depotStandingKey', keys.depotStanding(depotId, group)],
      between: ['standingSort', from, to],
      limit: most,
    })
  }

  function crewCount(crewId: string, [from, to]: readonly [string, string], most: number): Promise<number> {
    return table.count({
      index: 'by-crew-standing',
      partition: ['crewKey', keys.crewSticks(crewId)],
      between: ['standingSort', from, to],
      limit: most,
    })
  }

  function standingPage(
    depotId: string | null,
    group: StandingGroup,
    range: { from: string; to: string; limit: number },
  ): Promise<StickPage> {
    return stickPage({
      index: 'by-depot-standing',
      partition: ['depotStandingKey', keys.depotStanding(depotId, group)],
      between: ['standingSort', range.from, range.to],
      limit: range.limit,
    })
  }

  function crewPage(crewId: string, range: { from: string; to: string; limit: number }): Promise<StickPage> {
    return stickPage({
      index: 'by-crew-standing',
      partition: ['crewKey', keys.crewSticks(crewId)],
      between: ['standingSort', range.from, range.to],
      limit: range.limit,
    })
  }

  return {
    stored,
    facts,
    fact,
    guard,
    copyOf,
    record,
    toldWrites,
    reindexWrite,
    dueToBeTold,
    fresh,
    standingPage,
    crewPage,
    lentPage,
    standingCount,
    crewCount,
  }
}

/**
 * Where a stick lies in its list: what may be used or is overdue by its due date, the oldest first. On hold: still in
 * somebody's hands and not confirmed by them first, the newest first; before any rules, by its number.
 */
export function placeIn(
  group: StandingGroup,
  { stickId, state: { custody }, held }: Pick<StoredStick, 'stickId' | 'state' | 'held'>,
  { dueOn }: Pick<Standing, 'dueOn'>,
  rules: Rules,
): string {
  if (group === 'usable') return `${dueOn ?? noDueDate}#${stickId}`
  if (group !== 'held') return `${group}#${stickId}`
  if (!rules.entered) return `${noDueDate}#${stickId}`
  const inHands = custody !== null && ('crewId' in custody || 'lentTo' in custody)
  const urgent = inHands && !held?.confirmed
  return `${group}#${urgent ? 0 : 1}#${backwards(held?.at)}#${stickId}`
}

/** Milliseconds so far off that a later instant sorts first. */
const farOff = 99_999_999_999_999

function backwards(at: Instant | undefined): string {
  return String(farOff - (at === undefined ? 0 : Date.parse(at))).padStart(14, '0')
}

/** A hold that came with no fact, by a change of the rules alone, is as old as its cause. */
function newestOf(holds: Standing['holds']): Instant {
  const [newest] = holds
    .flatMap(({ since }) => since ?? [])
    .sort()
    .reverse()
  return `${newest ?? '1970-01-01'}T00:00:00.000Z` as Instant
}

/** Told anew with this fact, held already, or held by it and told to nobody. */
function heldBy({
  before,
  notices,
  now,
}: {
  readonly before: StoredStick | undefined
  readonly notices: readonly OwedNotice[]
  readonly now: Instant
}): Held {
  const about = notices.find(({ answer }) => answer !== undefined)?.answer?.about
  if (about !== undefined) return { at: now, about, confirmed: false }
  return before?.held ?? { at: now, confirmed: false }
}

/**
 * Beside a held stick: of which notices somebody's confirmation moves it down its list, and to where. So whoever takes the
 * confirmation reads nothing of the stick.
 */
function toConfirm(stick: StoredStick, held: Held, about: string, rules: Rules) {
  const confirmed = { ...held, confirmed: true }
  const sortOnceConfirmed = placeIn('held', { ...stick, held: confirmed }, { dueOn: null }, rules)
  return { toConfirm: about, heldOnceConfirmed: confirmed, sortOnceConfirmed }
}

/** Somebody of the crew knows of the hold that `about` names. Fails where it was told anew since, or is no more. */
export function confirmedWrite(table: Table, keys: Keys, stickId: string, about: string): Write {
  const change = {
    take: { held: 'heldOnceConfirmed', standingSort: 'sortOnceConfirmed' },
    add: { version: 1 },
    remove: ['toConfirm', 'heldOnceConfirmed', 'sortOnceConfirmed'],
  }
  return table.change(keys.state(stickId), changeIf(change, is('toConfirm', about)))
}

/** By when it is to be back, where it is lent out and still there to come back. */
export function lentUntil({ custody, scrapped }: StickState): CalendarDate | null {
  return custody !== null && 'lentTo' in custody && scrapped === null ? custody.returnBy : null
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
  const { stickId, state, told, depotId, version, loanTold, held, ...rest } = asStick(item)
  return {
    stickId,
    state: { ...unknown, ...state },
    told,
    depotId,
    shownDueOn: rest.shownDueOn ?? null,
    broughtForwardFrom: rest.broughtForwardFrom ?? null,
    writtenUnder: rest.writtenUnder ?? null,
    shape: rest.shape ?? 1,
    version,
    ...(loanTold === undefined ? {} : { loanTold }),
    ...(held === undefined ? {} : { held }),
  }
}

/** DynamoDB takes at most 100 items in one transaction. */
export const mostInOneTransaction = 100

function unchangedSince(before: StoredStick | undefined) {
  return onlyIf(before === undefined ? isNew : is('version', before.version))
}

function groupOf({ status }: Pick<Standing, 'status'>): StandingGroup {
  if (mayBeUsed(status) || status === 'overdue') return 'usable'
  if (status === 'on hold') return 'held'
  if (status === 'awaiting first test') return 'awaiting'
  return status === 'scrapped' ? 'scrapped' : 'removed'
}

export function bodyHash(kind: string, stickId: string, body: unknown): string {
  return createHash('sha256').update(canonical({ kind, stickId, body })).digest('base64url')
}
