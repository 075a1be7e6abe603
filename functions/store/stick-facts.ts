/** The facts of a stick in the table, the ids under which they came, and the likeness of its tests. */
import { createHash } from 'node:crypto'
import type { CalendarDate, Instant } from '../../shared-domain/calendar.ts'
import { canonical } from '../../shared-domain/canonical.ts'
import type { RecordedFact } from '../../shared-domain/facts.ts'
import type { Stick } from '../../shared-domain/registers.ts'
import { changeIf, eitherOf, is, isNew, isThere, onlyIf } from './change.ts'
import type { Keys, OrganisationTable } from './keys.ts'
import { readEach, readerOf } from './reading.ts'
import type { Write } from './table.ts'
import { queueShards, toSequencePrefix } from './table-shape.ts'

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

/** A fact that stands no more. */
interface Struck {
  readonly slip: RecordedFact
  /** the likeness, where the slip is a bench test */
  readonly likeness: string | undefined
  readonly correctedBy: string
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

async function facts({ table, keys }: OrganisationTable, stickId: string): Promise<RecordedFact[]> {
  const items = await table.all({
    partition: ['pk', keys.stick(stickId)],
    between: ['sk', 'FACT#', 'FACT#~'],
    consistent: true,
  })
  return items.map((item) => asFact(item).fact)
}

async function fact(
  { table, keys }: OrganisationTable,
  stickId: string,
  seq: number,
): Promise<RecordedFact | undefined> {
  const item = await table.get(keys.fact(stickId, seq))
  return item === undefined ? undefined : asFact(item).fact
}

/** Answers the register entry that the stick's fact at `seq` holds; undefined where that fact is of another kind. */
async function entry(place: OrganisationTable, stickId: string, seq: number): Promise<Stick | undefined> {
  const entered = await fact(place, stickId, seq)
  return entered?.kind === 'registered' ? entered.stick : undefined
}

/**
 * Tests with an instrument from a day on, of whichever stick. The index keeps keys alone, so the facts are read by
 * them.
 */
async function testsFrom(
  { table, keys }: OrganisationTable,
  instrumentId: string,
  day: CalendarDate,
): Promise<Tested[]> {
  const places = await table.all({
    index: 'by-instrument',
    partition: ['instrumentKey', keys.instrumentTests(instrumentId)],
    between: ['testedSort', day, '~'],
  })
  return readEach(await table.getAll(places), asFact).flatMap(({ fact }) => (fact.kind === 'tested' ? [fact] : []))
}

/** Tests with an instrument from a day on, the newest first, no more than so many. */
async function newestTestsFrom(
  { table, keys }: OrganisationTable,
  instrumentId: string,
  { from, most }: { readonly from: CalendarDate | null; readonly most: number },
): Promise<{ readonly tests: readonly Tested[]; readonly isAll: boolean }> {
  const { items, next } = await table.page({
    index: 'by-instrument',
    partition: ['instrumentKey', keys.instrumentTests(instrumentId)],
    between: ['testedSort', from ?? '0', '~'],
    descending: true,
    limit: most,
  })
  const facts = readEach(await table.getAll(items), asFact)
  return { tests: facts.flatMap(({ fact }) => (fact.kind === 'tested' ? [fact] : [])), isAll: next === undefined }
}

/**
 * Answers for every stick tested with one of these instruments the place of its newest such test among its facts.
 * Only keys are read.
 */
async function newestTests(
  { table, keys }: OrganisationTable,
  instrumentIds: readonly string[],
): Promise<ReadonlyMap<string, number>> {
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

async function guard({ table, keys }: OrganisationTable, factId: string): Promise<Guard | undefined> {
  const item = await table.get(keys.guard(factId))
  return item === undefined ? undefined : asGuard(item)
}

const isCorrected = (one: readonly [string, string | undefined]): one is readonly [string, string] =>
  one[1] !== undefined

/** Answers the slips among these facts, each with the correction that says so. */
async function slipsAmong(
  { table, keys }: OrganisationTable,
  factIds: readonly string[],
): Promise<ReadonlyMap<string, string>> {
  if (factIds.length === 0) return new Map()
  const different = [...new Set(factIds)]
  const items = await table.getAll(different.map((id) => keys.guard(id)))
  const byKey = new Map(items.map((item) => [item.pk, asGuard(item).correctedBy]))
  return new Map(different.flatMap((id) => [[id, byKey.get(keys.guard(id).pk)] as const]).filter(isCorrected))
}

/** Takes the id of a fact that waits: of which stick it is, is not yet known or not yet settled. */
function waitingWrite({ table, keys }: OrganisationTable, factId: string, hash: string): Write {
  return table.putNew({ ...keys.guard(factId), entity: 'guard', bodyHash: hash })
}

/**
 * Answers the id of the stick's test that equals one with this likeness in everything but its id. A slip counts as
 * none.
 */
async function copyOf(
  { table, keys }: OrganisationTable,
  stickId: string,
  likeness: string,
): Promise<string | undefined> {
  const item = await table.get(keys.likeness(stickId, likeness))
  const known = item === undefined ? undefined : asLikeness(item)
  return known?.struck === undefined ? known?.factId : undefined
}

/** A slip is found by no instrument any more, and the same test may be recorded again. */
function struckWrites(
  { table, keys }: OrganisationTable,
  stickId: string,
  { slip: { factId, seq }, likeness, correctedBy }: Struck,
): Write[] {
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

export function factWrites(
  { table, keys }: OrganisationTable,
  stickId: string,
  {
    fact,
    bodyHash: hash,
    likeness,
    placed,
    hasWaited,
    also = [],
    writtenAt,
  }: NewFact & { readonly writtenAt: Instant },
): Write[] {
  const { factId, seq } = fact
  const guard = { ...keys.guard(factId), entity: 'guard' as const, stickId, seq, bodyHash: hash }
  return [
    table.putNew({
      ...keys.fact(stickId, seq),
      entity: 'fact',
      fact,
      ...instrumentIndex(keys, stickId, fact),
      ...toBeSequenced(factId, writtenAt),
    }),
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

/** A fact waits for its place in the tree, which is never given in its own transaction. */
function toBeSequenced(factId: string, queueAt: Instant) {
  const shard = queueShards[factId.charCodeAt(factId.length - 1) % queueShards.length] ?? '0'
  return { queue: `${toSequencePrefix}${shard}`, queueAt }
}

function instrumentIndex(keys: Keys, stickId: string, fact: RecordedFact): Record<string, string> {
  if (fact.kind !== 'tested') return {}
  return {
    instrumentKey: keys.instrumentTests(fact.test.instrumentId),
    testedSort: `${fact.occurredOn}#${stickId}#${fact.seq}`,
  }
}

export const verbsOfFacts = {
  facts,
  fact,
  entry,
  testsFrom,
  newestTestsFrom,
  newestTests,
  guard,
  copyOf,
  struckWrites,
  waitingWrite,
  slipsAmong,
}

export function bodyHash(kind: string, stickId: string, body: unknown): string {
  return createHash('sha256').update(canonical({ kind, stickId, body })).digest('base64url')
}
