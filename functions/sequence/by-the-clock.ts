/**
 * The sequencer's runs by the clock: they take up facts whose message was lost, look for those of builds that have no
 * tree, ring where a fact waits for more than an hour, and keep the tree's head of each day.
 */
import { addSeconds, type Instant } from '../../shared-domain/calendar.ts'
import type { StandingGroup } from '../../shared-domain/listing.ts'
import { describe, log } from '../ground/log.ts'
import { inTurn } from '../ground/turn.ts'
import { type Organisation, openOrganisation } from '../store/organisation.ts'
import { depotPointers } from '../store/registers.ts'
import type { Key } from '../store/table.ts'
import { alarmWords } from '../store/table-shape.ts'
import {
  factsAt,
  fromTheBeginning,
  type LookedFor,
  lookedForOf,
  organisationsWithTrees,
  placedFactsOf,
  setLookedFor,
  waitingFacts,
} from '../store/tree.ts'
import { closeDay } from './days.ts'
import { lotsOf, type SequenceParts, sequenceFacts, sequenceLot } from './sequence.ts'

export interface SeenTo {
  readonly facts: number
  readonly failed: number
}

/** The time between two runs, as the clock starts them. */
const everyMillis = 900_000

/** A fact that was handed on a minute ago is about to get its place. */
const waitsForItsMessageSeconds = 120
const mostOfAShard = 200
const tooLongSeconds = 3600

/** `mayGoOn` is asked before each page of facts and of sticks: what is left waits for the next run. */
export async function seeToTrees(parts: SequenceParts, mayGoOn: () => boolean = () => true): Promise<SeenTo> {
  const { table, clock } = parts
  const waiting = await waitingFacts(table, addSeconds(clock(), -waitsForItsMessageSeconds), mostOfAShard)
  let { facts, failed } = await takeUp(parts, waiting, mayGoOn)
  for (const name of inTurn(await allOrganisations(parts), clock(), everyMillis)) {
    try {
      const organisation = openOrganisation(table, name)
      facts += await lookForOthers(parts, organisation, mayGoOn)
      await closeDay(organisation, clock())
    } catch (error) {
      failed += 1
      log('error', 'a tree was not seen to', { organisation: name, trouble: describe(error) })
    }
  }
  await ringForThoseLeft(parts)
  return { facts, failed }
}

/** Facts in lots: a table that is slow, or many facts at once, would take longer than a run may last. */
async function takeUp(parts: SequenceParts, places: readonly Key[], mayGoOn: () => boolean): Promise<SeenTo> {
  let facts = 0
  let failed = 0
  for (const lot of lotsOf(places)) {
    if (!mayGoOn()) break
    const seenTo = await takeUpLot(parts, lot)
    facts += seenTo.facts
    failed += seenTo.failed
  }
  return { facts, failed }
}

/** A fact that gets no place keeps none from the others. */
async function takeUpLot(parts: SequenceParts, lot: readonly Key[]): Promise<SeenTo> {
  try {
    return { facts: await sequenceLot(parts, lot), failed: 0 }
  } catch {
    let facts = 0
    let failed = 0
    for (const place of lot) {
      try {
        facts += await sequenceLot(parts, [place])
      } catch (error) {
        failed += 1
        log('error', 'a fact got no place in its tree', { fact: `${place.pk} ${place.sk}`, trouble: describe(error) })
      }
    }
    return { facts, failed }
  }
}

async function allOrganisations({ table, clock }: SequenceParts): Promise<string[]> {
  const [pointers, trees] = await Promise.all([depotPointers(table, clock()), organisationsWithTrees(table)])
  return [...new Set([...pointers.map(({ organisation }) => organisation), ...trees])].sort()
}

/** The index may still show what has its place by now, so each is looked at. */
async function ringForThoseLeft({ table, clock }: SequenceParts): Promise<void> {
  const places = await waitingFacts(table, addSeconds(clock(), -tooLongSeconds), mostOfAShard)
  const left = (await factsAt(table, places)).filter(({ inTree }) => inTree === undefined)
  if (left.length > 0) log('error', alarmWords.notInTree, { facts: left.length, stick: left[0]?.stickId })
}

/** The lists in which every stick lies. */
const groups: readonly StandingGroup[] = ['usable', 'held', 'awaiting', 'removed', 'scrapped']

/**
 * Facts of builds that have no tree wait in no queue: those of earlier ones, and of one that was put back for a while.
 * The lists of sticks are gone through, a page at a time, until nothing is found from their beginning to their end: a
 * stick may have moved from one to the other meanwhile. A week later they are gone through again.
 */
async function lookForOthers(
  parts: SequenceParts,
  organisation: Organisation,
  mayGoOn: () => boolean,
): Promise<number> {
  const now = parts.clock()
  let at = (await lookedForOf(organisation)) ?? fromTheBeginning(now)
  if (at.notBefore > now) return 0
  const lists = await listsOf(organisation, now)
  let facts = 0
  while (at.notBefore <= now && mayGoOn()) {
    const [found, next] = await lookOnOnePage(parts, organisation, { lists, at })
    facts += found
    at = next ?? fromTheBeginning(addDaysTo(now, daysUntilLookedForAgain))
    await setLookedFor(organisation, at)
  }
  return facts
}

const daysUntilLookedForAgain = 7
const addDaysTo = (instant: Instant, days: number) => addSeconds(instant, days * 86_400)

interface StickList {
  readonly name: string
  readonly depotId: string | null
  readonly group: StandingGroup
}

async function listsOf({ registers }: Organisation, now: Instant): Promise<StickList[]> {
  const depots = (await registers.depotsNow(now)).map(({ id }) => id).sort()
  return [null, ...depots].flatMap((depotId) =>
    groups.map((group) => ({ name: `${depotId ?? ''} ${group}`, depotId, group })),
  )
}

async function lookOnOnePage(
  parts: SequenceParts,
  organisation: Organisation,
  { lists, at }: { readonly lists: readonly StickList[]; readonly at: LookedFor },
): Promise<[found: number, next: LookedFor | null]> {
  const known = lists.findIndex(({ name }) => name === at.list)
  const place = Math.max(known, 0)
  const list = lists[place]
  if (list === undefined) return [0, null]
  const { notBefore } = at
  const begin = fromTheBeginning(notBefore)
  const range = { from: known < 0 ? begin.after : at.after, to: '~', limit: 100 }
  const page = await organisation.sticks.standingPage(list.depotId, list.group, range)
  let found = 0
  for (const { stickId } of page.sticks) found += await sequenceFacts(parts, await othersOf(organisation, stickId))
  const foundAny = at.foundAny || found > 0
  if (page.next !== null) return [found, { notBefore, list: list.name, after: page.next, foundAny }]
  const next = lists[place + 1]
  if (next !== undefined) return [found, { ...begin, list: next.name, foundAny }]
  return [found, foundAny ? begin : null]
}

async function othersOf(organisation: Organisation, stickId: string): Promise<Key[]> {
  const facts = await placedFactsOf(organisation, stickId)
  const others = facts.filter(({ inTree, waits }) => inTree === undefined && !waits)
  return others.map(({ seq }) => organisation.keys.fact(stickId, seq))
}
