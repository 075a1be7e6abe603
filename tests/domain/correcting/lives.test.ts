/**
 * Slips put right, over random lives of two sticks: whatever is withdrawn, replaced and moved between them, in whatever
 * order, the state is that of a life in which the slip was never made. What is expected is kept beside by the test
 * itself.
 */
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { addDays, type CalendarDate, type Instant } from '../../../shared-domain/calendar.ts'
import { type Correcting, type Corrects, decideCorrection } from '../../../shared-domain/correcting.ts'
import { decide, nothingOf } from '../../../shared-domain/decide.ts'
import { type Happening, knownSince, type RecordedFact, seatOf, speaks } from '../../../shared-domain/facts.ts'
import type { KeptStick } from '../../../shared-domain/listing.ts'
import { replay } from '../../../shared-domain/state/fold.ts'
import { asKnownNow } from '../../../shared-domain/state/known-now.ts'
import { standingOn } from '../../../shared-domain/state/standing.ts'
import { mayBeUsed } from '../../../shared-domain/state/use.ts'
import { whenOf } from '../../../shared-domain/state/when.ts'
import { knownAt } from '../../support/deciding.ts'
import { tally } from '../../support/tally.ts'
import { tries } from '../../support/tier.ts'
import { day, happened, recordedFact, usPolicy } from '../../support/trade.ts'

const endings = ['pass', 'pass', 'pass', 'electrical', 'examination', 'invalid', 'incomplete'] as const
const destinations = [
  { crewId: 'CR-1' },
  { store: 'DEP-1' },
  { bench: 'DEP-1' },
  'missing',
  'found',
  'scrapped',
] as const

const happening: fc.Arbitrary<Happening> = fc.oneof(
  { weight: 6, arbitrary: fc.constantFrom(...endings).map((ending) => happened.tested(ending)) },
  {
    weight: 4,
    arbitrary: fc.constantFrom('cleaned', 'waxed', 'refinished', 'repaired').map((kind) => happened.step(kind)),
  },
  { weight: 2, arbitrary: fc.constantFrom('tingle', 'drop').map((kind) => happened.defect(kind)) },
  { weight: 1, arbitrary: fc.constantFrom(happened.used(), happened.released()) },
  { weight: 2, arbitrary: fc.constantFrom(...destinations).map((to) => happened.moved(to)) },
)

const hours = fc.option(fc.constantFrom('08:00', '09:40', '14:20'), { nil: undefined })
const when = fc.record({ offset: fc.integer({ min: 0, max: 40 }), at: hours })
type When = { readonly offset: number; readonly at: string | undefined }

type Act =
  | { readonly act: 'record'; readonly on: 0 | 1; readonly what: Happening; readonly when: When }
  | { readonly act: 'withdraw'; readonly which: number }
  | { readonly act: 'replace'; readonly which: number; readonly what: Happening; readonly when: When }
  | { readonly act: 'move'; readonly which: number; readonly when: When | undefined }

const acts: fc.Arbitrary<Act[]> = fc.array(
  fc.oneof(
    {
      weight: 5,
      arbitrary: fc.record({
        act: fc.constant('record' as const),
        on: fc.constantFrom(0 as const, 1 as const),
        what: happening,
        when,
      }),
    },
    { weight: 1, arbitrary: fc.record({ act: fc.constant('withdraw' as const), which: fc.nat(30) }) },
    {
      weight: 2,
      arbitrary: fc.record({ act: fc.constant('replace' as const), which: fc.nat(30), what: happening, when }),
    },
    {
      weight: 1,
      arbitrary: fc.record({
        act: fc.constant('move' as const),
        which: fc.nat(30),
        when: fc.option(when, { nil: undefined }),
      }),
    },
  ),
  { maxLength: 25 },
)

const begun = day('2026-01-01')
const stays = [{ zone: 'UTC', since: '' as const }]

interface Stick {
  kept: KeptStick
  facts: RecordedFact[]
  /** as if no slip had ever been made, in the order in which it was told */
  clean: RecordedFact[]
}

/** Two sticks and what is done to them; each act an hour later than the one before. */
function world() {
  let clock = Date.parse('2026-02-15T12:00:00.000Z')
  let ids = 0
  const idOf = () => `00000000-0000-4000-8000-${String(++ids).padStart(12, '0')}`
  const tick = () => {
    clock += 3_600_000
    return new Date(clock).toISOString() as Instant
  }
  const today = () => new Date(clock).toISOString().slice(0, 10) as CalendarDate

  function factOf(what: Happening, { seq, offset, at, now, since }: FactParts): RecordedFact {
    const on = addDays(begun, offset)
    const known = since !== undefined && whenOf({ day: on, at }, stays, since).fault === null ? since : now
    const fact = recordedFact(what, { seq, on, at, recordedAt: known })
    return { ...fact, factId: idOf(), recordedAt: now }
  }
  interface FactParts extends When {
    readonly seq: number
    readonly now: Instant
    readonly since?: Instant
  }

  function begin(stickId: string): Stick {
    const fact: RecordedFact = {
      ...recordedFact(happened.registered(), { seq: 1, on: begun, recordedAt: '2026-01-01T12:00:00.000Z' as Instant }),
      factId: idOf(),
    }
    const decision = decide(nothingOf(stickId), fact, knownAt(fact, []))
    if (decision.outcome !== 'accepted') throw new Error('not registered')
    return { kept: decision.next, facts: [fact], clean: [fact] }
  }
  const sticks: readonly [Stick, Stick] = [begin('S-1'), begin('S-2')]

  function record(stick: Stick, what: Happening, at: When): boolean {
    const fact = factOf(what, { ...at, seq: stick.kept.recorded + 1, now: tick() })
    const decision = decide(stick.kept, fact, knownAt(fact, stick.facts))
    if (decision.outcome !== 'accepted') return false
    stick.kept = decision.next
    stick.facts = [...stick.facts, fact]
    stick.clean = [...stick.clean, fact]
    return true
  }

  /** What stands at this place of both lives, taken round. */
  function chosen(
    which: number,
    kind?: Happening['kind'],
  ): { stick: Stick; other: Stick; slip: RecordedFact } | undefined {
    const all = sticks.flatMap((stick, i) =>
      stick.clean.flatMap((slip) =>
        slip.kind === 'registered' || slip.kind !== (kind ?? slip.kind)
          ? []
          : [{ stick, slip, other: sticks[i === 0 ? 1 : 0] as Stick }],
      ),
    )
    return all[which % Math.max(1, all.length)]
  }

  const correctionOf = (slip: RecordedFact, seq: number, now: Instant): Correcting['correction'] => ({
    ...recordedFact(
      { kind: 'corrected', corrects: slip.factId, reason: 'a slip', instead: null },
      { seq, on: today(), recordedAt: now },
    ),
    factId: idOf(),
    within: { earliest: now, latest: now },
    kind: 'corrected',
    corrects: slip.factId,
    reason: 'a slip',
    instead: null,
  })

  const told = { what: 'the bench test', on: begun, reason: 'a slip' } as const

  function withdrawOrReplace(which: number, what?: Happening, at?: When) {
    const found = chosen(which, what?.kind)
    if (found === undefined) return undefined
    const { stick, slip } = found
    const now = tick()
    const correction = correctionOf(slip, stick.kept.recorded + 1, now)
    if (correction === undefined) return undefined
    const since = knownSince(slip)
    const instead =
      what === undefined || at === undefined
        ? undefined
        : standing(factOf(what, { ...at, seq: correction.seq + 1, now, since }), slip, seatOf(slip))
    const decision = decideCorrection(
      stick.kept,
      { correction, ...(instead === undefined ? {} : { instead }), judged: [], told },
      knownAt(instead ?? correction, stick.facts),
    )
    if (decision.outcome !== 'accepted') return undefined
    const before = stick.kept
    take(stick, decision)
    stick.clean = stick.clean.flatMap((one) =>
      one.factId !== slip.factId ? [one] : instead === undefined ? [] : [asFirstTold(instead)],
    )
    return { decision, before, slip, instead }
  }

  function move(which: number, at?: When) {
    const found = chosen(which)
    if (found === undefined) return undefined
    const { stick, other, slip } = found
    const now = tick()
    const { offset, at: hour } = at ?? { offset: daysFrom(slip.occurredOn), at: slip.at }
    const since = knownSince(slip)
    const instead = standing(
      factOf(whatOf(slip), { offset, at: hour, seq: other.kept.recorded + 1, now, since }),
      slip,
      undefined,
    )
    const correction = correctionOf(slip, stick.kept.recorded + 1, now)
    if (correction === undefined) return undefined
    const here = decideCorrection(stick.kept, { correction, judged: [], told }, knownAt(correction, stick.facts))
    const there = decideCorrection(other.kept, { instead, judged: [], told }, knownAt(instead, other.facts))
    if (here.outcome !== 'accepted' || there.outcome !== 'accepted') return undefined
    const [before, elsewhere] = [stick.kept, other.kept]
    take(stick, here)
    take(other, there)
    stick.clean = stick.clean.filter((one) => one.factId !== slip.factId)
    other.clean = [...other.clean, asFirstTold(instead)]
    return { decision: here, before, slip, instead: undefined, there: { decision: there, before: elsewhere } }
  }

  function take(stick: Stick, { next, facts }: Corrects): void {
    stick.kept = next
    stick.facts = [...stick.facts, ...facts]
  }

  return { sticks, record, withdrawOrReplace, move, today }
}

/** Without what recording adds. */
function whatOf(fact: RecordedFact): Happening {
  const { factId, seq, occurredOn, at, within, clock, recordedAt, recordedBy, standsFor, ...what } = fact
  return what
}

const daysFrom = (on: CalendarDate) => (Date.parse(on) - Date.parse(begun)) / 86_400_000

function standing(fact: RecordedFact, slip: RecordedFact, seq: number | undefined): RecordedFact {
  const since = knownSince(slip)
  const fits = whenOf({ day: fact.occurredOn, at: fact.at }, stays, since).fault === null
  return {
    ...fact,
    standsFor: {
      factId: slip.factId,
      recordedAt: fits ? since : fact.recordedAt,
      ...(seq === undefined ? {} : { seq }),
    },
  }
}

function asFirstTold(fact: RecordedFact): RecordedFact {
  const { standsFor, ...plain } = fact
  return { ...(plain as RecordedFact), recordedAt: standsFor?.recordedAt ?? fact.recordedAt }
}

/** A life in which the slip was never made: told anew from the first fact to the last. */
function neverSlipped({ clean }: Stick) {
  return replay(clean.map((fact, i) => ({ ...fact, seq: i + 1 })))
}

const undone = (holds: readonly { code: string }[]) => holds.some(({ code }) => code === 'removal-undone')

describe('over random lives of two sticks', () => {
  const runs = tries(10_000, 400)

  test('the state is that of a life without the slip, whatever the order in which facts are read', () => {
    const seen = tally<string>(runs)
    fc.assert(
      fc.property(acts, fc.infiniteStream(fc.nat()), (all, keys) => {
        const { sticks, record, withdrawOrReplace, move, today } = world()
        for (const one of all) {
          if (one.act === 'record') seen.count(record(sticks[one.on], one.what, one.when) && 'recorded')
          if (one.act === 'withdraw') seen.count(withdrawOrReplace(one.which) !== undefined && 'withdrawn')
          if (one.act === 'replace')
            seen.count(withdrawOrReplace(one.which, one.what, one.when) !== undefined && 'replaced')
          if (one.act === 'move') seen.count(move(one.which, one.when) !== undefined && 'moved')
        }
        for (const stick of sticks) {
          const { kept, facts } = stick
          expect(kept.state).toEqual(replay(facts, kept.stickId))
          const shuffled = facts.map((fact) => ({ fact, key: keys.next().value ?? 0 })).sort((a, b) => a.key - b.key)
          expect(
            replay(
              shuffled.map(({ fact }) => fact),
              kept.stickId,
            ),
          ).toEqual(kept.state)
          expect(kept.recorded).toBe(facts.length)
          const [is, clean] = [kept.state, neverSlipped(stick)].map((state) => standingOn(state, today(), usPolicy))
          const wasUndone = facts.some((fact) => fact.kind === 'corrected' && fact.undoes !== undefined)
          seen.count(wasUndone && 'undone')
          if (is === undefined || clean === undefined) throw new Error('no standing')
          const codes = (holds: readonly { code: string }[]) =>
            holds.map(({ code }) => code).filter((code) => code !== 'removal-undone')
          // what undid a removal holds until a test after it; all else is as if nothing had been
          if (!undone(is.holds)) expect(is.status).toBe(clean.status)
          expect(codes(is.holds).sort()).toEqual(codes(clean.holds).sort())
          expect(is.dueOn).toBe(clean.dueOn)
        }
      }),
      { numRuns: runs, seed: 20261130 },
    )
    seen.expectAtLeast(0.2, 'withdrawn', 'replaced', 'moved')
    seen.expectAtLeast(0.01, 'undone')
  })

  test('one person ends no hold, no removal and no end of service but by evidence that would end it anew', () => {
    const seen = tally<string>(runs)
    fc.assert(
      fc.property(acts, (all) => {
        const { sticks, record, withdrawOrReplace, move, today } = world()
        for (const one of all) {
          if (one.act === 'record') {
            record(sticks[one.on], one.what, one.when)
            continue
          }
          const done =
            one.act === 'withdraw'
              ? withdrawOrReplace(one.which)
              : one.act === 'replace'
                ? withdrawOrReplace(one.which, one.what, one.when)
                : move(one.which, one.when)
          if (done === undefined) continue
          const { decision, before, slip, instead } = done
          const was = standingOn(before.state, today(), usPolicy)
          const is = decision.standing
          const needsTwo = decision.ways.length > 0
          seen.count(needsTwo ? 'two' : 'one')
          if (needsTwo) continue
          const isCleared = instead !== undefined && speaks(instead) === 'for'
          expect(speaks(slip) === 'against' && instead === undefined).toBe(false)
          if (['removed from service', 'scrapped'].includes(was.status)) expect(is.status).toBe(was.status)
          if (!mayBeUsed(was.status) && mayBeUsed(is.status)) expect(isCleared).toBe(true)
          if (isCleared) continue
          const codes = new Set(is.holds.map(({ code }) => code))
          for (const { code } of was.holds) expect(codes.has(code) || code).toBe(true)
        }
      }),
      { numRuns: runs, seed: 20261201 },
    )
    seen.expectAtLeast(0.1, 'one', 'two')
  })

  test('what undid a removal holds until a test that came after it', () => {
    const seen = tally<string>(runs)
    fc.assert(
      fc.property(acts, (all) => {
        const { sticks, record, withdrawOrReplace, move, today } = world()
        for (const one of all) {
          if (one.act === 'record') record(sticks[one.on], one.what, one.when)
          if (one.act === 'withdraw') withdrawOrReplace(one.which)
          if (one.act === 'replace') withdrawOrReplace(one.which, one.what, one.when)
          if (one.act === 'move') move(one.which, one.when)
          for (const { kept, facts } of sticks) {
            const undid = facts.filter((fact) => fact.kind === 'corrected' && fact.undoes !== undefined).at(-1)
            if (undid === undefined) continue
            seen.count('undone')
            // the days of these lives are all before the first correction
            expect(mayBeUsed(standingOn(kept.state, today(), usPolicy).status)).toBe(false)
          }
        }
      }),
      { numRuns: runs, seed: 20261202 },
    )
    seen.expectAtLeast(0.01, 'undone')
  })
})

describe('what is known by now', () => {
  test('asked again is the same', () => {
    fc.assert(
      fc.property(acts, (all) => {
        const { sticks, record, withdrawOrReplace } = world()
        for (const one of all) {
          if (one.act === 'record') record(sticks[one.on], one.what, one.when)
          if (one.act === 'withdraw') withdrawOrReplace(one.which)
        }
        const known = asKnownNow(sticks[0].facts)
        expect(asKnownNow(known)).toEqual(known)
      }),
      { numRuns: 200, seed: 20261203 },
    )
  })
})
