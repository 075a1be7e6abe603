/** What a fact makes of a stick, what speaks against it, and who is told: one decision, told as stories. */
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { type Decision, decide, nothingOf } from '../../shared-domain/decide.ts'
import type { RecordedFact } from '../../shared-domain/facts.ts'
import { noRules, rulesFrom } from '../../shared-domain/policy/rules.ts'
import { replay } from '../../shared-domain/state/fold.ts'
import { standingOn } from '../../shared-domain/state/standing.ts'
import { mustNotBeUsed } from '../../shared-domain/state/use.ts'
import { given, knownAt, type Told, tell } from '../support/deciding.ts'
import { tally } from '../support/tally.ts'
import { cases } from '../support/tier.ts'
import { aStick, aTest, day, happened, history, usPolicy } from '../support/trade.ts'

const entered: Told = ['2026-01-01', happened.registered()]
const passed: Told = ['2026-03-01', happened.tested('pass')]
const tingle: Told = ['2026-03-05', happened.defect()]
const everybody = (kind: string) => [
  `${kind} → ana@crew-one.example`,
  `${kind} → bo@crew-one.example`,
  `${kind} → manager@demo-utility.example`,
]

describe('a stick from fact to fact', () => {
  test('is entered, and awaits its first test', () => {
    given().when(entered).then({ status: 'awaiting first test', dueOn: null, owed: [], list: 'awaiting', refused: [] })
  })

  test('passes, and is fit for two years; nobody has to be told of it', () => {
    // 29 CFR 1910.269(j)(2)(iii): every 2 years
    given(entered).when(passed).then({
      status: 'in service',
      dueOn: '2028-03-01',
      owed: [],
      list: 'usable',
      nextTellOn: '2028-01-01',
    })
  })

  test('is stopped by a report, and its people are told at once', () => {
    given(entered, passed)
      .when(tingle)
      .then({
        status: 'on hold',
        holds: ['defect-reported'],
        owed: everybody('hold'),
        list: 'held',
        nextTellOn: null,
      })
  })

  test('comes back by a full test that passes, and its people are told of that too', () => {
    given(entered, passed, tingle)
      .when(['2026-03-08', happened.tested('pass')])
      .then({ status: 'in service', holds: [], owed: everybody('return'), list: 'usable' })
  })

  test('is not handed out while it is on hold, and the reasons say why', () => {
    given(entered, passed, tingle)
      .when(['2026-03-06', happened.moved({ crewId: 'CR-2' })])
      .then({ refused: ['on-hold', 'defect-reported'] })
  })

  test('goes to another crew while it is fit; the report after that is told to those who have it', () => {
    given(entered, passed, ['2026-03-04', happened.moved({ crewId: 'CR-2' })])
      .when(tingle)
      .then({ owed: ['hold → cy@crew-two.example', 'hold → manager@demo-utility.example'] })
  })

  test('fails twice, and leaves service for good', () => {
    given(entered, passed, ['2026-03-08', happened.tested('electrical')], ['2026-03-09', happened.step('refinished')])
      .when(['2026-03-10', happened.tested('electrical')])
      .then({ status: 'removed from service', owed: everybody('removal'), list: 'removed' })
  })

  test('keeps what a late report says of it: tested since, told all the same', () => {
    given(entered, passed, ['2026-03-08', happened.tested('pass')])
      .when(['2026-03-07', happened.defect(), '10:00'])
      .then({ status: 'in service', owed: everybody('report') })
  })

  test('is asked for the hour of a pass where something against it stands on that day', () => {
    given(entered, passed, tingle)
      .when(['2026-03-05', happened.tested('pass')])
      .then({ asksForHour: true, refused: [] })
    given(entered, passed, ['2026-03-05', happened.defect(), '08:00'])
      .when(['2026-03-05', happened.tested('pass'), '15:00'])
      .then({ asksForHour: false, status: 'in service' })
  })

  test('used after it was held: told as such, beside the hold that stands', () => {
    given(entered, passed, tingle)
      .when(['2026-03-06', happened.used()])
      .then({ owed: everybody('used while unfit') })
  })

  test('carried over from before, it is stopped and nobody is told', () => {
    given(entered, passed).when(tingle, { quiet: true }).then({ status: 'on hold', owed: [] })
  })

  test('before anybody entered rules it must not be used', () => {
    given(entered).when(passed, { rules: noRules, rulesThen: noRules }).then({ status: 'on hold', list: 'held' })
  })

  test('is judged for an issue by the rules of its day and by those of now', () => {
    const issue: Told = ['2026-03-05', happened.moved({ crewId: 'CR-2' })]
    given(entered, passed).when(issue).then({ refused: [] })
    given(entered, passed)
      .when(issue, { rulesThen: noRules })
      .then({ refused: ['on-hold', 'policy-missing'] })
  })
})

describe('a due date brought forward, beside the label on the stick', () => {
  const us = 'us-29-cfr-1910-269-j'
  const yearly = rulesFrom({
    packs: [us],
    shorten: [{ requirement: `${us}-frp`, interval: { months: 12 }, source: 'Tool manual 1.2' }],
  })
  const shows = (on: string): Told => ['2026-03-02', happened.labelled(on)]
  const used: Told = ['2026-03-05', happened.used()]
  const forward = everybody('date brought forward')

  test('is told at once where the label shows a later date, and again a week later', () => {
    given(entered, passed, shows('2028-03-01'))
      .when(used, { rules: yearly })
      .then({ status: 'in service', dueOn: '2027-03-01', owed: forward, nextTellOn: '2026-03-12' })
  })

  test.each([
    ['of an earlier date', [shows('2027-03-01')]],
    ['that was taken off', [shows('2028-03-01'), ['2026-03-03', happened.labelled()]]],
  ] as const)('is not told at once beside a label %s', (_, labels) => {
    given(entered, passed, ...labels)
      .when(used, { rules: yearly })
      .then({ dueOn: '2027-03-01', owed: [], nextTellOn: '2026-12-31' })
  })

  test('is told as before where nobody recorded a label', () => {
    given(entered, passed).when(used, { rules: yearly }).then({ owed: forward, nextTellOn: '2026-12-31' })
  })

  test('is news once: later facts tell it no more, and the label taken off ends it', () => {
    const later: Told[] = [
      ['2026-03-06', happened.used()],
      ['2026-03-07', happened.labelled()],
    ]
    const facts = history(entered, passed, shows('2028-03-01'), used, ...later)
    const { kept } = facts.slice(0, 3).reduce(tell, { kept: nothingOf('S-1'), facts: [] })
    const after: (readonly unknown[])[] = []
    facts.slice(3).reduce((so, fact, i) => {
      const decision = decide(so, fact, { ...knownAt(fact, facts.slice(0, 3 + i)), rules: yearly })
      if (decision.outcome !== 'accepted') throw new Error(JSON.stringify(decision))
      const { next, owed, listing } = decision
      after.push([owed.length, next.labelTold?.on, listing.nextTellOn])
      return next
    }, kept)
    expect(after).toEqual([
      [3, '2026-03-05', '2026-03-12'],
      [0, '2026-03-05', '2026-03-12'],
      [0, undefined, '2026-12-31'],
    ])
  })

  test('a hold says what the label still shows, and a return what it shows too late', () => {
    const lines = (before: readonly Told[], event: Told) => {
      const { decision } = given(entered, passed, shows('2028-03-01'), ...before).when(event, { rules: yearly })
      return decision.outcome === 'accepted'
        ? decision.owed.map(({ kind, lines: [line] }) => [kind, line?.wrongLabel])
        : []
    }
    expect(lines([], tingle)[0]).toEqual(['hold', '2028-03-01'])
    expect(lines([tingle], ['2026-03-08', happened.tested('pass')])[0]).toEqual(['return', '2028-03-01'])
  })
})

describe('what is not known yet is asked for, and nothing is decided before', () => {
  const facts = history(entered, passed, tingle)
  const report = facts[2] as RecordedFact
  const kept = facts.slice(0, 2).reduce(tell, { kept: nothingOf('S-1'), facts: [] }).kept
  const known = knownAt(report, facts.slice(0, 2))
  const { registers } = known
  const missing = (over: Partial<typeof known>, fact = report): Decision => decide(kept, fact, { ...known, ...over })

  test('its crew, its depot, those who are to be told', () => {
    const crews = new Map()
    expect(missing({ registers: { ...registers, crews } })).toEqual({
      outcome: 'incomplete',
      missing: 'crew',
      id: 'CR-1',
    })
    const depotNames = new Map()
    expect(missing({ registers: { ...registers, depotNames } })).toEqual({
      outcome: 'incomplete',
      missing: 'depot',
      id: 'DEP-1',
    })
    const { people: _, ...nobody } = registers
    expect(missing({ registers: nobody })).toEqual({ outcome: 'incomplete', missing: 'people' })
  })

  test('its history, where the fact is late, where the state is outgrown, and where an hour may be needed', () => {
    const late = { ...(history(entered, entered, ['2026-02-01', happened.used()])[2] as RecordedFact), seq: 3 }
    const { history: _, ...rest } = known
    const asksForHistory = { outcome: 'incomplete', missing: 'history' }
    expect(decide(kept, late, rest)).toEqual(asksForHistory)
    expect(decide(kept, report, { ...rest, isOutgrown: true })).toEqual(asksForHistory)
    expect(decide(kept, report, rest).outcome).toBe('accepted')
    const held = tell({ kept, facts: facts.slice(0, 2) }, report).kept
    const [pass] = history(['2026-03-05', happened.tested('pass')]) as [RecordedFact]
    expect(decide(held, { ...pass, seq: 4 }, { ...rest, day: day('2026-03-05') })).toEqual(asksForHistory)
  })

  test('of a crew that nobody entered, nobody of it is told, and the managers are', () => {
    const crews = new Map([['CR-1', undefined]])
    const decision = missing({ registers: { ...registers, crews } })
    expect(decision.outcome === 'accepted' && decision.owed.map(({ to }) => to.email)).toEqual([
      'manager@demo-utility.example',
    ])
  })
})

describe('what is kept', () => {
  const runs = cases(2000, 200)
  const kinds = [
    () => happened.registered({ ...aStick, lot: 'L-8' }),
    () => happened.tested('pass'),
    () => happened.tested('electrical'),
    () => happened.tested('pass', aTest({ cleaned: false })),
    () => happened.step('cleaned'),
    () => happened.step('repaired'),
    () => happened.defect(),
    () => happened.used(),
    () => happened.moved('missing'),
    () => happened.moved({ store: 'DEP-1' }),
    () => happened.moved({ crewId: 'CR-2' }),
  ]
  const days = Array.from({ length: 12 }, (_, i) => `2026-03-${String(i + 1).padStart(2, '0')}`)
  const events = fc.array(
    fc.record({ kind: fc.nat(kinds.length - 1), on: fc.constantFrom(...days), hour: fc.integer({ min: 6, max: 11 }) }),
    { minLength: 1, maxLength: 12 },
  )

  test('is the fold of the facts, in whatever order they came; what is told of says how it stands', () => {
    const seen = tally<'late' | 'refused' | 'told' | 'held'>(runs)
    fc.assert(
      fc.property(events, (all) => {
        const told = all.map(
          ({ kind, on, hour }): Told => [
            on,
            (kinds[kind] as (typeof kinds)[number])(),
            `${String(hour).padStart(2, '0')}:00`,
          ],
        )
        const story = history(entered, ...told).reduce<ReturnType<typeof tell>>(
          (known, one) => {
            const fact = { ...one, seq: known.kept.recorded + 1 }
            const decision = decide(known.kept, fact, knownAt(fact, known.facts))
            seen.count(decision.outcome === 'refused' && 'refused')
            if (decision.outcome !== 'accepted') return known
            const { next, standing, owed, listing } = decision
            const facts = [...known.facts, fact]
            expect(next.state).toEqual(replay(facts, 'S-1'))
            expect(next.recorded).toBe(facts.length)
            expect(standing).toEqual(standingOn(next.state, day(fact.recordedAt.slice(0, 10)), usPolicy))
            expect(next.shownDueOn).toBe(standing.dueOn)
            if (standing.status === 'on hold') expect(listing.held).toBeDefined()
            if (!mustNotBeUsed(standing.status)) expect(listing.held).toBeUndefined()
            for (const { lines } of owed) expect(lines[0]?.status).toBe(standing.status)
            seen.count(
              fact.occurredOn < fact.recordedAt.slice(0, 10) && 'late',
              owed.length > 0 && 'told',
              standing.status === 'on hold' && 'held',
            )
            return { kept: next, facts }
          },
          { kept: nothingOf('S-1'), facts: [] },
        )
        expect(story.kept.stickId).toBe('S-1')
      }),
      { numRuns: runs },
    )
    seen.expectAtLeast(0.3, 'late', 'told', 'held')
    seen.expectAtLeast(0.1, 'refused')
  })
})
