/** Taken out of service for good because somebody responsible decided so, with no test that says so. */
import { describe, expect, test } from 'vitest'
import * as bodies from '../../../shared-domain/fact-bodies.ts'
import { type Happening, isDanger, speaks } from '../../../shared-domain/facts.ts'
import { kindsOwed } from '../../../shared-domain/notices/owed.ts'
import { replay } from '../../../shared-domain/state/fold.ts'
import { standingOn } from '../../../shared-domain/state/standing.ts'
import { given, type Told } from '../../support/deciding.ts'
import { inEnglish, whyRemoved } from '../../support/english.ts'
import { day, happened, history, usPolicy } from '../../support/trade.ts'

const entered: Told = ['2026-01-01', happened.registered()]
const passed: Told = ['2026-03-01', happened.tested('pass')]
const removed: Told = ['2026-03-10', happened.removed()]
const everybody = ['ana@crew-one.example', 'bo@crew-one.example', 'manager@demo-utility.example']
const told = (kind: string) => everybody.map((to) => `${kind} → ${to}`)
const standing = (...events: readonly Told[]) => standingOn(replay(history(...events)), day('2026-04-01'), usPolicy)

describe('a removal by decision', () => {
  test('takes a fit stick out of service for good, and its people are told so at once', () => {
    given(entered, passed)
      .when(removed)
      .then({ status: 'removed from service', owed: told('removal'), list: 'removed', nextTellOn: null, refused: [] })
  })

  test.each<[string, readonly Told[]]>([
    ['held', [entered, passed, ['2026-03-05', happened.defect()]]],
    ['never tested', [entered]],
  ])('and one that is %s', (_, before) => {
    given(...before)
      .when(removed)
      .then({ status: 'removed from service', owed: told('removal') })
  })

  test('says by whose words, in a sentence and in its parts', () => {
    const removedBy = standing(entered, passed, ['2026-03-10', happened.removed('Fitting recalled.')])
    expect(inEnglish.why(removedBy)).toBe('Removed by decision: Fitting recalled.')
    expect(removedBy.removedFor).toEqual({
      reason: { code: 'removed-by-decision', text: 'Fitting recalled.' },
      more: 0,
    })
  })

  test('nothing brings it back, whatever was recorded of later days before', () => {
    const state = replay(history(entered, ['2026-03-20', happened.tested('pass')], removed))
    expect(standingOn(state, day('2026-04-01'), usPolicy).status).toBe('removed from service')
  })

  test('an earlier removal stays, in the order of time', () => {
    const twice = [
      ['2026-03-02', happened.tested('electrical')],
      ['2026-03-03', happened.step('cleaned')],
      ['2026-03-04', happened.tested('electrical')],
    ] as const
    const of = (...events: readonly Told[]) => {
      const state = replay(history(entered, ...events))
      return { ...state.removed, why: whyRemoved(state) }
    }
    expect(of(...twice, removed)).toMatchObject({
      since: '2026-03-04',
      detail: { reason: { code: 'reading-over-limit' } },
    })
    expect(of(...twice, ['2026-03-03', happened.removed('first')])).toMatchObject({
      since: '2026-03-03',
      why: 'Removed by decision: first.',
    })
    expect(of(removed, ['2026-03-11', happened.removed('again')])).toMatchObject({ since: '2026-03-10' })
  })

  test('is told as a removal only while its people do not know of one', () => {
    const after = standing(entered, passed, removed)
    const fact = history(entered, passed, removed)[2]
    if (fact === undefined) throw new Error('a story without facts')
    const change = (before: typeof after) => kindsOwed({ before, after, fact, day: day('2026-03-10') })
    expect(change(standing(entered, passed))).toEqual(['removal'])
    expect(change(after)).toEqual([])
  })

  test('shows uses since then to be of a stick that was not fit', () => {
    given(entered, passed, ['2026-03-12', happened.used()])
      .when(removed)
      .then({ owed: [...told('removal'), ...told('used while unfit')] })
  })

  test('without its hour it stands after what was recorded of its day before', () => {
    const before = history(entered, passed, ['2026-03-10', happened.moved({ crewId: 'CR-2' })], removed)
    expect(replay(before)).toMatchObject({ crewId: 'CR-2', removed: { since: '2026-03-10' } })
  })

  test('is refused of what is gone for good already, by whatever', () => {
    given(entered, passed, removed)
      .when(['2026-03-11', happened.removed()])
      .then({ refused: ['removed-from-service'] })
    given(entered, passed, ['2026-03-10', happened.moved('scrapped')])
      .when(['2026-03-11', happened.removed()])
      .then({ refused: ['scrapped'] })
  })

  test('a report of danger is taken of it all the same', () => {
    given(entered, passed, removed)
      .when(['2026-03-11', happened.defect()])
      .then({ refused: [], owed: told('report') })
  })
})

test('it speaks against the stick, and is no report of danger that anybody may bring', () => {
  expect([speaks(happened.removed()), isDanger(happened.removed())]).toEqual(['against', false])
  const others: Happening[] = [happened.defect(), happened.moved('missing'), happened.moved('found')]
  expect(others.map(isDanger)).toEqual([true, true, true])
})

test.each([
  [{ reason: '' }, 'reason'],
  [{ reason: 'x'.repeat(401) }, 'reason'],
  [{}, 'reason'],
  [{ reason: 'obsolete', by: 'Ines Roth' }, ''],
  [{ reason: 'obsolete', occurredOn: '2026-02-30' }, 'occurredOn'],
])('%j is refused at %s', (over, field) => {
  const body = { factId: '00000000-0000-4000-8000-000000000000', occurredOn: '2026-03-02' }
  const { error } = bodies.removal.safeParse({ ...body, ...over })
  expect(error?.issues.map(({ path }) => path.join('/'))).toEqual([field])
  expect(bodies.removal.safeParse({ ...body, reason: 'obsolete', at: '10:00', note: 'by the chief' }).success).toBe(
    true,
  )
})
