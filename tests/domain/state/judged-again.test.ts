import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { Judgement } from '../../../shared-domain/bench-test/judge.ts'
import { addDays } from '../../../shared-domain/calendar.ts'
import type { Happening, RecordedFact } from '../../../shared-domain/facts.ts'
import type { Reason } from '../../../shared-domain/reason.ts'
import { comesBefore, replay } from '../../../shared-domain/state/fold.ts'
import { againstJudging, asJudgedNow, withChecks } from '../../../shared-domain/state/judged-again.ts'
import { standingOn } from '../../../shared-domain/state/standing.ts'
import { inOrder } from '../../../shared-domain/state/when.ts'
import { textOf } from '../../support/english.ts'
import { tries } from '../../support/tier.ts'
import { aTest, day, type Ending, happened, history, usPolicy } from '../../support/trade.ts'

type Tested = RecordedFact & { kind: 'tested' }

const tested = (ending: Ending) => happened.tested(ending) as Happening & { kind: 'tested' }
const check = (checkMicroamps: number) => ({
  state: 'dry' as const,
  when: 'after' as const,
  openMicroamps: 0,
  checkMicroamps,
})
const judged = happened.judgedAgain
const testsIn = (facts: readonly RecordedFact[]) => facts.filter((fact): fact is Tested => fact.kind === 'tested')
const verdictsIn = (facts: readonly RecordedFact[]) => testsIn(facts).map(({ judgement }) => judgement.verdict)

describe('a test is judged as it was judged last', () => {
  const facts = history(
    ['2026-01-01', happened.registered()],
    ['2026-03-02', tested('invalid')],
    ['2026-03-03', tested('invalid')],
    ['2026-03-10', judged(2, 'pass', [check(98)])],
    ['2026-03-11', judged(2, 'incomplete', [check(97)])],
    ['2026-03-09', judged(3, 'electrical')],
  )

  test('with its editions and every check that was added, those of the test first', () => {
    const [first, second] = testsIn(asJudgedNow(facts))
    expect([first?.judgement.verdict, first?.pinned.instrumentEditions]).toEqual(['incomplete', ['by incomplete']])
    expect(first?.test.instrumentChecks.map(({ checkMicroamps }) => checkMicroamps)).toEqual([98, 98, 98, 97])
    expect(first?.judgedAgain).toEqual({ seq: 5, recordedBy: 'bench' })
    expect([second?.judgement.verdict, second?.test.instrumentChecks.length]).toEqual(['fail', 2])
  })

  test('by the order of recording, whatever order they are read in', () => {
    const reversed = asJudgedNow([...facts].reverse())
    expect(verdictsIn(reversed).toSorted()).toEqual(['fail', 'incomplete'])
    const made = testsIn(reversed).map(({ test }) => test.instrumentChecks.map(({ checkMicroamps }) => checkMicroamps))
    expect(made).toEqual([
      [98, 98],
      [98, 98, 98, 97],
    ])
  })

  test('and what was recorded is left as it is', () => {
    const before = JSON.stringify(facts)
    const now = asJudgedNow(facts)
    expect(JSON.stringify(facts)).toBe(before)
    expect(now.filter(({ kind }) => kind !== 'tested')).toEqual(facts.filter(({ kind }) => kind !== 'tested'))
    expect(asJudgedNow(facts.slice(0, 3))).toEqual(facts.slice(0, 3))
  })

  test('once for all: asked again of any part of them, an older judgement does not come back', () => {
    const parts = fc.subarray(facts.map((_, i) => i))
    fc.assert(
      fc.property(parts, (kept) => {
        const now = asJudgedNow(facts).filter((_, i) => kept.includes(i))
        expect(asJudgedNow(now)).toEqual(now)
      }),
      { numRuns: tries(200), seed: 20260310 },
    )
  })

  test('one that judges no test of this history judges nothing', () => {
    const stray = history(['2026-01-01', happened.registered()], ['2026-03-10', judged(9, 'pass')])
    expect(asJudgedNow(stray)).toEqual(stray)
  })
})

describe('the state of a stick', () => {
  const status = (...events: Parameters<typeof history>) => {
    const { status, holds } = standingOn(replay(history(...events)), day('2026-03-20'), usPolicy)
    return [status, ...holds.map(({ code }) => code)]
  }
  const registered = ['2026-01-01', happened.registered()] as const

  test('follows the verdict of now, on the day of the test', () => {
    const state = replay(history(registered, ['2026-03-02', tested('invalid')], ['2026-03-10', judged(2, 'pass')]))
    expect(state.evidence['dry test']).toBe('2026-03-02')
    expect(standingOn(state, day('2026-03-20'), usPolicy)).toMatchObject({ status: 'in service', dueOn: '2028-03-02' })
    expect(state.facts).toBe(3)
  })

  test('is cleared of nothing that came after the test, and of nothing of its day where it has no hour', () => {
    const invalid = ['2026-03-02', tested('invalid'), '09:00'] as const
    expect(
      status(registered, invalid, ['2026-03-02', happened.defect(), '09:30'], ['2026-03-10', judged(2, 'pass')]),
    ).toEqual(['on hold', 'defect-reported'])
    expect(
      status(registered, ['2026-03-02', happened.defect(), '08:30'], invalid, ['2026-03-10', judged(3, 'pass')]),
    ).toEqual(['in service'])
    expect(
      status(registered, invalid, ['2026-03-05', happened.step('repaired')], ['2026-03-10', judged(2, 'pass')]),
    ).toEqual(['on hold', 'test-after-repair'])
  })

  test('counts a failure that was only found out later, and what came of it since', () => {
    const events = [
      registered,
      ['2026-03-02', tested('invalid')],
      ['2026-03-03', happened.step('cleaned')],
      ['2026-03-04', tested('electrical')],
    ] as const
    expect(status(...events)).toEqual(['on hold', 'test-invalid', 'failed-test'])
    expect(status(...events, ['2026-03-10', judged(2, 'electrical')])[0]).toBe('removed from service')
  })

  test('is held by a pass that was found to prove nothing', () => {
    const events = [registered, ['2026-03-02', tested('pass')]] as const
    expect(status(...events)).toEqual(['in service'])
    expect(status(...events, ['2026-03-10', judged(2, 'invalid')])).toEqual(['on hold', 'test-invalid'])
  })

  test('before a judgement is all that is known without it, and before another fact all as judged by now', () => {
    const facts = history(registered, ['2026-03-02', tested('invalid')], ['2026-03-10', judged(2, 'pass')])
    const judgement = facts[2] as RecordedFact
    expect(comesBefore(facts.slice(0, 2), judgement)).toEqual(facts.slice(0, 2))
    const used = history(registered, registered, registered, ['2026-03-05', happened.used()])[3] as RecordedFact
    expect(verdictsIn(comesBefore(facts, used))).toEqual(['pass'])
  })

  test('is that of a history in which the test was judged so from the first, whatever lies around it', () => {
    const endings = fc.constantFrom<Ending>('pass', 'electrical', 'examination', 'invalid', 'incomplete')
    const around = fc.constantFrom<Happening>(
      happened.defect(),
      happened.step('cleaned'),
      happened.step('repaired'),
      happened.moved('missing'),
      happened.moved('found'),
      happened.used(),
      tested('pass'),
      tested('electrical'),
    )
    const event = fc.tuple(fc.integer({ min: 0, max: 20 }), around, fc.constantFrom('08:00', '09:40', '14:20'))
    const seen = new Set<string>()
    fc.assert(
      fc.property(endings, endings, fc.array(event, { maxLength: 8 }), (first, again, events) => {
        const rest = events.map(([offset, what, at]): [string, Happening, string] => [
          addDays(day('2026-02-20'), offset),
          what,
          at,
        ])
        const last = ['2026-03-20', judged(2, again)] as const
        const now = comparable(history(registered, ['2026-03-02', tested(first), '10:00'], ...rest, last))
        expect(now).toEqual(comparable(history(registered, ['2026-03-02', tested(again), '10:00'], ...rest)))
        seen.add(`${first} to ${again}: ${now.status}`)
      }),
      { numRuns: tries(2_000), seed: 20260311 },
    )
    expect(seen.size).toBeGreaterThan(tries(2_000) < 2_000 ? 20 : 50)
  })
})

/** All of a state but how many facts it is of, and who judged. */
function comparable(facts: readonly RecordedFact[]) {
  const { facts: _, last: __, toBeReleased, ...state } = replay(facts)
  const order = inOrder(asJudgedNow(facts)).filter(({ fact }) => fact.kind !== 'judged again')
  return {
    ...state,
    toBeReleased: toBeReleased?.factId,
    status: standingOn(replay(facts), day('2026-03-20'), usPolicy).status,
    order: order.map(({ fact }) => fact.factId),
  }
}

describe('a judgement', () => {
  const of = (ending: Ending, over: Partial<Judgement> = {}): Judgement => ({ ...tested(ending).judgement, ...over })
  const said = (before: Judgement, after: Judgement, checksAdded = false) =>
    againstJudging(before, after, checksAdded).map(({ code }) => code)

  test.each<[Ending, Ending, string[]]>([
    ['invalid', 'pass', []],
    ['incomplete', 'pass', []],
    ['pass', 'invalid', []],
    ['pass', 'electrical', []],
    ['invalid', 'electrical', []],
    ['invalid', 'incomplete', []],
    ['examination', 'electrical', []],
    ['electrical', 'pass', ['failure-stands']],
    ['electrical', 'invalid', ['failure-stands']],
    ['electrical', 'incomplete', ['failure-stands']],
    ['electrical', 'examination', ['failure-stands']],
    ['examination', 'pass', ['failure-stands']],
    ['examination', 'invalid', ['failure-stands']],
    ['pass', 'pass', ['nothing-new']],
    ['electrical', 'electrical', ['nothing-new']],
    ['invalid', 'invalid', ['nothing-new']],
  ])('of %s that says %s', (before, after, against) => {
    expect(said(of(before), of(after))).toEqual(against)
    expect(said(of(before), of(after), true)).toEqual(against.filter((code) => code !== 'nothing-new'))
  })

  test('that is not taken says why, and what is to be done with a stick that failed', () => {
    const said = (...asked: Parameters<typeof againstJudging>) => againstJudging(...asked).map(textOf)[0]
    expect(said(of('electrical'), of('pass'), true)).toMatch(
      /does not take that back or make it milder; .* cleaned, refinished or repaired and tested again/,
    )
    expect(said(of('pass'), of('pass'), false)).toMatch(/Nothing is known that was not known before/)
  })

  test('of a failure inside the guard band may say that it is beyond it, and not the other way', () => {
    expect(said(of('guard band'), of('electrical'))).toEqual([])
    expect(said(of('electrical'), of('guard band'))).toEqual(['failure-stands'])
    expect(said(of('guard band'), of('examination'))).toEqual(['failure-stands'])
    expect(said(of('examination'), of('guard band'))).toEqual([])
  })

  test('says something new by any reason that is another, and by an acceptance test', () => {
    const [reason] = of('invalid').reasons
    const other = { ...reason, code: 'water-not-allowed', text: 'other water' }
    expect(said(of('invalid'), of('invalid', { reasons: [other] }))).toEqual([])
    expect(said(of('pass'), of('pass', { asNew: true }))).toEqual([])
    const reread = JSON.parse('{"text":"tap water","code":"water-not-allowed"}')
    expect(said(of('invalid'), of('invalid', { reasons: [reread] }))).toEqual(['nothing-new'])
    const check = (over: Partial<Reason> = {}, expected = 100) =>
      of('invalid', {
        reasons: [{ code: 'check-missing', says: { is: 'no check before', expected }, state: 'dry', ...over }],
      })
    expect(said(check(), check({ says: { expected: 100, is: 'no check before' } }))).toEqual(['nothing-new'])
    expect(said(check(), check({}, 50)), 'another value').toEqual([])
    expect(said(check(), check({ state: 'wet' })), 'another place').toEqual([])
  })

  test('adds checks to a test and takes none away', () => {
    const made = aTest()
    expect(withChecks(made, [check(98)]).instrumentChecks).toEqual([...made.instrumentChecks, check(98)])
    expect(withChecks(made)).toEqual(made)
  })
})
