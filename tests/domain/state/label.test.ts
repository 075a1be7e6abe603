/** What the label on a stick shows, when that is wrong, and which labels are not taken. */
import { describe, expect, test } from 'vitest'
import * as bodies from '../../../shared-domain/fact-bodies.ts'
import { isDanger, speaks } from '../../../shared-domain/facts.ts'
import { rulesFrom } from '../../../shared-domain/policy/rules.ts'
import { replay } from '../../../shared-domain/state/fold.ts'
import { standingOn } from '../../../shared-domain/state/standing.ts'
import { given, type Told } from '../../support/deciding.ts'
import { aStick, day, happened, history, usPolicy } from '../../support/trade.ts'

const entered: Told = ['2026-01-01', happened.registered()]
const passed: Told = ['2026-03-01', happened.tested('pass')]
const labelled: Told = ['2026-03-02', happened.labelled('2028-03-01')]
const takenOff: Told = ['2026-03-04', happened.labelled()]
const labelOn = (on: string, ...events: readonly Told[]) =>
  standingOn(replay(history(...events)), day(on), usPolicy).label

describe('a label', () => {
  test('of which nobody recorded anything is not known of', () => {
    expect(labelOn('2026-03-10', entered, passed)).toBeUndefined()
    expect(replay(history(entered, passed))).not.toHaveProperty('label')
  })

  test('that shows the due date is right, until the stick must not be used', () => {
    const right = { shows: '2028-03-01', since: '2026-03-02', isWrong: false }
    expect(labelOn('2026-03-10', entered, passed, labelled)).toEqual(right)
    // overdue: it shows that itself
    expect(labelOn('2028-03-10', entered, passed, labelled)).toEqual(right)
    for (const what of [happened.defect(), happened.removed(), happened.moved('scrapped')])
      expect(labelOn('2026-03-10', entered, passed, labelled, ['2026-03-05', what])).toEqual({
        ...right,
        isWrong: true,
      })
  })

  test('that shows an earlier date is no danger; a later one is, from the day after on', () => {
    const wrong = (shows: string) =>
      labelOn('2026-03-10', entered, passed, ['2026-03-02', happened.labelled(shows)])?.isWrong
    expect([wrong('2027-03-01'), wrong('2028-03-01'), wrong('2028-03-02')]).toEqual([false, false, true])
  })

  test('counts in the order of time, whenever it was recorded; taken off it shows nothing', () => {
    const off = { shows: null, since: '2026-03-04', isWrong: false }
    expect(labelOn('2026-03-10', entered, passed, labelled, takenOff)).toEqual(off)
    expect(labelOn('2026-03-10', entered, passed, takenOff, labelled)).toEqual(off)
    expect(
      labelOn('2026-03-10', entered, passed, takenOff, ['2026-03-05', happened.labelled('2028-03-01')])?.shows,
    ).toBe('2028-03-01')
  })

  test('shows when a test is due: a look that is due before is no matter of it', () => {
    const twice = rulesFrom({ packs: ['us-29-cfr-1910-269-j', 'us-mo-200'] })
    const idle = [entered, ['2026-03-01', happened.moved({ store: 'DEP-1' })], passed] as const
    const standing = (shows: string) =>
      standingOn(replay(history(...idle, ['2026-03-02', happened.labelled(shows)])), day('2026-03-04'), twice)
    expect(standing('2028-03-01')).toMatchObject({ duty: 'look', label: { isWrong: false } })
    expect(standing('2028-03-01').dueOn?.slice(0, 4)).toBe('2026')
    expect(standing('2028-03-02').label?.isWrong).toBe(true)
  })

  test('of a stick that no test is asked of is held against its look', () => {
    const looksOnly = rulesFrom({ packs: ['us-mo-200'] })
    const stock = [
      ['2026-01-01', happened.registered({ ...aStick, primaryProtection: false })],
      ['2026-03-01', happened.moved({ store: 'DEP-1' })],
      passed,
    ] as const
    const wrong = (shows: string) =>
      standingOn(replay(history(...stock, ['2026-03-02', happened.labelled(shows)])), day('2026-03-04'), looksOnly)
    expect(wrong('2026-04-01')).toMatchObject({ dueOn: '2026-04-01', duty: 'look', label: { isWrong: false } })
    expect(wrong('2026-04-02').label?.isWrong).toBe(true)
  })
})

describe('what is taken', () => {
  const shown = ({ decision }: ReturnType<ReturnType<typeof given>['when']>) =>
    decision.outcome === 'accepted' && [decision.standing.label?.isWrong, decision.listing.nextTellOn]

  test('is a label that shows a later date than the stick is due: it is on it, and told as wrong next morning', () => {
    const later = given(entered, passed).when(['2026-03-02', happened.labelled('2028-03-02')])
    later.then({ refused: [], owed: [], status: 'in service' })
    expect(shown(later)).toEqual([true, '2026-03-02'])
    const right = given(entered, passed).when(labelled)
    right.then({ refused: [], owed: [], status: 'in service' })
    expect(shown(right)).toEqual([false, '2028-01-01'])
  })

  test('is one on a stick that is held or was never tested: it is wrong', () => {
    for (const before of [[entered], [entered, passed, ['2026-03-01', happened.defect()] as Told]]) {
      const one = given(...before).when(labelled)
      one.then({ refused: [] })
      expect(one.decision.outcome === 'accepted' && one.decision.standing.label?.isWrong).toBe(true)
    }
  })

  test.each<[string, readonly Told[], string]>([
    ['removed', [entered, passed, ['2026-03-01', happened.removed()]], 'removed-from-service'],
    ['scrapped', [entered, passed, ['2026-03-01', happened.moved('scrapped')]], 'scrapped'],
  ])('is none on a stick that is %s; but always that one is taken off', (_, before, code) => {
    given(...before)
      .when(labelled)
      .then({ refused: [code] })
    given(...before)
      .when(takenOff)
      .then({ refused: [], owed: [] })
  })
})

test('it changes what is known, and is no report of danger', () => {
  for (const one of [happened.labelled(), happened.labelled('2028-03-01')])
    expect([speaks(one), isDanger(one)]).toEqual(['changes', false])
})

test.each([
  [{ kind: 'fixed' }, ['shows']],
  [{ kind: 'fixed', shows: '2028-02-30' }, ['shows']],
  [{ kind: 'taken off', shows: '2028-03-01' }, ['']],
  [{ kind: 'lost' }, ['kind']],
  [{}, ['kind']],
  [{ kind: 'fixed', shows: '2028-03-01', note: 'by hand' }, undefined],
  [{ kind: 'taken off', at: '10:00' }, undefined],
])('%j: what is wrong with it is said where it stands', (over, fields) => {
  const body = { factId: '00000000-0000-4000-8000-000000000000', occurredOn: '2026-03-02', ...over }
  expect(bodies.labelChange.safeParse(body).error?.issues.map(({ path }) => path.join('/'))).toEqual(fields)
})
