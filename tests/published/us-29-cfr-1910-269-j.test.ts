/** The rule read as tests: 29 CFR 1910.269(j)(2), in the text of 79 FR 20316 (11 April 2014). */
import { describe, expect, test } from 'vitest'
import { addDays } from '../../shared-domain/calendar.ts'
import { replay } from '../../shared-domain/state/fold.ts'
import { standingOn } from '../../shared-domain/state/standing.ts'
import { constructions } from '../../shared-domain/words.ts'
import { aStick, day, happened, history, usPolicy } from '../support/trade.ts'

const passed = (on: string) => history([on, happened.registered()], [on, happened.tested('pass')])
const standing = (facts: ReturnType<typeof history>, on: string) => standingOn(replay(facts), day(on), usPolicy)

describe('(j)(2)(iii): out of service every 2 years for examination, cleaning, repair and testing', () => {
  test('may be used through the second anniversary of its test', () => {
    expect(standing(passed('2026-03-02'), '2028-03-02')).toMatchObject({
      dueOn: '2028-03-02',
      status: 'due soon',
      daysOverdue: 0,
    })
  })

  test('and not on the day after it', () => {
    expect(standing(passed('2026-03-02'), '2028-03-03')).toMatchObject({ status: 'overdue', daysOverdue: 1 })
  })

  test('two years from 29 February end on 28 February: never later than the anniversary', () => {
    expect(standing(passed('2024-02-29'), '2026-03-02')).toMatchObject({
      dueOn: '2026-02-28',
      status: 'overdue',
      daysOverdue: 2,
    })
  })

  test.each(constructions)('the same for a %s', (construction) => {
    const facts = history(
      ['2026-03-02', happened.registered({ ...aStick, construction })],
      ['2026-03-02', happened.tested('pass')],
    )
    expect(standing(facts, '2026-03-02').dueOn).toBe('2028-03-02')
  })

  test('names its source', () => {
    expect(standing(passed('2026-03-02'), '2026-03-02').governedBy).toMatchObject({
      source: '29 CFR 1910.269(j)(2)(iii)',
      since: '2026-03-02',
    })
  })

  test('applies to tools used for primary employee protection: without any test such a stick is not fit', () => {
    expect(standing(history(['2026-03-02', happened.registered()]), '2026-03-02').status).toBe('awaiting first test')
  })

  test('a tool not relied on for primary protection has no such clock', () => {
    const facts = history(['2026-03-02', happened.registered({ ...aStick, primaryProtection: false })])
    expect(standing(facts, '2026-03-02')).toMatchObject({ status: 'in service', dueOn: null, clocks: [] })
  })
})

describe('(j)(2)(ii): a defect or contamination takes the tool out of service until examined and tested', () => {
  test('reported: on hold the same day', () => {
    const facts = [...passed('2026-03-02')]
    const after = history(
      ['2026-03-02', happened.registered()],
      ['2026-03-02', happened.tested('pass')],
      ['2026-04-01', happened.defect()],
    )
    expect(standing(facts, '2026-04-01').status).toBe('in service')
    expect(standing(after, '2026-04-01')).toMatchObject({ status: 'on hold', holds: [{ code: 'defect-reported' }] })
  })

  test('back after it is examined and tested in full, with two years from that test', () => {
    const facts = history(
      ['2026-03-02', happened.registered()],
      ['2026-03-02', happened.tested('pass')],
      ['2026-04-01', happened.defect()],
      ['2026-04-03', happened.tested('pass')],
    )
    expect(standing(facts, '2026-04-03')).toMatchObject({ status: 'in service', dueOn: '2028-04-03' })
  })

  test.each(['invalid', 'incomplete', 'examination'] as const)('not back after a test that ends %s', (ending) => {
    const facts = history(
      ['2026-03-02', happened.registered()],
      ['2026-04-01', happened.defect()],
      ['2026-04-03', happened.tested(ending)],
    )
    expect(standing(facts, '2026-04-03').status).toBe('on hold')
  })
})

describe('(j)(2)(iii)(C)(1): tested after every repair or refinishing', () => {
  test.each(['repaired', 'refinished'] as const)('%s: on hold until tested, however fresh its last test', (kind) => {
    const facts = history(
      ['2026-03-02', happened.registered()],
      ['2026-03-02', happened.tested('pass')],
      ['2026-03-03', happened.step(kind)],
    )
    expect(standing(facts, '2026-03-03')).toMatchObject({ status: 'on hold', holds: [{ code: 'test-after-repair' }] })
    const tested = history(
      ...([
        ['2026-03-02', happened.registered()],
        ['2026-03-03', happened.step(kind)],
        ['2026-03-04', happened.tested('pass')],
      ] as const),
    )
    expect(standing(tested, '2026-03-04').status).toBe('in service')
  })
})

describe('no reading of the rule puts the due date past the second anniversary', () => {
  test('for any test date of a leap cycle', () => {
    for (let offset = 0; offset < 1461; offset++) {
      const testedOn = addDays(day('2024-01-01'), offset)
      const { dueOn } = standing(passed(testedOn), testedOn)
      const anniversary = `${Number(testedOn.slice(0, 4)) + 2}${testedOn.slice(4)}`
      expect(dueOn !== null && dueOn <= anniversary && dueOn >= addDays(day(testedOn), 729)).toBe(true)
    }
  })
})
