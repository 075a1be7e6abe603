import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { addDays } from '../../../shared-domain/calendar.ts'
import type { Happening, RecordedFact } from '../../../shared-domain/facts.ts'
import type { Requirement } from '../../../shared-domain/policy/requirement.ts'
import { noRules, rulesFrom } from '../../../shared-domain/policy/rules.ts'
import type { Stick } from '../../../shared-domain/registers.ts'
import { append, replay } from '../../../shared-domain/state/fold.ts'
import { asJudgedNow } from '../../../shared-domain/state/judged-again.ts'
import { standingOn } from '../../../shared-domain/state/standing.ts'
import { initial, type StickState } from '../../../shared-domain/state/state.ts'
import { mayBeUsed } from '../../../shared-domain/state/use.ts'
import { inOrder } from '../../../shared-domain/state/when.ts'
import { inEnglish, isKnown } from '../../support/english.ts'
import { tally } from '../../support/tally.ts'
import { aStick, day, happened, history, usPolicy } from '../../support/trade.ts'

const endings = ['pass', 'pass', 'pass', 'electrical', 'examination', 'invalid', 'incomplete'] as const
const happening: fc.Arbitrary<Happening> = fc.oneof(
  { weight: 5, arbitrary: fc.constantFrom(...endings).map((ending) => happened.tested(ending)) },
  {
    weight: 4,
    arbitrary: fc.constantFrom('cleaned', 'waxed', 'refinished', 'repaired').map((kind) => happened.step(kind)),
  },
  { weight: 1, arbitrary: fc.constantFrom('tingle', 'drop').map((kind) => happened.defect(kind)) },
  { weight: 1, arbitrary: fc.constantFrom(happened.used(), happened.released()) },
  // of one of the first facts: a judgement of what is no test judges nothing
  {
    weight: 2,
    arbitrary: fc
      .tuple(fc.integer({ min: 2, max: 12 }), fc.constantFrom(...endings))
      .map(([seq, ending]) => happened.judgedAgain(seq, ending)),
  },
  {
    weight: 2,
    arbitrary: fc
      .constantFrom(
        { crewId: 'CR-1' },
        { crewId: 'CR-2' },
        { store: 'DEP-1' },
        { bench: 'DEP-1' },
        'missing' as const,
        'found' as const,
      )
      .map((to) => happened.moved(to)),
  },
  { weight: 1, arbitrary: fc.boolean().map((passed) => happened.testedBefore(passed)) },
  { weight: 1, arbitrary: fc.integer({ min: 2, max: 12 }).map((seq) => happened.countedBefore(seq)) },
  { weight: 1, arbitrary: fc.constantFrom('a', 'b').map((reason) => happened.removed(reason)) },
  { weight: 1, arbitrary: fc.constantFrom(happened.restored(), happened.paperLookedAt()) },
  { weight: 1, arbitrary: fc.constantFrom('2028-01-05', '2028-02-09', undefined).map((on) => happened.labelled(on)) },
)
const event = fc.tuple(
  fc.integer({ min: 0, max: 40 }),
  happening,
  fc.option(fc.constantFrom('08:00', '09:40', '14:20'), { nil: undefined }),
)

/** A random history, as recorded: days need not rise. */
const histories = fc.array(event, { maxLength: 25 }).map((events) =>
  history(
    ['2026-01-01', happened.registered()],
    ...events.map(([offset, what, at]): [string, Happening, string?] => {
      const on = addDays(day('2026-01-01'), offset)
      return at === undefined ? [on, what] : [on, what, at]
    }),
  ),
)
const runs = { numRuns: Number(process.env.PROPERTY_RUNS ?? 2_000), seed: 20260304 }

/** As a door does it: append where that is enough, replay where the fact comes late. */
function stored(facts: readonly RecordedFact[]): StickState {
  return facts.reduce((state, fact, i) => append(state, fact) ?? replay(facts.slice(0, i + 1)), initial)
}

describe('state = replay(facts)', () => {
  test('the stored state is the replay of its facts, however late they came', () => {
    fc.assert(
      fc.property(histories, (facts) => {
        expect(stored(facts)).toEqual(replay(facts))
      }),
      runs,
    )
  })

  test('does not depend on the order in which facts are read from the store', () => {
    fc.assert(
      fc.property(histories, fc.infiniteStream(fc.nat()), (facts, keys) => {
        const shuffled = facts.map((fact) => ({ fact, key: keys.next().value ?? 0 })).sort((a, b) => a.key - b.key)
        expect(replay(shuffled.map(({ fact }) => fact))).toEqual(replay(facts))
      }),
      runs,
    )
  })

  test('folds every fact exactly once', () => {
    fc.assert(
      fc.property(histories, (facts) => {
        expect(replay(facts).facts).toBe(facts.length)
        expect(new Set(inOrder(facts).map(({ fact }) => fact.seq)).size).toBe(facts.length)
      }),
      runs,
    )
  })
})

describe('in the order of time', () => {
  test('what speaks for a stick has no hour, and comes before what speaks against it: it clears nothing', () => {
    const facts = history(
      ['2026-01-01', happened.registered()],
      ['2026-03-02', happened.tested('electrical')],
      ['2026-03-02', happened.step('cleaned')],
      ['2026-03-02', happened.tested('pass')],
    )
    expect(standingOn(replay(facts), day('2026-03-02'), usPolicy).holds.map(({ code }) => code)).toEqual([
      'failed-test',
    ])
  })

  test('on a day of their own, a cleaning and the test after it need no hour', () => {
    const facts = history(
      ['2026-01-01', happened.registered()],
      ['2026-03-02', happened.tested('electrical')],
      ['2026-03-03', happened.step('cleaned')],
      ['2026-03-03', happened.tested('pass')],
    )
    expect(standingOn(replay(facts), day('2026-03-03'), usPolicy).status).toBe('in service')
  })

  test.each([
    ['repaired', '09:40', 'on hold'],
    ['repaired', '14:20', 'in service'],
    ['refinished', '09:40', 'on hold'],
  ] as const)('%s about noon without an hour, tested at %s: %s', (kind, at, status) => {
    const facts = history(
      ['2026-01-01', happened.registered()],
      ['2026-03-01', happened.tested('pass')],
      ['2026-03-02', happened.step(kind)],
      ['2026-03-02', happened.tested('pass'), at],
    )
    expect(standingOn(replay(facts), day('2026-03-02'), usPolicy).status).toBe(status)
  })

  test('a step that came before the failure is no step after it, whenever it is recorded', () => {
    const facts = history(
      ['2026-01-01', happened.registered()],
      ['2026-03-03', happened.tested('electrical')],
      ['2026-03-02', happened.step('cleaned')],
      ['2026-03-04', happened.tested('pass')],
    )
    expect(standingOn(replay(facts), day('2026-03-04'), usPolicy).holds.map((hold) => hold.code)).toContain(
      'no-corrective-step',
    )
  })
})

describe('what speaks against a stick, without an hour, had happened by the time it was recorded', () => {
  const morning = ['2026-03-02', happened.tested('pass'), '09:40'] as const
  const statusOf = (...events: Parameters<typeof history>) =>
    standingOn(
      replay(history(['2026-01-01', happened.registered()], ...events)),
      day('2026-03-02'),
      usPolicy,
    ).holds.map(({ code }) => code)
  const unsound: Happening = {
    kind: 'condition checked',
    check: { factId: 'x', occurredOn: day('2026-03-02'), by: 'Ines Roth', sound: false },
  }

  test.each([
    ['a report', happened.defect('tingle'), 'defect-reported'],
    ['a look that found something', unsound, 'defect-reported'],
    ['a failed test', happened.tested('electrical'), 'failed-test'],
    ['a test that left something unmeasured', happened.tested('incomplete'), 'test-incomplete'],
    ['missing', happened.moved('missing'), 'reported-missing'],
  ])('%s: a test of that morning, typed in later, clears nothing', (_, what, code) => {
    expect(statusOf(['2026-03-02', what], morning)).toEqual([code])
    expect(statusOf(morning, ['2026-03-02', what])).toEqual([code])
  })

  test('found again: nor that', () => {
    const missing = ['2026-03-01', happened.moved('missing')] as const
    expect(statusOf(missing, ['2026-03-02', happened.moved('found')], morning)).toEqual(['found-untested'])
  })

  test('recorded on its day, it is cleared by a test after that hour alone', () => {
    const holds = (...events: Parameters<typeof history>) =>
      standingOn(
        replay(history(['2026-01-01', happened.registered()], ['2026-03-02', happened.defect()], ...events)),
        day('2026-03-02'),
        usPolicy,
      ).holds
    expect(holds(['2026-03-02', happened.tested('pass'), '11:59'])).toHaveLength(1)
    // at one and the same minute what speaks against it stands last
    expect(holds(['2026-03-02', happened.tested('pass'), '12:00'])).toHaveLength(1)
    expect(holds(['2026-03-02', happened.tested('pass'), '12:01'])).toEqual([])
    expect(holds(['2026-03-02', happened.tested('pass')])).toHaveLength(1)
  })
})

describe('a test shows what the register said of the stick, and nothing of what it says since', () => {
  const holds = (was: Partial<Stick>, is: Partial<Stick>, ...more: Parameters<typeof history>) =>
    standingOn(
      replay(
        history(
          ['2026-01-01', happened.registered({ ...aStick, ...was })],
          ['2026-01-02', happened.tested('pass')],
          ['2026-01-03', happened.registered({ ...aStick, ...is })],
          ...more,
        ),
      ),
      day('2026-01-04'),
      usPolicy,
    ).holds.map((hold) => [hold.code, /another (.*) than/.exec(inEnglish.hold(hold).text)?.[1]])
  const tip = [{ name: 'tip', lengthMetres: 2.4 }]

  test.each<[string, Partial<Stick>, Partial<Stick>]>([
    ['construction', { construction: 'foam-filled FRP tube' }, { construction: 'hollow FRP tube' }],
    ['working length', { workingLengthMetres: 2.4 }, { workingLengthMetres: 2.401 }],
    ['diameter', { diameterMillimetres: 32 }, { diameterMillimetres: 90 }],
    ['sections', {}, { sections: tip }],
    ['sections', { sections: tip }, { sections: [{ name: 'tip', lengthMetres: 2.5 }] }],
    ['line voltage', { lineKilovolts: 15 }, { lineKilovolts: 345 }],
    ['line voltage', { lineKilovolts: 15 }, {}],
  ])('another %s', (what, was, is) => {
    expect(holds(was, is)).toEqual([['entry-changed', what]])
    expect(holds(was, is, ['2026-01-04', happened.registered({ ...aStick, ...was })])).toEqual([])
  })

  test.each<[string, Partial<Stick>, Partial<Stick>]>([
    ['a shorter one', { workingLengthMetres: 2.4 }, { workingLengthMetres: 2.3 }],
    ['a lower line voltage', { lineKilovolts: 35 }, { lineKilovolts: 15 }],
    ['a line voltage that no test rested on', {}, { lineKilovolts: 345 }],
    ['the sections it had', { sections: tip }, { sections: [{ lengthMetres: 2.4, name: 'tip' }] }],
    ['the same lot of another crew', {}, { crewId: 'CR-2' }],
  ])('%s was tested too', (_, was, is) => {
    expect(holds(was, is)).toEqual([])
  })

  describe('of another stick under an old number nothing is known', () => {
    const { lot: _lot, inServiceSince: _since, ...unnamed } = aStick
    const enter = (on: string, over: Partial<Stick>) => [on, happened.registered({ ...unnamed, ...over })] as const
    const told = (...events: Parameters<typeof history>) =>
      standingOn(
        replay(history(enter('2026-01-01', { lot: 'L-7' }), ['2026-01-02', happened.tested('pass')], ...events)),
        day('2026-01-10'),
        usPolicy,
      ).holds.map(({ code, since, detail }) => [code, since, detail?.was, detail?.is])
    const held = ['another-stick', '2026-01-03', 'L-7', 'L-9']

    test('another lot, or another first day of service, holds it', () => {
      expect(told(enter('2026-01-03', { lot: 'L-9' }))).toEqual([held])
      const since = (on: string) => ({ lot: 'L-7', inServiceSince: day(on) })
      expect(told(enter('2026-01-03', since('2025-01-01')), enter('2026-01-04', since('2025-06-01')))).toEqual([
        ['another-stick', '2026-01-04', '2025-01-01', '2025-06-01'],
      ])
    })

    test('what was empty is filled in, and what is left out takes nothing back', () => {
      expect(told(enter('2026-01-03', {}))).toEqual([])
      expect(told(enter('2026-01-03', {}), enter('2026-01-04', { lot: 'L-9' }))).toEqual([
        ['another-stick', '2026-01-04', 'L-7', 'L-9'],
      ])
      expect(told(enter('2026-01-03', { lot: 'L-9' }), enter('2026-01-04', {}))).toEqual([held])
      expect(told(enter('2026-01-03', { lot: 'L-7', inServiceSince: day('2025-01-01') }))).toEqual([])
    })

    test('it is the same stick once two have said so, and another after that again', () => {
      const same = enter('2026-01-04', { lot: 'L-9', sameStick: true })
      expect(told(enter('2026-01-03', { lot: 'L-9' }), same)).toEqual([])
      expect(told(enter('2026-01-03', { lot: 'L-9', sameStick: true }))).toEqual([])
      expect(told(same, enter('2026-01-05', { lot: 'L-9' }))).toEqual([])
      expect(told(same, enter('2026-01-05', { lot: 'L-7' }))).toEqual([['another-stick', '2026-01-05', 'L-9', 'L-7']])
    })

    test('the lot put right again is the one that was tested', () => {
      expect(told(enter('2026-01-03', { lot: 'L-9' }), enter('2026-01-04', { lot: 'L-7' }))).toEqual([])
    })

    test('a full test clears it, as a new stick’s', () => {
      const again = { ...happened.tested('pass'), pinned: { stickSeq: 3 } } as Happening
      expect(told(enter('2026-01-03', { lot: 'L-9' }), ['2026-01-04', again])).toEqual([])
    })

    test('of what nobody proved anything there is nothing to doubt; a certificate proves something', () => {
      const entered = [enter('2026-01-01', { lot: 'L-7' }), enter('2026-01-03', { lot: 'L-9' })] as const
      const certified: Happening = {
        kind: 'certificate received',
        certificate: { factId: 'x', occurredOn: day('2026-01-02'), issuedBy: 'the maker' },
      }
      const codes = (...events: Parameters<typeof history>) =>
        standingOn(replay(history(...events)), day('2026-01-10'), usPolicy).holds.map(({ code }) => code)
      expect(codes(...entered)).toEqual([])
      expect(codes(entered[0], ['2026-01-02', certified], entered[1])).toEqual(['another-stick'])
    })
  })

  test('a test judged by the new entry clears it', () => {
    const again = { ...happened.tested('pass'), pinned: { stickSeq: 3 } } as Happening
    expect(holds({}, { workingLengthMetres: 3 }, ['2026-01-04', again])).toEqual([])
  })
})

test('a stick relied on for protection is covered by a rule that asks for a test, not by a look alone', () => {
  const looked: Happening = {
    kind: 'condition checked',
    check: { factId: 'x', occurredOn: day('2026-01-02'), by: 'Ines Roth', sound: true },
  }
  const state = (primaryProtection: boolean) =>
    replay(
      history(
        ['2026-01-01', happened.registered({ ...aStick, primaryProtection })],
        ['2026-01-01', happened.moved({ store: 'DEP-1' })],
        ['2026-01-02', looked],
      ),
    )
  const idleStockOnly = rulesFrom({ packs: ['us-mo-200'] })
  const codes = (primaryProtection: boolean) =>
    standingOn(state(primaryProtection), day('2026-01-03'), idleStockOnly).holds.map(({ code }) => code)
  expect([codes(true), codes(false)]).toEqual([['no-requirement-covers'], []])
})

test('a failed examination in place of a test names what it found', () => {
  const open = { code: 'open-defect', text: 'Open defect: crack; it must be repaired and the stick tested again' }
  const found = happened.tested('examination') as Happening & { kind: 'tested' }
  const judgement = { ...found.judgement, reasons: [open], byExaminationAlone: true as const }
  const { holds } = replay(history(['2026-01-01', happened.registered()], ['2026-01-02', { ...found, judgement }]))
  expect(holds.map((hold) => inEnglish.hold(hold).text)).toEqual([`Failed its examination: ${open.text}`])
})

test('a use after the shelf limit mends nothing; one within it is an issue', () => {
  const shelf = { ...usPolicy.requirements[0], id: 'shelf', interval: null, shelfMonths: 12 } as Requirement
  const policy = { ...usPolicy, requirements: [shelf] }
  const holds = (usedOn: string) =>
    standingOn(
      replay(
        history(
          ['2026-01-05', happened.registered()],
          ['2026-01-05', happened.moved({ store: 'DEP-1' })],
          ['2026-01-06', happened.tested('pass')],
          [usedOn, { kind: 'used', use: { factId: 'x', occurredOn: day(usedOn), days: 1, conditions: [] } }],
        ),
      ),
      day('2027-02-01'),
      policy,
    ).holds.map(({ code }) => code)
  expect(holds('2027-01-06')).toEqual([])
  expect(holds('2027-01-07')).toEqual(['shelf-limit'])
})

test('a stick used from the store is in use from that day, until it is recorded in store again', () => {
  const spells = (...more: Parameters<typeof history>) =>
    replay(history(['2026-01-05', happened.moved({ store: 'DEP-1' })], ...more)).custodySpells.map(({ kind }) => kind)
  expect(spells(['2026-02-01', happened.used()])).toEqual(['store', 'used from store'])
  expect(spells(['2026-02-01', happened.used()], ['2026-02-03', happened.used()])).toHaveLength(2)
  expect(spells(['2026-02-01', happened.used()], ['2026-02-02', happened.moved({ store: 'DEP-1' })])).toEqual([
    'store',
    'used from store',
    'store',
  ])
})

describe('doubt never reads as in service', () => {
  test('whatever happened, a usable stick has a passing test with nothing against it since', () => {
    const seen = tally(runs.numRuns)
    fc.assert(
      fc.property(histories, (facts) => {
        const standing = standingOn(replay(facts), day('2026-03-01'), usPolicy)
        if (!mayBeUsed(standing.status)) return
        seen.count('usable')
        const sinceLastPass = inOrder(asJudgedNow(facts)).map(({ fact }) => fact)
        const at = sinceLastPass.findLastIndex((fact) => fact.kind === 'tested' && fact.judgement.verdict === 'pass')
        expect(at).toBeGreaterThanOrEqual(0)
        if (at < sinceLastPass.length - 1) seen.count('something since')
        for (const fact of sinceLastPass.slice(at + 1)) {
          expect(fact.kind === 'tested' || fact.kind === 'defect reported').toBe(false)
          expect(fact.kind === 'corrective step' && ['refinished', 'repaired'].includes(fact.step.kind)).toBe(false)
          expect(fact.kind === 'moved' && fact.move.to === 'missing').toBe(false)
          expect(fact.kind).not.toBe('removed')
        }
      }),
      runs,
    )
    seen.expectAtLeast(0.05, 'usable')
    seen.expectAtLeast(0.02, 'something since')
  })

  test('every stick out of service says why and what would clear it', () => {
    const seen = tally(runs.numRuns)
    fc.assert(
      fc.property(histories, (facts) => {
        const standing = standingOn(replay(facts), day('2026-03-01'), usPolicy)
        const said = [inEnglish.why(standing), ...standing.holds.map((hold) => inEnglish.hold(hold).clearedBy)]
        for (const one of said) expect(one.length > 10 && isKnown(one), one).toBe(true)
        if (standing.status === 'on hold') expect(standing.holds.length).toBeGreaterThan(0)
        seen.count(standing.status)
      }),
      runs,
    )
    seen.expectAtLeast(0.05, 'on hold', 'in service')
  })

  test('no policy: on hold, policy-missing', () => {
    const facts = history(['2026-03-02', happened.registered()], ['2026-03-02', happened.tested('pass')])
    expect(standingOn(replay(facts), day('2026-03-02'), noRules)).toMatchObject({
      status: 'on hold',
      holds: [{ code: 'policy-missing' }],
    })
  })

  test('not on the register: on hold, not-registered, whatever is known of it', () => {
    const tested = replay(history(['2026-03-02', happened.tested('pass')]))
    expect(standingOn(tested, day('2026-03-02'), usPolicy)).toMatchObject({
      status: 'on hold',
      holds: [{ code: 'not-registered' }],
    })
  })

  test('missing: only found and tested again brings it back', () => {
    const events = [
      ['2026-01-01', happened.registered()],
      ['2026-01-02', happened.tested('pass')],
      ['2026-02-01', happened.moved('missing')],
      ['2026-02-02', happened.tested('pass')],
      ['2026-02-03', happened.moved('found')],
      ['2026-02-04', happened.tested('pass')],
    ] as const
    const status = (n: number) => {
      const { status, holds } = standingOn(replay(history(...events.slice(0, n))), day('2026-02-10'), usPolicy)
      return [status, ...holds.map((hold) => hold.code)]
    }
    expect(status(3)).toEqual(['on hold', 'reported-missing'])
    expect(status(4)).toEqual(['on hold', 'reported-missing'])
    expect(status(5)).toEqual(['on hold', 'found-untested'])
    expect(status(6)).toEqual(['in service'])
  })
})
