import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { addDays, type CalendarDate, daysBetween } from '../../../shared-domain/calendar.ts'
import {
  earlierOf,
  earlierThanShown,
  isFirstWordOverdue,
  type LoanTold,
  labelToldBy,
  nextLabelTellOn,
  nextLoanTellOn,
  nextTellOn,
  stillForward,
  type ToldThrough,
} from '../../../shared-domain/notices/ladder.ts'
import { noRules } from '../../../shared-domain/policy/rules.ts'
import { replay } from '../../../shared-domain/state/fold.ts'
import { standingOn } from '../../../shared-domain/state/standing.ts'
import { tries } from '../../support/tier.ts'
import { day, happened, history, usPolicy } from '../../support/trade.ts'

const dueOn = day('2028-03-02')
const state = replay(history(['2026-03-02', happened.registered()], ['2026-03-02', happened.tested('pass')]))

/** The days on which a crew is told when somebody looks on each of `lookedOn`. */
function toldOn(lookedOn: readonly CalendarDate[], policy = usPolicy): CalendarDate[] {
  let told: ToldThrough | null = null
  return lookedOn.filter((today) => {
    const next = nextTellOn(standingOn(state, today, policy), { told }, policy)
    if (next === null || next > today) return false
    told = { dueOn, through: today }
    return true
  })
}

const everyDay = (from: CalendarDate, days: number) => Array.from({ length: days }, (_, i) => addDays(from, i))

/** Counted by hand from the policy's words: 60, 30, 14, 7, 1 days before, on the day, the day after, then weekly. */
const steps = [
  '2028-01-02',
  '2028-02-01',
  '2028-02-17',
  '2028-02-24',
  '2028-03-01',
  '2028-03-02',
  '2028-03-03',
  '2028-03-09',
  '2028-03-16',
  '2028-03-23',
]

describe('the ladder of a due date', () => {
  test('looked at every day, each step is told once on its day', () => {
    expect(toldOn(everyDay(day('2026-03-02'), daysBetween(day('2026-03-02'), day('2028-03-25'))))).toEqual(steps)
  })

  test('nine days asleep: one word for the steps slept through, nothing repeated, nothing missed', () => {
    const looked = [...everyDay(day('2027-12-20'), 15), ...everyDay(day('2028-02-10'), 30)]
    expect(toldOn(looked)).toEqual([
      '2028-01-02',
      '2028-02-10',
      '2028-02-17',
      '2028-02-24',
      '2028-03-01',
      '2028-03-02',
      '2028-03-03',
      '2028-03-09',
    ])
  })

  test('whenever it is looked at: never twice a step, and never later than the first look after it', () => {
    fc.assert(
      fc.property(fc.uniqueArray(fc.integer({ min: 0, max: 150 }), { minLength: 1, maxLength: 60 }), (offsets) => {
        const looked = offsets.sort((a, b) => a - b).map((offset) => addDays(day('2027-12-01'), offset))
        const all = [...steps, ...everyDay(day('2028-03-30'), 60).filter((_, i) => i % 7 === 0)]
        const expected = looked.filter((today, i) => all.some((step) => step <= today && step > (looked[i - 1] ?? '')))
        expect(toldOn(looked)).toEqual(expected)
      }),
      { numRuns: tries(2_000), seed: 20260305 },
    )
  })

  test('the day after is told whatever the policy leaves out', () => {
    fc.assert(
      fc.property(
        fc.uniqueArray(fc.integer({ min: 0, max: 365 }), { minLength: 1, maxLength: 8 }),
        fc.integer({ min: 1, max: 31 }),
        (before, tellOverdueEveryDays) => {
          const policy = { ...usPolicy, tellDaysBefore: before.sort((a, b) => b - a), tellOverdueEveryDays }
          const dayAfter = addDays(dueOn, 1)
          expect(toldOn(everyDay(addDays(dueOn, -40), 50), policy)).toContain(dayAfter)
          // slept through, it is told on waking
          expect(toldOn([dueOn, addDays(dueOn, 3)], policy)).toContain(addDays(dueOn, 3))
        },
      ),
      { numRuns: tries(300), seed: 20260306 },
    )
  })

  test('told every day while overdue, the day after is told once', () => {
    const daily = { ...usPolicy, tellOverdueEveryDays: 1 }
    expect(toldOn(everyDay(dueOn, 4), daily)).toEqual(everyDay(dueOn, 4))
  })

  test('a new due date begins a new ladder', () => {
    const told = { dueOn: day('2026-02-28'), through: day('2026-02-28') }
    expect(nextTellOn(standingOn(state, day('2026-03-02'), usPolicy), { told }, usPolicy)).toBe('2028-01-02')
  })

  test.each([
    ['on hold', happened.defect()],
    ['scrapped', happened.moved('scrapped')],
  ])('does not speak of a stick that is %s: its crew was told at once', (status, happening) => {
    const out = replay(
      history(
        ['2026-03-02', happened.registered()],
        ['2026-03-02', happened.tested('pass')],
        ['2026-03-03', happening],
      ),
    )
    const standing = standingOn(out, day('2028-03-10'), usPolicy)
    expect([standing.status, nextTellOn(standing, { told: null }, usPolicy)]).toEqual([status, null])
  })
})

describe('the ladder of a loan', () => {
  const returnBy = day('2026-04-01')
  const out = { custody: { lentTo: 'Neighbours', returnBy }, scrapped: null }

  function loanToldOn(lookedOn: readonly CalendarDate[]): CalendarDate[] {
    let told: LoanTold | null = null
    return lookedOn.filter((today) => {
      const next = nextLoanTellOn(out, told)
      if (next === null || next > today) return false
      told = { returnBy, through: today }
      return true
    })
  }

  test('the day after it was to be back, then weekly', () => {
    expect(loanToldOn(everyDay(day('2026-03-20'), 40))).toEqual([
      '2026-04-02',
      '2026-04-09',
      '2026-04-16',
      '2026-04-23',
    ])
  })

  test('a missed week heals itself: one word on waking, and the week stays where it was', () => {
    const looked = [...everyDay(day('2026-03-20'), 15), ...everyDay(day('2026-04-12'), 14)]
    expect(loanToldOn(looked)).toEqual(['2026-04-02', '2026-04-12', '2026-04-16', '2026-04-23'])
  })

  test('whenever it is looked at: never twice a step, and never later than the first look after it', () => {
    const steps = everyDay(day('2026-04-02'), 200).filter((_, i) => i % 7 === 0)
    fc.assert(
      fc.property(fc.uniqueArray(fc.integer({ min: 0, max: 150 }), { minLength: 1, maxLength: 60 }), (offsets) => {
        const looked = offsets.sort((a, b) => a - b).map((offset) => addDays(day('2026-03-15'), offset))
        const expected = looked.filter((today, i) =>
          steps.some((step) => step <= today && step > (looked[i - 1] ?? '')),
        )
        expect(loanToldOn(looked)).toEqual(expected)
      }),
      { numRuns: tries(2_000), seed: 20260402 },
    )
  })

  test('told before it was late, it is told on the day after all the same', () => {
    expect(nextLoanTellOn(out, { returnBy, through: returnBy })).toBe('2026-04-02')
    expect(nextLoanTellOn(out, { returnBy, through: day('2026-03-20') })).toBe('2026-04-02')
  })

  test('lent anew, or for longer, it begins anew', () => {
    const told = { returnBy, through: day('2026-04-16') }
    const longer = { ...out, custody: { lentTo: 'Neighbours', returnBy: day('2026-05-01') } }
    expect(nextLoanTellOn(longer, told)).toBe('2026-05-02')
  })

  test('nothing is told of what is not lent, or is no more', () => {
    expect(nextLoanTellOn({ custody: { store: 'DEP-1' }, scrapped: null }, null)).toBeNull()
    expect(nextLoanTellOn({ custody: null, scrapped: null }, null)).toBeNull()
    expect(nextLoanTellOn({ ...out, scrapped: { since: returnBy, factId: 'f' } }, null)).toBeNull()
  })
})

describe('a date that was brought forward', () => {
  const standing = (on: string) => standingOn(state, day(on), usPolicy)

  test('is told with the next digest, whatever the ladder says', () => {
    const told = { dueOn: day('2028-09-01'), through: day('2026-04-01') }
    expect(nextTellOn(standing('2026-04-02'), { told, broughtForwardFrom: day('2028-09-01') }, usPolicy)).toBe(
      '2026-04-01',
    )
    expect(nextTellOn(standing('2026-04-02'), { told: null, broughtForwardFrom: day('2028-09-01') }, usPolicy)).toBe(
      '1900-01-01',
    )
    expect(nextTellOn(standing('2026-04-02'), { told }, usPolicy)).toBe('2028-01-02')
  })

  test('is one that lies before the date that was shown, and no longer once it lies as late again', () => {
    const due = standing('2026-04-02')
    const undated = { ...due, dueOn: null }
    for (const [shown, earlier] of [
      ['2028-03-03', '2028-03-03'],
      ['2028-03-02', null],
      ['2028-03-01', null],
    ] as const) {
      expect(earlierThanShown(day(shown), due), shown).toBe(earlier)
      expect(stillForward(day(shown), due), shown).toBe(earlier)
    }
    expect([earlierThanShown(null, due), stillForward(null, due)]).toEqual([null, null])
    expect([earlierThanShown(dueOn, undated), stillForward(dueOn, undated)]).toEqual([null, null])
  })
})

describe('a label that shows too late a date', () => {
  const shows = day('2028-09-01')
  const standing = standingOn(state, day('2026-04-02'), usPolicy)
  const wrong = { ...standing, label: { shows, since: day('2026-03-02'), isWrong: true } }
  const right = { ...wrong, label: { ...wrong.label, isWrong: false } }
  const off = { ...wrong, label: { ...wrong.label, shows: null, isWrong: false } }

  test('is told at once, and seven days after the last word of it, for as long as it shows that', () => {
    expect(nextLabelTellOn(wrong, null)).toBe('2026-03-02')
    expect(nextLabelTellOn(wrong, { shows, on: day('2026-04-02') })).toBe('2026-04-09')
    expect(nextLabelTellOn(wrong, { shows: day('2028-08-01'), on: day('2026-04-02') })).toBe('2026-03-02')
    expect(nextLabelTellOn({ ...wrong, status: 'overdue' }, null)).toBe('2026-03-02')
    for (const one of [right, off, standing]) expect(nextLabelTellOn(one, null)).toBeNull()
    for (const status of ['on hold', 'awaiting first test', 'removed from service', 'scrapped'] as const)
      expect(nextLabelTellOn({ ...wrong, status }, null), status).toBeNull()
  })

  test('was told with whatever was told of the stick; of what must not be used that is for its hold to say', () => {
    const before = { shows, on: day('2026-04-02') }
    expect(labelToldBy(undefined, wrong, day('2026-04-03'))).toEqual({ shows, on: '2026-04-03' })
    expect(labelToldBy(before, wrong, day('2026-04-03'))).toEqual({ shows, on: '2026-04-03' })
    expect(labelToldBy(before, wrong, null)).toEqual(before)
    expect(labelToldBy(before, { ...wrong, status: 'on hold' }, day('2026-04-03'))).toEqual(before)
    expect(labelToldBy({ ...before, shows: day('2028-08-01') }, wrong, null)).toBeUndefined()
    for (const one of [right, off, standing]) expect(labelToldBy(before, one, day('2026-04-03'))).toBeUndefined()
  })

  test('is what a date is brought forward from, and not the date that was shown last', () => {
    const last = day('2028-10-01')
    expect([earlierThanShown(last, wrong), stillForward(last, wrong)]).toEqual([shows, shows])
    for (const one of [right, off]) expect([earlierThanShown(last, one), stillForward(last, one)]).toEqual([null, null])
    // the date has not moved: that the label is wrong is no news
    expect(earlierThanShown(dueOn, wrong)).toBeNull()
  })
})

test('without a policy or a date nobody is told', () => {
  const standing = standingOn(state, day('2028-03-10'), usPolicy)
  expect(nextTellOn(standing, { told: null }, usPolicy)).not.toBeNull()
  expect(nextTellOn(standing, { told: null }, noRules)).toBeNull()
  expect(nextTellOn({ ...standing, dueOn: null }, { told: null }, usPolicy)).toBeNull()
})

test.each<[string, string, ToldThrough | null, boolean]>([
  ['on its due date', '2028-03-02', null, false],
  ['overdue, and nothing told', '2028-03-03', null, true],
  ['told through the day before', '2028-03-03', { dueOn, through: day('2028-03-01') }, true],
  ['told through the due date', '2028-03-03', { dueOn, through: dueOn }, true],
  ['told on the day after', '2028-03-10', { dueOn, through: day('2028-03-03') }, false],
  ['told of another date', '2028-03-10', { dueOn: day('2028-03-01'), through: day('2028-03-09') }, true],
  ['told ahead', '2028-03-01', { dueOn, through: day('2028-02-24') }, false],
])('the first word that it is overdue: %s', (_, on, told, first) => {
  expect(isFirstWordOverdue(standingOn(state, day(on), usPolicy), told)).toBe(first)
})

test('the earlier of two days, where there is any', () => {
  const [a, b] = [day('2026-03-01'), day('2026-03-02')]
  expect([earlierOf(a, b), earlierOf(b, a), earlierOf(a, a)]).toEqual([a, a, a])
  expect([earlierOf(a, null), earlierOf(null, b), earlierOf(null, null)]).toEqual([a, b, null])
})
