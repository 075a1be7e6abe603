/**
 * Tests that an entry judged which was a slip are judged anew, stick by stick. Each transaction may run again. The
 * sticks' people are told of all of them together, once the last is judged; until then the correction waits in its
 * queue.
 */
import { addSeconds, type Instant, localDateAt } from '../../shared-domain/calendar.ts'
import { type Correcting, type Corrects, decideCorrection } from '../../shared-domain/correcting.ts'
import type { RecordedFact } from '../../shared-domain/facts.ts'
import { isMilder } from '../../shared-domain/loosening/effect.ts'
import { type ChangeKind, changeOwed } from '../../shared-domain/notices/change.ts'
import type { OwedNotice } from '../../shared-domain/notices/notice.ts'
import { relisted } from '../../shared-domain/relisting.ts'
import { shapeOfState } from '../../shared-domain/shape-of-state.ts'
import { entrySlipNames, type Slip } from '../../shared-domain/slip.ts'
import { replay } from '../../shared-domain/state/fold.ts'
import { idFrom } from '../ground/derived-id.ts'
import { eachWaiting } from '../ground/each-waiting.ts'
import { describe, log } from '../ground/log.ts'
import { isPinned, type JudgedStick, testsJudgedBy } from '../questions/judged-by.ts'
import { rulesOn, todayAt } from '../questions/today.ts'
import type { Actor } from '../recording/actor.ts'
import { untilDecided } from '../recording/decided.ts'
import { isOtherwise, judgedAnew } from '../recording/judging.ts'
import { type KeptEditionCorrection, setJudgedAnew, toJudgeAnew } from '../store/edition-corrections.ts'
import { type Organisation, openOrganisation } from '../store/organisation.ts'
import type { StoredStick } from '../store/sticks.ts'
import type { Table } from '../store/table.ts'
import { tellOfChanges } from '../telling/changes.ts'

/**
 * Judges anew for all corrections that wait, of every organisation; what is left waits for the next run. Answers how
 * many sticks were judged anew.
 */
export const judgeAnewAll = async (table: Table, now: Instant, mayGoOn: () => boolean) =>
  eachWaiting(await toJudgeAnew(table, now), mayGoOn, {
    work: async (correction) => (await judgeAnew(table, { correction, now }, mayGoOn)).judged,
    failing: ({ factId }, error) =>
      log('error', 'tests are still to be judged anew', { correction: factId, trouble: describe(error) }),
  })

interface Judging {
  readonly correction: KeptEditionCorrection
  readonly now: Instant
}

export async function judgeAnew(
  table: Table,
  { correction, now }: Judging,
  mayGoOn: () => boolean,
): Promise<{ readonly judged: number; readonly finished: boolean }> {
  const organisation = openOrganisation(table, correction.organisation)
  const by = actorOf(organisation, correction, now)
  let judged = 0
  const failed: string[] = []
  for await (const stick of testsJudgedBy(organisation, correction.corrects, now)) {
    if (!mayGoOn()) return { judged, finished: false }
    try {
      judged += await judgeStick(by, correction, stick)
    } catch (error) {
      failed.push(`${stick.stickId}: ${describe(error)}`)
    }
  }
  // people hear of the sticks that are judged, and do not wait for one that is not
  await tellAll(organisation, correction, now)
  if (failed.length > 0) throw new Error(failed.join('; '))
  // sticks are looked through once more: a test that was on its way by the slip may have come in behind the look
  if (now >= addSeconds(correction.at, longestRequestSeconds)) await setJudgedAnew(organisation, correction)
  return { judged, finished: true }
}

/** A door of API Gateway closes after 29 s, and its function may run on a little. */
const longestRequestSeconds = 60

/** The actor in whose name tests are judged anew: the second person where there was one, else whoever asked for it. */
function actorOf(organisation: Organisation, { by, approvedBy }: KeptEditionCorrection, now: Instant): Actor {
  return { organisation, caller: { personId: approvedBy ?? by, role: 'owner', depots: ['*'], crewId: null }, now }
}

const mostTries = 10
/** A transaction holds 100 items: a fact and its id for each, the stick, and notices. */
const testsInALot = 25

/** Judges a stick's tests in lots, so that one transaction holds each; answers 1 where there was anything to judge. */
async function judgeStick(by: Actor, correction: KeptEditionCorrection, found: JudgedStick): Promise<0 | 1> {
  let stick = found
  let lost = 0
  for (let lots = 0; ; ) {
    const outcome = await tryStick(by, correction, stick)
    if (outcome === 'nothing left') return lots === 0 ? 0 : 1
    if (outcome === 'recorded') lots += 1
    else lost += 1
    if (lost === mostTries) throw new Error('it was being written to')
    by.organisation.registers.readAnew()
    // facts are read anew, with what was written meanwhile
    stick = { ...stick, facts: await by.organisation.sticks.facts(stick.stickId) }
  }
}

async function tryStick(
  by: Actor,
  correction: KeptEditionCorrection,
  stick: JudgedStick,
): Promise<'recorded' | 'lost' | 'nothing left'> {
  const { organisation, now } = by
  const { stickId, facts: history } = stick
  const stored = await organisation.sticks.stored(stickId)
  if (stored === undefined) throw new Error(`stick ${stickId} has facts and no state`)
  const state = stored.shape === shapeOfState ? stored.state : replay(history, stickId)
  const before: StoredStick = { ...stored, state }
  const { zone, today: day } = await todayAt(by, stored.depotId)
  const rules = await rulesOn(organisation, day)
  const judged = await judgedOf(by, correction, { ...stick, before, clock: zone })
  const [first] = judged
  if (first === undefined) return 'nothing left'
  const correcting: Correcting = { judged, told: slipOf(correction) }
  const accepted = await untilDecided<Corrects>(by, { before, fact: first, earlier: [] }, (known) =>
    decideCorrection(before, correcting, { ...known, history, day, rules, rulesThen: rules, now }),
  )
  const notices = toldByItself(accepted.owed, changeOwed(before, accepted.standing))
  const { state: after, depotId, recorded, held } = accepted.next
  const isToldAlone = notices.some(({ answer }) => answer !== undefined)
  const kept = { ...before, state: after, depotId, recorded, ...(isToldAlone ? { held } : {}) }
  const { next, listing } = relisted(kept, accepted.standing, { day, rules })
  const facts = accepted.facts.map((fact) => ({ fact, bodyHash: correction.factId }))
  return organisation.sticks.recordTogether([{ before: stored, next, listing, facts, rules, notices }], {
    now,
    also: [],
  })
}

/**
 * Answers the notices that tell of this stick by itself: of its use while unfit, of a hold and of a removal. The kind
 * that all sticks are told of together is left out, and so are dates for the next digest.
 */
function toldByItself(owed: readonly OwedNotice[], together: ChangeKind | null): OwedNotice[] {
  const isApart = ({ kind }: OwedNotice) => kind === 'used while unfit' || kind === 'hold' || kind === 'removal'
  return owed.filter((notice) => isApart(notice) && notice.kind !== together)
}

interface StickToJudge extends JudgedStick {
  readonly before: StoredStick
  readonly clock: string
}

/** A correction by one person makes no test milder: such a test stays as it was. */
async function judgedOf(
  { organisation, now }: Actor,
  { factId: because, secret, corrects, reason, by, approvedBy }: KeptEditionCorrection,
  { stickId, before, facts, tests, clock }: StickToJudge,
): Promise<(RecordedFact & { kind: 'judged again' })[]> {
  const known = new Set(facts.map(({ factId }) => factId))
  const fresh = tests.filter(({ factId }) => !known.has(idFrom(secret, factId)))
  const judged = await Promise.all(
    fresh.map(async (fact) => {
      const { pinned, judgement } = await judgedAnew(organisation, fact.test, { stickId, state: before.state })
      const isSame = !isPinned(corrects, fact) && !isOtherwise({ judgement }, fact)
      const mayNot = approvedBy === undefined && isMilder(judgement, fact.judgement)
      return isSame || mayNot ? [] : [{ fact, pinned, judgement }]
    }),
  )
  return judged
    .flat()
    .slice(0, testsInALot)
    .map(({ fact, pinned, judgement }, i) => {
      const factId = idFrom(secret, fact.factId)
      return {
        kind: 'judged again',
        factId,
        seq: before.recorded + 1 + i,
        occurredOn: localDateAt(now, clock),
        within: { earliest: now, latest: now },
        clock,
        recordedAt: now,
        recordedBy: by,
        ...(approvedBy === undefined ? {} : { approvedBy }),
        judges: fact.factId,
        again: { factId, reason },
        pinned,
        judgement,
        because,
      }
    })
}

function slipOf({ corrects, reason, by }: KeptEditionCorrection): Slip {
  const on = corrects.edition.slice(0, 10) as Slip['on']
  return { what: entrySlipNames[corrects.register], on, reason, by }
}

/**
 * Tells of the sticks that stand otherwise than their people know: those of one day, and so of one set of rules,
 * together.
 */
async function tellAll(organisation: Organisation, correction: KeptEditionCorrection, now: Instant): Promise<void> {
  const { factId, corrects } = correction
  const instruments = await organisation.registers.allInForce('instrument', localDateAt(now, 'UTC'))
  const ids = corrects.register === 'instrument' ? [corrects.id] : instruments.map(({ id }) => id)
  const stickIds = [...(await organisation.sticks.newestTests(ids)).keys()]
  const name = (await organisation.registers.inForce('person', correction.by, localDateAt(now, 'UTC')))?.body.name
  const slip = { ...slipOf(correction), ...(name === undefined ? {} : { by: name }) }
  const byDay = new Map<string, StoredStick[]>()
  for (let i = 0; i < stickIds.length; i += mostTogether) {
    const untold = (await organisation.sticks.fresh(stickIds.slice(i, i + mostTogether))).filter(
      (stick) => stick.untold !== undefined,
    )
    for (const stick of untold) {
      const { today } = await todayAt({ organisation, now }, stick.depotId)
      byDay.set(today, [...(byDay.get(today) ?? []), stick])
    }
  }
  for (const [day, sticks] of byDay) {
    const morning = { day: day as Slip['on'], rules: await rulesOn(organisation, day as Slip['on']) }
    await tellOfChanges({ organisation, morning, now, cause: { by: 'correction', factId, slip } }, sticks)
  }
  if (byDay.size > 0) log('info', 'told what was judged anew', { correction: factId })
}

/** The most sticks that are read together: the states of more would not fit in memory. */
const mostTogether = 100
