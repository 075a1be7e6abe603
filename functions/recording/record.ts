/**
 * Facts about a stick enter here, whoever records them. A fact is decided once, by what came before and by today's date
 * and the rules where the stick lies. One transaction writes all that came in together. A lost race begins again.
 */
import { addDays, daysBetween, endOfDay, isCalendarDate } from '../../shared-domain/calendar.ts'
import { type Accepted, nothingOf } from '../../shared-domain/decide.ts'
import type { RecordedFact } from '../../shared-domain/facts.ts'
import { registerId } from '../../shared-domain/identifiers.ts'
import type { Rules } from '../../shared-domain/policy/rules.ts'
import { may } from '../../shared-domain/rights.ts'
import { shapeOfState } from '../../shared-domain/shape-of-state.ts'
import { invalid, notFound, Refused, refused } from '../ground/errors.ts'
import { sleep } from '../ground/sleep.ts'
import { notYours } from '../questions/rights.ts'
import { rulesOn, todayAt } from '../questions/today.ts'
import type { NewFact, StoredStick } from '../store/sticks.ts'
import type { Actor } from './actor.ts'
import { already, presented } from './already.ts'
import { decided } from './decided.ts'
import type { FactEntry } from './entry.ts'
import { factOf } from './fact-of.ts'
import type { Outcome, There } from './outcome.ts'
import { checkFactFits, checkStateFits } from './room.ts'
import { slipsIn } from './slips.ts'

/**
 * Twenty who write about one stick at one moment are all heard; each waits by chance, so that they do not meet again.
 */
const mostTries = 30
const longestWaitMillis = 15

/** Records all entries, in the order in which they are handed over, or none; answers an outcome for each. */
export async function record<Entries extends readonly FactEntry[]>(
  by: Actor,
  stickId: string,
  ...entries: Entries
): Promise<{ readonly [At in keyof Entries]: Outcome }> {
  let mayStand = false
  for (let tries = 1; tries <= mostTries; tries++) {
    const outcomes = await attempt(by, stickId, { entries, mayStand }).catch((error: unknown) => {
      // a fact that was recorded already may be refused a second time: then it is answered by what stands
      if (mayStand || !(error instanceof Refused)) throw error
      return 'refused' as const
    })
    mayStand = true
    if (outcomes === 'refused') continue
    if (outcomes !== 'lost') return outcomes as { [At in keyof Entries]: Outcome } // the order is that of the entries
    by.organisation.registers.readAnew()
    await sleep(Math.random() * Math.min(tries, 10) * longestWaitMillis)
  }
  throw new Refused({ kind: 'try again' })
}

interface Attempt {
  readonly entries: readonly FactEntry[]
  /** looks up whether an entry may stand already, and does not leave that to the conditions of the transaction */
  readonly mayStand: boolean
}

async function attempt(by: Actor, stickId: string, { entries, mayStand }: Attempt): Promise<Outcome[] | 'lost'> {
  // a report owes notices nearly always: whom they may go to is read together with the stick
  if (entries.some(({ danger }) => danger)) by.organisation.registers.readAhead('person')
  const [found, all] = await Promise.all([
    knownStick(by, stickId, entries),
    Promise.all(entries.map((entry) => presented(by, { stickId, entry, mayStand }))),
  ])
  let { there } = found
  const outcomes: Outcome[] = []
  const fresh: (NewFact & { readonly accepted: Accepted; readonly rules: Rules })[] = []
  for (const one of all) {
    // the fact before this one may have left the stick at another depot
    if (fresh.length > 0) there = { ...there, ...(await atItsDepot(by, there.kept.depotId)) }
    if (hasFallen(one.entry, there)) throw fallen()
    const known = await already(by, one, there)
    if (known === 'lost') return 'lost'
    if (known !== undefined) {
      outcomes.push(known)
      continue
    }
    const { entry, hash } = one
    // what the caller recorded before the stick went elsewhere was answered above
    if (!there.maySee && !entry.danger && entry.kind !== 'used') throw notYours('stick')
    const earlier = fresh.map(({ fact }) => fact)
    const { fact, accepted, remarks } = await following(by, { entry, there, earlier })
    const { maySee, rules } = there
    if (!maySee && !entry.danger && accepted.unfitUses.length === 0) throw notYours('stick')
    fresh.push({
      fact,
      accepted,
      rules,
      bodyHash: hash,
      likeness: entry.likeness,
      placed: entry.waited?.placed,
      also: entry.approved?.also,
    })
    const { next, standing } = accepted
    outcomes.push({ fact, stick: next, standing, today: there.today, news: true, maySee, remarks })
    there = { ...there, kept: next, isOutgrown: false }
  }
  const last = fresh.at(-1)
  if (last === undefined) return outcomes
  const notices = fresh.flatMap(({ accepted }) => accepted.owed)
  const { accepted, rules } = last
  const write = { before: found.before, ...accepted, facts: fresh, rules, notices }
  return (await by.organisation.sticks.record(write, by.now)) === 'lost' ? 'lost' : outcomes
}

export const fallenCode = 'proposal-fallen'
export const fallen = () =>
  refused({
    code: fallenCode,
    refuses: { is: 'refused: other edition' },
  })

/**
 * Answers whether the stick got another entry since the edit was weighed: beside that one it may loosen something else.
 */
function hasFallen({ weighedWith }: FactEntry, { kept }: There): boolean {
  return weighedWith !== undefined && weighedWith !== kept.state.registrations.length
}

/** A bound in days: nobody plans further, and dates beyond year 9999 have no form. */
const furthestAheadDays = 36_525

/**
 * Answers what would follow from a fact that is not recorded. A fact of a later day is asked about at the end of that
 * day.
 */
export async function wouldFollow(by: Actor, stickId: string, entry: FactEntry) {
  const { there } = await knownStick(by, stickId, [entry])
  if (!there.maySee) throw notYours('stick')
  const { occurredOn, days = 1 } = entry
  const furthest = addDays(there.today, furthestAheadDays)
  if (isCalendarDate(occurredOn) && occurredOn > furthest) {
    throw invalid({
      pointer: `/${entry.dateField}`,
      came: occurredOn,
      expected: { is: 'right: not after', last: furthest },
    })
  }
  const lastDay = isCalendarDate(occurredOn) ? addDays(occurredOn, days - 1) : there.today
  const liesAhead = daysBetween(there.today, lastDay) > 0
  const day = liesAhead ? lastDay : there.today
  const now = liesAhead ? endOfDay(day, there.zone) : by.now
  const supposed = { ...there, today: day, rules: await rulesOn(by.organisation, day) }
  const asked = { entry: { ...entry, quiet: true }, there: supposed, earlier: [] }
  const { fact, accepted } = await following({ ...by, now }, asked)
  const questions = await slipsIn(by, { entry, fact, there })
  return { fact, stick: accepted.next, standing: accepted.standing, day, questions }
}

interface Found {
  readonly before: StoredStick | undefined
  readonly there: There
}

/** The stick as it is stored, with the date and the rules at its depot, and whether the caller may see it. */
async function knownStick(by: Actor, stickId: string, entries: readonly FactEntry[]): Promise<Found> {
  const { organisation, caller, now } = by
  const createsStick = entries[0]?.createsStick
  // a number that is no identifier is that of no stick
  const before = registerId.safeParse(stickId).success ? await organisation.sticks.stored(stickId) : undefined
  if (before === undefined && !createsStick) throw notFound({ is: 'none: stick', stick: stickId })
  const kept = before ?? { ...nothingOf(stickId), depotId: createsStick?.depotId ?? null }
  const { crewId } = kept.state
  const maySee = before === undefined || may(caller, 'read a stick', { crewId, depotId: kept.depotId })
  const [atDepot] = await Promise.all([
    atItsDepot(by, kept.depotId),
    // most facts leave a stick with its crew, which is needed further on: asked for together with its depot
    crewId === null ? undefined : organisation.crewNow(crewId, now),
  ])
  const isOutgrown = before !== undefined && before.shape !== shapeOfState
  return { before, there: { kept, isOutgrown, ...atDepot, maySee } }
}

async function atItsDepot(by: Actor, depotId: string | null) {
  const { zone, today } = await todayAt(by, depotId)
  return { today, zone, rules: await rulesOn(by.organisation, today) }
}

interface Following {
  readonly entry: FactEntry
  readonly there: There
  /** facts recorded together with this one, before it */
  readonly earlier: readonly RecordedFact[]
}

/** The fact in its place and what is decided of it, or the reasons why it may not be. */
async function following(by: Actor, { entry, there, earlier }: Following) {
  const { kept, today, rules, isOutgrown } = there
  const { fact, remarks } = await factOf(by, entry, there)
  checkFactFits(fact)
  const accepted = await decided(by, {
    before: kept,
    fact,
    earlier,
    day: today,
    rules,
    rulesThen: await rulesOn(by.organisation, fact.occurredOn),
    isOutgrown,
    ...(entry.quiet === undefined ? {} : { quiet: entry.quiet }),
    ...(by.importing === undefined ? {} : { importing: by.importing }),
  })
  checkStateFits(kept.state, accepted.next.state, fact)
  return { fact, accepted, remarks: [...(entry.remarks ?? []), ...remarks] }
}
