/**
 * The rule read as tests: 29 CFR 1910.269(j)(2), in the text of 79 FR 20316 (11 April 2014), read in an extract of the
 * code later than January 2017 without its notes. 29 CFR 1926.957(b) says the same for construction, read there too:
 * (j)(2)(iii)(C)(1) is its (b)(3)(iii)(A), (C)(2) its (iii)(B), (D) its (iv), (E) its (v). OAR 437-002-2309(5) repeats
 * (i) to (iii)(B), read in a copy that ends there. What a test itself must show is read in `bench-test.test.ts`.
 */
import { describe, expect, test } from 'vitest'
import { addDays } from '../../shared-domain/calendar.ts'
import { clocksOf } from '../../shared-domain/policy/clocks.ts'
import { rulesFrom } from '../../shared-domain/policy/rules.ts'
import { replay } from '../../shared-domain/state/fold.ts'
import { refusals } from '../../shared-domain/state/refusal.ts'
import { standingOn } from '../../shared-domain/state/standing.ts'
import { type Construction, constructions, defectKinds } from '../../shared-domain/words.ts'
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

  test('each is examined, tested dry and, where it is FRP, wet: (A), (D)', () => {
    const evidence = (construction: Construction) =>
      clocksOf({ ...aStick, construction }, replay(passed('2026-03-02')), usPolicy).map((clock) => clock.evidence)
    for (const construction of constructions) {
      const wet = construction === 'wood' ? [] : ['wet test']
      expect(evidence(construction)).toEqual([['examination', 'dry test', ...wet]])
    }
  })

  test('counts from the test and not from first issue: the text gives no way of counting', () => {
    const events = [
      ['2026-01-05', happened.registered()],
      ['2026-01-05', happened.moved({ store: 'DEP-1' })],
      ['2026-03-02', happened.tested('pass')],
      ['2027-06-01', happened.moved({ crewId: 'CR-1' })],
    ] as const
    expect(standing(history(...events), '2027-06-01').dueOn).toBe('2028-03-02')
  })

  test('nothing in it rests in store: overdue there too, and not to be issued', () => {
    const facts = history(
      ['2026-03-02', happened.registered()],
      ['2026-03-02', happened.tested('pass')],
      ['2026-03-03', happened.moved({ store: 'DEP-1' })],
    )
    const [state, now] = [replay(facts), standing(facts, '2028-03-03')]
    expect(now.status).toBe('overdue')
    const found = { state, standing: now }
    const issue = happened.moved({ crewId: 'CR-1' })
    expect(
      refusals({ atTheTime: found, now: found, after: found }, issue, { personId: 'bench' }).map(({ code }) => code),
    ).toEqual(['overdue'])
  })

  test('a tool not relied on for primary protection has no such clock', () => {
    const entered = ['2026-03-02', happened.registered({ ...aStick, primaryProtection: false })] as const
    const tested = history(entered, ['2026-03-02', happened.tested('pass')])
    expect(standing(tested, '2026-03-02')).toMatchObject({ status: 'in service', dueOn: null, clocks: [] })
    // the house's own rule, and not the paragraph's: what nobody ever tested is in nobody's hands as fit
    expect(standing(history(entered), '2026-03-02')).toMatchObject({ status: 'awaiting first test', clocks: [] })
  })
})

describe('(j)(2)(ii): a defect or contamination takes the tool out of service until examined and tested', () => {
  describe.each([true, false])('relied on for primary protection: %s', (primaryProtection) => {
    test.each(defectKinds)('%s, whatever it is', (kind) => {
      const facts = history(
        ['2026-03-02', happened.registered({ ...aStick, primaryProtection })],
        ['2026-03-02', happened.tested('pass')],
        ['2026-04-01', { kind: 'defect reported', defect: { factId: 'x', occurredOn: day('2026-04-01'), kind } }],
      )
      expect(standing(facts, '2026-04-01')).toMatchObject({ status: 'on hold', holds: [{ code: 'defect-reported' }] })
    })
  })

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

describe('(j)(2)(iii)(B): what an examination finds is repaired and refinished, or the tool removed for good', () => {
  const found = [
    ['2026-03-02', happened.registered()],
    ['2026-04-01', happened.tested('examination')],
  ] as const

  test('out of service with a defect, and back when it is mended and tested', () => {
    const mended = [...found, ['2026-04-02', happened.step('repaired')] as const]
    expect(standing(history(...found), '2026-04-01')).toMatchObject({ holds: [{ code: 'open-defect' }] })
    expect(standing(history(...mended), '2026-04-02').status).toBe('on hold')
    expect(standing(history(...mended, ['2026-04-03', happened.tested('pass')]), '2026-04-03')).toMatchObject({
      status: 'in service',
      dueOn: '2028-04-03',
    })
  })

  test('or gone', () => {
    const facts = history(...found, ['2026-04-02', happened.moved('scrapped')], ['2026-04-03', happened.tested('pass')])
    expect(standing(facts, '2026-04-03').status).toBe('scrapped')
  })
})

describe('(j)(2)(iii)(C)(2): examined and not repaired, a test is due, save where no defect is demonstrated', () => {
  const examined = (construction: Construction, examinationOnly: boolean) =>
    standingOn(
      replay(
        history(
          ['2026-03-02', happened.registered({ ...aStick, construction })],
          ['2026-03-02', happened.tested('pass')],
          ['2028-02-01', happened.tested('examined')],
        ),
      ),
      day('2028-02-01'),
      rulesFrom({ packs: ['us-29-cfr-1910-269-j'], examinationOnly }),
    ).dueOn

  test.each(['FRP rod', 'foam-filled FRP tube'] as const)('of a %s, where the employer says so', (construction) => {
    expect(examined(construction, true)).toBe('2030-02-01')
    expect(examined(construction, false)).toBe('2028-03-02')
  })

  test.each(['hollow FRP tube', 'wood'] as const)('never of a %s', (construction) => {
    expect(examined(construction, true)).toBe('2028-03-02')
  })
})

test('(j)(2)(ii) with (iii)(C)(2): a suspect tool is tested, and no demonstration stands in its place', () => {
  const policy = rulesFrom({ packs: ['us-29-cfr-1910-269-j'], examinationOnly: true })
  const facts = history(
    ['2026-01-05', happened.registered()],
    ['2026-01-06', happened.tested('pass')],
    ['2026-02-01', happened.defect()],
    ['2026-02-02', happened.tested('examined')],
  )
  expect(standingOn(replay(facts), day('2026-02-03'), policy).status).toBe('on hold')
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
