/**
 * Fills a table that was brought back from a backup with what the journal holds since, so that nothing reads fitter
 * than it is. What is in doubt is held. Mail waits for a person. Broken off, it begins again and changes nothing twice.
 */
import type { Instant } from '../../shared-domain/calendar.ts'
import type { RecordedFact } from '../../shared-domain/facts.ts'
import { type Hole, holesIn, isLater, mayBeLost } from '../../shared-domain/restored.ts'
import { idFrom } from '../ground/derived-id.ts'
import { todayAt } from '../questions/today.ts'
import { record } from '../recording/record.ts'
import type { JournalLine } from '../store/journal.ts'
import { together } from '../store/journal-names.ts'
import { asNotice, type Notice } from '../store/notices.ts'
import { type Organisation, openOrganisation } from '../store/organisation.ts'
import { readEach } from '../store/reading.ts'
import { beginToFill, noteFilled } from '../store/restored-mark.ts'
import type { Item, Table } from '../store/table.ts'
import { foldedBack } from './folded-back.ts'
import type { NamesOf } from './journal-bucket.ts'

export interface Restoring {
  readonly table: Table
  /** every item of the table, in any order */
  readonly scan: () => AsyncIterable<Item>
  /** what came to the journal since the backup; null where there is no journal */
  readonly lines: readonly JournalLine[] | null
  /** the names beside a line of the journal */
  readonly namesOf: NamesOf
  /** from the backup to the loss */
  readonly lost: Hole
  readonly now: Instant
}

export interface RestoreReport {
  /** items that the journal had and the table had not, or had as they were before */
  readonly filled: number
  readonly folded: number
  readonly holes: readonly Hole[]
  readonly held: readonly { readonly organisation: string; readonly stickId: string }[]
  readonly unknown: readonly Notice[]
}

export type Restored = RestoreReport | 'filled before'

const atOnce = 8

export async function restore(restoring: Restoring): Promise<Restored> {
  const { table, lost, now } = restoring
  const pausedSince = await beginToFill(table, lost.from, now)
  if (pausedSince === undefined) return 'filled before'
  const newest = await withNames(newestOf(restoring.lines ?? []), restoring.namesOf)
  const filled = await fill(table, newest)
  const open = opener(table)
  const folded = await foldBack(open, newest, now)
  const holes = holesIn(heardIn(newest, restoring.lines ?? []), lost)
  const unknown = await noteUnknown(restoring, open, pausedSince)
  const held = await holdDoubtful(restoring, open, holes)
  await noteFilled(table, now)
  return { filled, folded, holes, held, unknown }
}

type Open = (organisation: string) => Organisation

/** The registers are read once, after they were filled. */
function opener(table: Table): Open {
  const opened = new Map<string, Organisation>()
  return (name) => {
    const known = opened.get(name) ?? openOrganisation(table, name)
    opened.set(name, known)
    return known
  }
}

/** Of each item the line that was written last. */
function newestOf(lines: readonly JournalLine[]): JournalLine[] {
  const newest = new Map<string, JournalLine>()
  for (const line of lines) {
    const key = `${line.item.pk}\u0000${line.item.sk}`
    const known = newest.get(key)
    if (known === undefined || isLater(line, known)) newest.set(key, line)
  }
  return [...newest.values()]
}

/** The lines as they were written. A name that was erased beside the journal is erased from the table too. */
async function withNames(lines: readonly JournalLine[], namesOf: NamesOf): Promise<JournalLine[]> {
  const all: JournalLine[] = []
  await inTurns(lines, async (line) => {
    all.push(line.entity === 'fact' ? together(line, await namesOf(line)) : line)
  })
  return all
}

/** Whenever the journal was heard: by its own mark, and by each fact that came. */
function heardIn(newest: readonly JournalLine[], lines: readonly JournalLine[]): Instant[] {
  const marks = lines.flatMap(({ entity, item }) => (entity === 'journal mark' ? [item.heardAt as Instant] : []))
  return [...marks, ...newest.flatMap((line) => (line.entity === 'fact' ? [factIn(line).recordedAt] : []))]
}

const factIn = ({ item }: JournalLine) => item.fact as RecordedFact

/** An edition is never changed, and is written where it is missing; all else as it was written last. */
const neverChanged: readonly JournalLine['entity'][] = ['edition']
/** Sticks are folded from their facts. The mark is about the journal alone. */
const notFilled: readonly JournalLine['entity'][] = ['stick', 'journal mark']

async function fill(table: Table, newest: readonly JournalLine[]): Promise<number> {
  const lines = newest.filter(({ entity }) => !notFilled.includes(entity))
  let filled = 0
  await inTurns(lines, async ({ entity, item }) => {
    const write = neverChanged.includes(entity) ? table.putNew(item) : table.put(item)
    if ((await table.transact([write])).done) filled += 1
  })
  return filled
}

/** Every stick of which the journal says something is folded from its facts, those of the backup and of the journal. */
async function foldBack(open: Open, newest: readonly JournalLine[], now: Instant): Promise<number> {
  const sticks = new Map<string, { organisation: string; stickId: string; line: JournalLine | undefined }>()
  for (const line of newest) {
    if (line.entity !== 'fact' && line.entity !== 'stick') continue
    const stickId = line.item.pk.slice(line.item.pk.indexOf('#STICK#') + '#STICK#'.length)
    const known = sticks.get(line.item.pk)
    const own = line.entity === 'stick' ? line : known?.line
    sticks.set(line.item.pk, { organisation: line.organisation, stickId, line: own })
  }
  await inTurns([...sticks.values()], ({ organisation, stickId, line }) =>
    foldedBack({ organisation: open(organisation), now }, stickId, line?.item),
  )
  return sticks.size
}

/**
 * Notices that were owed or lent to a sender may have been sent since: the backup does not say, and the journal may
 * lack its last seconds. What was owed only after mail was paused is not among them.
 */
async function noteUnknown({ scan }: Restoring, open: Open, pausedSince: Instant): Promise<Notice[]> {
  const unknown: Notice[] = []
  for await (const item of scan()) {
    if (item.entity !== 'notice') continue
    for (const notice of readEach([item], asNotice)) {
      if (notice.state === 'unknown whether sent') unknown.push(notice)
      const maybeSent = (notice.state === 'owed' || notice.state === 'claimed') && notice.owedAt < pausedSince
      if (!maybeSent) continue
      if (await open(notice.organisation).notices.noteUnknown(notice)) unknown.push(notice)
    }
  }
  return unknown.sort((a, b) => (a.owedAt < b.owedAt ? -1 : 1))
}

/** Holds every stick that is not out of service for good and of which something may be lost. */
async function holdDoubtful(
  { scan, table, lost, now }: Restoring,
  open: Open,
  holes: readonly Hole[],
): Promise<RestoreReport['held']> {
  const sticks: { organisation: string; stickId: string }[] = []
  for await (const { pk, entity, stickId } of scan()) {
    if (entity !== 'stick') continue
    sticks.push({ organisation: pk.slice('ORG#'.length, pk.indexOf('#STICK#')), stickId: String(stickId) })
  }
  const held: { organisation: string; stickId: string }[] = []
  await inTurns(sticks, async (one) => {
    const organisation = open(one.organisation)
    const stored = await organisation.sticks.stored(one.stickId)
    if (stored === undefined || stored.state.removed !== null || stored.state.scrapped !== null) return
    const facts = await organisation.sticks.facts(one.stickId)
    const doubt = mayBeLost(
      facts.filter(({ kind }) => kind !== 'records restored'),
      holes,
      lost,
    )
    if (doubt === null) return
    await holdAsRestored({ organisation, now }, one.stickId, { doubt, table: table.name ?? '' })
    held.push(one)
  })
  return held
}

/** Nobody on the register: the command itself. */
const caller = { personId: 'restore', role: 'owner', depots: ['*'], crewId: null } as const

/**
 * The id follows from the table and the stick: whoever begins again records nothing twice. @lintignore tests hold one
 * stick by it
 */
export async function holdAsRestored(
  by: { readonly organisation: Organisation; readonly now: Instant },
  stickId: string,
  { doubt, table }: { readonly doubt: Hole; readonly table: string },
): Promise<void> {
  const stored = await by.organisation.sticks.stored(stickId)
  const { today } = await todayAt(by, stored?.depotId ?? null)
  const body = { factId: idFrom('records restored', table, by.organisation.name, stickId), lost: doubt }
  await record({ ...by, caller }, stickId, {
    factId: body.factId,
    occurredOn: today,
    dateField: 'occurredOn',
    kind: 'records restored',
    body,
    happening: async () => ({ kind: 'records restored', lost: doubt }),
  })
}

async function inTurns<T>(all: readonly T[], work: (one: T) => Promise<unknown>): Promise<void> {
  for (let i = 0; i < all.length; i += atOnce) await Promise.all(all.slice(i, i + atOnce).map(work))
}
