/** Tests from before the service was used: the house's own rules, with no source outside. */
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { addDays, type CalendarDate } from '../../../shared-domain/calendar.ts'
import type { Happening, RecordedFact } from '../../../shared-domain/facts.ts'
import { rulesFrom } from '../../../shared-domain/policy/rules.ts'
import { replay } from '../../../shared-domain/state/fold.ts'
import { standingOn } from '../../../shared-domain/state/standing.ts'
import { mayBeUsed } from '../../../shared-domain/state/use.ts'
import { day, happened, history, usPolicy } from '../../support/trade.ts'

const now = day('2026-03-10')
const standing = (facts: readonly RecordedFact[], on: CalendarDate = now) => standingOn(replay(facts), on, usPolicy)
const registered = ['2026-03-01', happened.registered()] as const
const told = (...events: Parameters<typeof history>) => {
  const { status, dueOn, holds, testedBefore } = standing(history(registered, ...events))
  return { status, dueOn, holds: holds.map(({ code }) => code), testedBefore }
}

describe('a test from before that passed', () => {
  const passed = ['2025-05-14', happened.testedBefore()] as const

  test('leaves the stick as one that nobody tested, and says so', () => {
    expect(told(passed)).toEqual({
      status: 'awaiting first test',
      dueOn: null,
      holds: [],
      testedBefore: { on: '2025-05-14', passed: true, countsFrom: null },
    })
  })

  test('winds the clocks where two people say so, whichever came first', () => {
    const due = { status: 'in service', dueOn: '2027-05-14', holds: [] }
    expect(told(passed, ['2026-03-02', happened.countedBefore(2)])).toMatchObject({
      ...due,
      testedBefore: { on: '2025-05-14', passed: true, countsFrom: '2025-05-14' },
    })
    const [entry, test, counted] = history(registered, passed, ['2026-03-02', happened.countedBefore(2)])
    expect(standing([counted, test, entry].filter((one) => one !== undefined))).toMatchObject(due)
  })

  test('counts no more once either is a slip', () => {
    const slip = (of: number): Happening => ({
      kind: 'corrected',
      corrects: `00000000-0000-4000-8000-${String(of).padStart(12, '0')}`,
      reason: 'of another stick',
      instead: null,
    })
    const counted = ['2026-03-02', happened.countedBefore(2)] as const
    for (const of of [2, 3]) expect(told(passed, counted, ['2026-03-03', slip(of)]).status).toBe('awaiting first test')
  })

  test('one person alone winds nothing, nor the same one twice', () => {
    const facts = history(registered, passed, ['2026-03-02', happened.countedBefore(2)])
    for (const approvedBy of [undefined, 'bench'])
      expect(standing(facts.map((fact) => ({ ...fact, approvedBy }) as RecordedFact)).status).toBe(
        'awaiting first test',
      )
  })

  test.each([
    ['a report', ['2025-04-01', happened.defect()]],
    ['a failed test from before', ['2025-04-01', happened.testedBefore(false)]],
    ['a repair', ['2025-04-01', happened.step('repaired')]],
    ['a finding that is not mended', ['2025-04-01', happened.tested('examination')]],
  ] as const)('returns no stick to service: before it was %s', (_, against) => {
    const held = told(against, passed, ['2026-03-02', happened.countedBefore(3)])
    expect([held.status, held.dueOn]).toEqual(['on hold', null])
    expect(held.holds).toEqual(told(against).holds)
  })

  test('stands in for no test of the service: the due date stays that of the readings', () => {
    const real = ['2025-02-01', happened.tested('pass')] as const
    expect(told(real, passed, ['2026-03-02', happened.countedBefore(3)])).toEqual(told(real))
  })

  test('says nothing of wax: a full test without it is held as ever', () => {
    const unwaxed = happened.tested('pass') as Happening & { kind: 'tested' }
    const full = { ...unwaxed, test: { ...unwaxed.test, waxed: false } }
    const counted = ['2026-03-02', happened.countedBefore(2)] as const
    expect(told(passed, counted, ['2026-03-03', full]).holds).toEqual(['not-waxed'])
  })

  test('is told no more once the stick passed here in full', () => {
    expect(told(passed, ['2026-03-03', happened.tested('pass')]).testedBefore).toBeUndefined()
  })

  test('leaves a stick in its recall, whatever the instrument was called', () => {
    const facts = history(registered, passed, ['2026-03-02', happened.countedBefore(2)])
    const cause = {
      instrumentId: 'INS-1',
      lastGoodOn: day('2025-01-01'),
      foundOutOn: day('2026-03-05'),
      error: null,
    }
    const recall = { id: 'R-1', cause, at: '2026-03-05T12:00:00.000Z', reason: 'it reads low', by: 'manager' }
    const rules = { ...usPolicy, recalls: [recall as never] } // as far as a hold reads of it
    expect(standingOn(replay(facts), now, rules).holds.map(({ code }) => code)).toEqual(['recalled'])
  })
})

describe('a test from before that failed', () => {
  const failed = ['2024-05-14', happened.testedBefore(false)] as const

  test('holds the stick until it is mended and tested in full', () => {
    expect(told(failed)).toMatchObject({ status: 'on hold', holds: ['failed-before'] })
    const full = ['2026-03-05', happened.tested('pass')] as const
    expect(told(failed, full).holds).toEqual(['failed-before', 'no-corrective-step'])
    expect(told(failed, ['2026-03-04', happened.step('cleaned')], full).status).toBe('in service')
  })

  test('counts toward no removal: nobody knows how it failed', () => {
    const cleaned = ['2026-03-04', happened.step('cleaned')] as const
    expect(told(failed, cleaned, ['2026-03-05', happened.tested('electrical')]).status).toBe('on hold')
  })

  test('takes back no failure of the service that does', () => {
    const events = [
      ['2026-03-02', happened.tested('electrical')],
      ['2026-03-03', happened.step('cleaned')],
      ['2026-03-04', happened.testedBefore(false)],
      ['2026-03-05', happened.tested('electrical')],
    ] as const
    expect(told(...events).status).toBe('removed from service')
  })
})

describe('whatever happened to a stick', () => {
  const endings = ['pass', 'pass', 'electrical', 'guard band', 'examination', 'examined', 'invalid'] as const
  const steps = ['cleaned', 'waxed', 'refinished', 'repaired'] as const
  const places = [{ crewId: 'CR-1' }, { store: 'DEP-1' }, 'missing', 'found'] as const
  const other: fc.Arbitrary<Happening> = fc.oneof(
    { weight: 4, arbitrary: fc.constantFrom(...endings).map((ending) => happened.tested(ending)) },
    { weight: 3, arbitrary: fc.constantFrom(...steps).map((kind) => happened.step(kind)) },
    { weight: 2, arbitrary: fc.constantFrom(...places).map((to) => happened.moved(to)) },
    { weight: 1, arbitrary: fc.constantFrom(happened.defect(), happened.used(), happened.released()) },
  )
  const before: fc.Arbitrary<Happening> = fc.oneof(
    fc.boolean().map((passed) => happened.testedBefore(passed)),
    fc.integer({ min: 2, max: 10 }).map((seq) => happened.countedBefore(seq)),
  )
  const when = fc.tuple(fc.integer({ min: 0, max: 60 }), fc.constantFrom(undefined, '08:00', '14:20'))
  const histories = fc
    .array(fc.tuple(when, fc.oneof({ weight: 3, arbitrary: other }, { weight: 2, arbitrary: before })), {
      maxLength: 14,
    })
    .map((events) =>
      history(
        ['2026-01-01', happened.registered()],
        ...events.map(([[offset, at], what]): [string, Happening, string?] => {
          const on = addDays(day('2026-01-01'), offset)
          return at === undefined ? [on, what] : [on, what, at]
        }),
      ),
    )
  const runs = { numRuns: Number(process.env.PROPERTY_RUNS ?? 2_000), seed: 20261201 }
  const policies = [['us-29-cfr-1910-269-j'], ['ufc-3-560-01-5-4'], ['us-mo-200'], ['ru-order-261']].map((packs) =>
    rulesFrom({ packs } as never),
  )
  const days = [day('2026-01-20'), day('2026-03-10'), day('2027-12-01')]
  const isOfBefore = ({ kind }: RecordedFact) => kind === 'tested before' || kind === 'test before counted'

  test('no test from before makes it fitter, or due later, unless two people say so', () => {
    let [looked, usable] = [0, 0]
    fc.assert(
      fc.property(histories, (facts) => {
        const uncounted = facts.filter(({ kind }) => kind !== 'test before counted')
        const none = facts.filter((fact) => !isOfBefore(fact))
        if (uncounted.length === none.length) return
        for (const rules of policies)
          for (const on of days) {
            const [is, was] = [standingOn(replay(uncounted), on, rules), standingOn(replay(none), on, rules)]
            looked++
            if (mayBeUsed(was.status)) usable++
            if (mayBeUsed(is.status)) expect(mayBeUsed(was.status)).toBe(true)
            expect((is.dueOn ?? '') <= (was.dueOn ?? '')).toBe(true)
            expect(was.holds.filter(({ code }) => !is.holds.some((one) => one.code === code))).toEqual([])
            expect([is.removedFor === undefined, is.status === 'scrapped']).toEqual([
              was.removedFor === undefined,
              was.status === 'scrapped',
            ])
          }
      }),
      runs,
    )
    // the property says something only of sticks that could be used
    expect(usable).toBeGreaterThan(looked / 100)
  })

  test('two people may wind its clocks, and end no hold', () => {
    let counted = 0
    fc.assert(
      fc.property(histories, (facts) => {
        const uncounted = facts.filter(({ kind }) => kind !== 'test before counted')
        const is = standingOn(replay(facts), days[1] ?? now, usPolicy)
        const was = standingOn(replay(uncounted), days[1] ?? now, usPolicy)
        if (is.testedBefore?.countsFrom != null) counted++
        const codes = is.holds.map(({ code }) => code)
        expect(was.holds.filter(({ code }) => !codes.includes(code))).toEqual([])
        if (mayBeUsed(is.status) && !mayBeUsed(was.status)) expect(is.testedBefore?.countsFrom).toMatch(/^2026/)
      }),
      runs,
    )
    expect(counted).toBeGreaterThan(0)
  })

  test('the order of arrival does not matter', () => {
    fc.assert(
      fc.property(histories, fc.infiniteStream(fc.nat()), (facts, keys) => {
        const shuffled = facts.map((fact) => ({ fact, key: keys.next().value ?? 0 })).sort((a, b) => a.key - b.key)
        expect(replay(shuffled.map(({ fact }) => fact))).toEqual(replay(facts))
      }),
      runs,
    )
  })
})
