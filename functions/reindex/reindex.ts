/**
 * Lists are written anew, page by page, after a change of the rules, or of a crew's depot. Every answer about a stick
 * goes by the new rules already; the lists by date follow here. Whoever has a stick that the new rules hold, or hold no
 * longer, hears of it as soon as all lists are written. Each page can run again; what is written already is left.
 */

import { type CalendarDate, type Instant, localDateAt } from '../../shared-domain/calendar.ts'
import type { StandingGroup } from '../../shared-domain/listing.ts'
import { shapeOfState } from '../../shared-domain/shape-of-state.ts'
import { standingOn } from '../../shared-domain/state/standing.ts'
import { inTurn } from '../ground/turn.ts'
import { toJudgeAnew } from '../store/edition-corrections.ts'
import { type Organisation, openOrganisation } from '../store/organisation.ts'
import { toSettle } from '../store/recalls.ts'
import { depotPointers } from '../store/registers.ts'
import { isWritten, reindexProgressOf, setMark } from '../store/reindexed.ts'
import type { StoredStick } from '../store/sticks.ts'
import type { Table } from '../store/table.ts'
import { tellOfChanges } from '../telling/changes.ts'
import { followCrews } from './crews-moved.ts'
import { type RewriteOutcome, rewriteAll, sticksOnPage } from './rewrite.ts'

/** Sticks that are out of service for good keep their place, and are only folded anew. */
const groups: readonly StandingGroup[] = ['usable', 'held', 'awaiting', 'removed', 'scrapped']
const isForGood = (group: StandingGroup) => group === 'removed' || group === 'scrapped'

/** The time between two runs, as the clock starts them. */
const everyMillis = 300_000

/**
 * Judging anew is seldom asked for, and is as much code as all else here, so it is loaded only where a correction
 * waits.
 */
async function judgeAnewAll(...asked: Parameters<JudgeAnewAll>): ReturnType<JudgeAnewAll> {
  const [table, now] = asked
  if ((await toJudgeAnew(table, now)).length === 0) return { sticks: 0, failed: false }
  return (await import('../anew/anew.ts')).judgeAnewAll(...asked)
}

/** Recalls are seldom, too. Their sticks are told of by the recall before anybody is told of other rules. */
async function settleAll(...asked: Parameters<SettleAll>): ReturnType<SettleAll> {
  const [table, now] = asked
  if ((await toSettle(table, now)).length === 0) return { sticks: 0, failed: false }
  return (await import('../telling/recalls.ts')).settleAll(...asked)
}

type SettleAll = typeof import('../telling/recalls.ts')['settleAll']
type JudgeAnewAll = typeof import('../anew/anew.ts')['judgeAnewAll']

interface Place {
  readonly depotId: string | null
  readonly today: CalendarDate
}

/** `mayGoOn` is asked before each page: what is left waits for the next run. */
export async function reindex(table: Table, now: Instant, mayGoOn: () => boolean): Promise<RewriteOutcome> {
  const pointers = await depotPointers(table, now)
  const organisations = Map.groupBy(pointers, ({ organisation }) => organisation)
  const anew = await judgeAnewAll(table, now, mayGoOn)
  const recalled = await settleAll(table, now, mayGoOn)
  let sticks = anew.sticks + recalled.sticks
  for (const [name, depots] of inTurn([...organisations], now, everyMillis)) {
    const organisation = openOrganisation(table, name)
    const places = [
      ...depots.map(({ depotId, timeZone }) => ({ depotId, today: localDateAt(now, timeZone) })),
      { depotId: null, today: localDateAt(now, 'UTC') },
    ]
    const steps = [
      ...places.map((place) => () => reindexDepot(organisation, place, mayGoOn)),
      () => followCrews(organisation, now, mayGoOn),
    ]
    for (const step of steps) {
      const outcome = await step()
      sticks += outcome.sticks
      if (!outcome.finished) return { sticks, finished: false }
    }
    await tellUntold(organisation, places, now)
  }
  // a failed judgement keeps nobody's lists waiting; the run ends in an error, so that an alarm rings
  if (anew.failed) throw new Error('tests are still to be judged anew')
  if (recalled.failed) throw new Error('a recall is still to be settled')
  return { sticks, finished: true }
}

/**
 * Tells of changes once all depots are done, so that a person hears of one change once. The index may not show yet what
 * was only just written, so each run looks through a depot again until one finds nothing there.
 */
async function tellUntold(organisation: Organisation, places: readonly Place[], now: Instant): Promise<void> {
  const marked = await marksOfPlaces(organisation, places)
  const waiting = marked.flatMap(({ place, mark }) => (mark?.untold ? [{ place, mark }] : []))
  // depots of one day, and so of one set of rules, together
  for (const [day, some] of Map.groupBy(waiting, ({ place }) => place.today)) {
    const morning = { day, rules: await organisation.rulesOn(day) }
    const depotIds = some.map(({ place }) => place.depotId)
    const found = new Map<string | null, number>()
    let together: StoredStick[] = []
    for await (const { depotId, sticks } of organisation.sticks.untoldOf(depotIds)) {
      found.set(depotId, (found.get(depotId) ?? 0) + sticks.length)
      together.push(...sticks)
      if (together.length < mostTogether) continue
      await tellOfChanges({ organisation, morning, now }, together)
      together = []
    }
    await tellOfChanges({ organisation, morning, now }, together)
    for (const { place, mark } of some)
      if (!found.get(place.depotId)) await setMark(organisation, place.depotId, { ...mark, untold: false })
  }
}

/**
 * The most sticks that are told of together, so that a person gets one mail. The states of more would not fit in
 * memory.
 */
const mostTogether = 1000

async function marksOfPlaces(organisation: Organisation, places: readonly Place[]) {
  const found = places.map(async (place) => ({ place, mark: await reindexProgressOf(organisation, place.depotId) }))
  return Promise.all(found)
}

async function reindexDepot(
  organisation: Organisation,
  { depotId, today }: Place,
  mayGoOn: () => boolean,
): Promise<RewriteOutcome> {
  const rules = await organisation.rulesOn(today)
  const mark = await reindexProgressOf(organisation, depotId)
  if (rules.edition === undefined || isWritten(mark, rules)) return { sticks: 0, finished: true }
  const { id } = rules
  const morning = { day: today, rules }
  let sticks = 0
  let untold = mark?.untold ?? false
  let next = mark?.rules === id ? mark.next : { group: 'usable' as StandingGroup, after: '0' }
  while (next !== null) {
    if (!mayGoOn()) return { sticks, finished: false }
    const page = await organisation.sticks.standingPage(depotId, next.group, {
      from: next.after,
      to: '~',
      limit: sticksOnPage,
    })
    const { group } = next
    const rewritten = await rewriteAll(organisation, page.sticks, {
      // a fact that comes in meanwhile is written under the new rules itself
      isStale: ({ writtenUnder, shape }) => writtenUnder !== id && (!isForGood(group) || shape !== shapeOfState),
      as: ({ state }) => ({ standing: standingOn(state, today, rules), morning }),
    })
    sticks += rewritten.sticks
    // sticks count, too, that were written by a run that broke off before its mark
    untold ||= rewritten.untold || page.sticks.some((one) => one.untold !== undefined)
    next = page.next === null ? afterGroup(next.group) : { group: next.group, after: page.next }
    await setMark(organisation, depotId, { rules: id, next, untold })
  }
  return { sticks, finished: true }
}

function afterGroup(group: StandingGroup): { group: StandingGroup; after: string } | null {
  const next = groups[groups.indexOf(group) + 1]
  return next === undefined ? null : { group: next, after: '0' }
}
