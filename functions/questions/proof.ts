/**
 * The proof of a stick's records to a stranger: each of its facts as it is hashed, the way from it to the root of the
 * tree, and the roots that the owners were mailed, each of which the tree went on from.
 */
import { type CalendarDate, type Instant, localDateAt } from '../../shared-domain/calendar.ts'
import type { RecordedFact } from '../../shared-domain/facts.ts'
import type { Digest } from '../../shared-domain/proof/digest.ts'
import { pointersIn, sealedRecord, textAt } from '../../shared-domain/proof/record.ts'
import {
  consistencyOf,
  inclusionOf,
  type Leaves,
  lastLeafOf,
  rootAbove,
  subtreesOf,
} from '../../shared-domain/proof/tree.ts'
import { hashing } from '../ground/hashing.ts'
import type { Organisation } from '../store/organisation.ts'
import { type DayHead, dayHeads, leavesAt, type PlacedFact, placedFactsOf, treeHead } from '../store/tree.ts'
import type { Asker } from './asker.ts'
import { factRecord } from './fact-records.ts'
import { checkMayStick } from './rights.ts'
import { type AsOf, type StickOnDay, stickFor } from './sticks.ts'

/** A text that names somebody: with its salt it gives the hash that stands for it. */
export interface OpenText {
  readonly salt: Digest
  readonly text: unknown
}

export interface ProvedRecord {
  /** the fact's number on the stick */
  readonly seq: number
  /** the fact's place in the tree */
  readonly index: number
  /** the hashes beside the way from the leaf to the root */
  readonly path: readonly Digest[]
  /** the record as it is hashed, with nobody's name in it */
  readonly record: object
  /** the texts by their place in the record; one that is not here was erased */
  readonly texts: Readonly<Record<string, OpenText>>
}

export interface ProvedDay extends DayHead {
  /** shows that the tree went on from this head */
  readonly path: readonly Digest[]
}

export interface StickProof {
  readonly organisation: string
  readonly stickId: string
  readonly on: CalendarDate | null
  readonly asKnownOn: CalendarDate | null
  readonly takenAt: Instant
  /** null while the tree has no leaf */
  readonly head: { readonly size: number; readonly root: Digest; readonly at: Instant } | null
  readonly days: readonly ProvedDay[]
  readonly records: readonly ProvedRecord[]
  /** facts that have no place in the tree yet */
  readonly notYet: readonly RecordedFact[]
}

export interface Proved {
  readonly proof: StickProof
  readonly found: StickOnDay
  /** the facts of the proof, as they read */
  readonly facts: readonly RecordedFact[]
}

export async function proofFor(asker: Asker, stickId: string, asOf: AsOf): Promise<Proved> {
  const { organisation, caller, now } = asker
  const found = await stickFor(asker, stickId, asOf)
  const { crewId } = found.stick.state
  checkMayStick(caller, 'take a proof', { crewId, depotId: found.stick.depotId })
  // a fact that comes in from here on is not in it
  const head = await treeHead(organisation)
  const size = head?.size ?? 0
  const [placed, days] = await Promise.all([placedFactsOf(organisation, stickId), dayHeads(organisation)])
  const asked = factsAsOf(placed, asOf, found.zone)
  const isIn = (one: PlacedFact) => one.inTree !== undefined && one.inTree.index < size
  const told = daysToTell(days.filter((day) => day.size <= size))
  const pathOf = await pathsIn(organisation, [
    ...asked.filter(isIn).map(({ inTree }) => inclusionOf(inTree?.index ?? 0, { from: 0, to: size })),
    ...told.map((day) => consistencyOf(day.size, size)),
  ])
  const records = asked.filter(isIn).map((one) => recordProved(organisation, one, { size, pathOf }))
  const proof: StickProof = {
    organisation: organisation.name,
    stickId,
    on: asOf.on ?? null,
    asKnownOn: asOf.asKnownOn ?? null,
    takenAt: now,
    head: head === undefined ? null : { size, root: head.root, at: head.at },
    days: told.map((head) => ({ ...plainHead(head), path: pathOf(consistencyOf(head.size, size)) })),
    records: await Promise.all(records),
    notYet: asked.filter((one) => !isIn(one)).map(({ fact }) => fact),
  }
  return { proof, found, facts: asked.map(({ fact }) => fact) }
}

/** The head without what the table keeps beside it. */
const plainHead = ({ day, size, root, at }: DayHead): DayHead => ({ day, size, root, at })

/** The heads of each day, the oldest first. */
export async function headsFor({ organisation }: Asker): Promise<DayHead[]> {
  return (await dayHeads(organisation)).reverse().map(plainHead)
}

/**
 * Facts that had occurred by the one day, as they had been recorded by the other. A correction and a new verdict count
 * from when they are known, whatever day they are of.
 */
function factsAsOf(placed: readonly PlacedFact[], { on, asKnownOn }: AsOf, zone: string): PlacedFact[] {
  const known = placed.filter(({ fact }) => asKnownOn === undefined || localDateAt(fact.recordedAt, zone) <= asKnownOn)
  const day = on ?? asKnownOn
  const occurred = new Set(known.filter(({ fact }) => day === undefined || fact.occurredOn <= day).map(idOf))
  const first = known.find(({ fact }) => fact.kind === 'registered')
  if (first !== undefined) occurred.add(first.fact.factId)
  return known.filter(({ fact }) => {
    if (fact.kind === 'corrected') return occurred.has(fact.corrects)
    if (fact.kind === 'judged again') return occurred.has(fact.judges)
    return occurred.has(fact.factId)
  })
}

const idOf = ({ fact }: PlacedFact) => fact.factId

/** The heads of ten years are thousands: the last ones are told, and of each month before them the last. */
const mostLastDays = 31

/** The newest comes first. */
function daysToTell(days: readonly DayHead[]): DayHead[] {
  const last = days.slice(0, mostLastDays)
  const months = Map.groupBy(days.slice(mostLastDays), ({ day }) => day.slice(0, 7))
  return [...last, ...[...months.values()].flatMap(([newest]) => newest ?? [])]
}

type PathOf = (parts: readonly Leaves[]) => Digest[]

/** Everything that the paths are made of is read at once. */
async function pathsIn(organisation: Organisation, paths: readonly (readonly Leaves[])[]): Promise<PathOf> {
  const subtrees = paths.flat().flatMap(subtreesOf)
  const leaves = new Map((await leavesAt(organisation, subtrees.map(lastLeafOf))).map((one) => [one.index, one]))
  return (parts) =>
    parts.map((some) => rootAbove(hashing.sha256, (one) => leaves.get(lastLeafOf(one))?.ends[one.level] ?? '', some))
}

interface InThisTree {
  readonly size: number
  readonly pathOf: PathOf
}

async function recordProved(
  organisation: Organisation,
  { stickId, fact, inTree }: PlacedFact,
  { size, pathOf }: InThisTree,
): Promise<ProvedRecord> {
  const { index, ...kept } = inTree ?? { index: 0, salts: {} }
  const record = await factRecord(organisation, stickId, fact)
  const texts = pointersIn(record).flatMap((pointer) => {
    const salt = kept.salts[pointer]
    return salt === undefined ? [] : [[pointer, { salt, text: textAt(record, pointer) }] as const]
  })
  return {
    seq: fact.seq,
    index,
    path: pathOf(inclusionOf(index, { from: 0, to: size })),
    record: sealedRecord(hashing, record, kept),
    texts: Object.fromEntries(texts),
  }
}
