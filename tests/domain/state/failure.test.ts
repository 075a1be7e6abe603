import { describe, expect, test } from 'vitest'
import type { BenchTest } from '../../../shared-domain/bench-test/bench-test.ts'
import type { Happening } from '../../../shared-domain/facts.ts'
import { replay } from '../../../shared-domain/state/fold.ts'
import { standingOn } from '../../../shared-domain/state/standing.ts'
import { aStick, aTest, day, type Ending, happened, history, usPolicy } from '../../support/trade.ts'

type Step = Ending | 'cleaned' | 'waxed' | 'refinished' | 'repaired'

/** A registered stick that goes through these, a day each from 2026-03-02 on; how it stands at the end. */
function endsUp(...steps: Step[]) {
  const events = steps.map((step, i) => {
    const on = `2026-03-${String(i + 2).padStart(2, '0')}`
    const kinds = ['cleaned', 'waxed', 'refinished', 'repaired'] as const
    const kind = kinds.find((one) => one === step)
    return [on, kind === undefined ? happened.tested(step as Ending) : happened.step(kind)] as const
  })
  const { status, holds } = standingOn(
    replay(history(['2026-03-01', happened.registered()], ...events)),
    day('2026-03-20'),
    usPolicy,
  )
  return [status, ...holds.map((hold) => hold.code)]
}

describe('the first electrical failure', () => {
  test('holds the stick', () => {
    expect(endsUp('pass', 'electrical')).toEqual(['on hold', 'failed-test'])
  })
  test('is not cleared by a repeat that reads well without a step', () => {
    expect(endsUp('electrical', 'pass')).toEqual(['on hold', 'failed-test', 'no-corrective-step'])
  })
  test('nor after waxing alone, which hides leakage', () => {
    expect(endsUp('electrical', 'waxed', 'pass')).toEqual(['on hold', 'failed-test', 'no-corrective-step'])
  })
  test.each(['cleaned', 'refinished', 'repaired'] as const)('is cleared by a full pass once it was %s', (step) => {
    expect(endsUp('electrical', step, 'pass')).toEqual(['in service'])
  })
  test('and the pass before the step does not count', () => {
    expect(endsUp('electrical', 'pass', 'refinished')).toEqual(['on hold', 'failed-test', 'test-after-repair'])
    expect(endsUp('electrical', 'pass', 'refinished', 'pass')).toEqual(['in service'])
  })
  test('failing again without a step stays on hold', () => {
    expect(endsUp('electrical', 'electrical', 'electrical')).toEqual(['on hold', 'failed-test', 'no-corrective-step'])
  })
})

describe('a second electrical failure after a step removes it for good', () => {
  test.each(['cleaned', 'refinished', 'repaired'] as const)('after it was %s', (step) => {
    expect(endsUp('electrical', step, 'electrical')[0]).toBe('removed from service')
  })
  test('even with unproven tests between', () => {
    expect(endsUp('electrical', 'cleaned', 'incomplete', 'invalid', 'electrical')[0]).toBe('removed from service')
  })
  test('nothing brings it back', () => {
    expect(endsUp('electrical', 'refinished', 'electrical', 'refinished', 'pass', 'repaired', 'pass')[0]).toBe(
      'removed from service',
    )
  })
  test('but not after waxing only', () => {
    expect(endsUp('electrical', 'waxed', 'electrical')[0]).toBe('on hold')
  })
  test('a full pass between resets the count', () => {
    expect(endsUp('electrical', 'cleaned', 'pass', 'electrical')).toEqual(['on hold', 'failed-test'])
  })
})

describe('a failed examination alone', () => {
  test('holds, and no pass clears it before a recorded step has mended what was found', () => {
    expect(endsUp('examination')).toEqual(['on hold', 'open-defect'])
    expect(endsUp('examination', 'pass')).toEqual(['on hold', 'open-defect', 'not-mended'])
    expect(endsUp('examination', 'waxed', 'pass')).toEqual(['on hold', 'open-defect', 'not-mended'])
    expect(endsUp('examination', 'cleaned', 'pass')).toEqual(['on hold', 'open-defect', 'not-mended'])
    expect(endsUp('examination', 'pass', 'repaired')).toEqual(['on hold', 'open-defect', 'test-after-repair'])
  })
  test.each(['refinished', 'repaired'] as const)('is cleared by a full pass once it was %s', (step) => {
    expect(endsUp('examination', step, 'pass')).toEqual(['in service'])
    expect(endsUp('examination', 'pass', step, 'pass')).toEqual(['in service'])
    expect(endsUp('examination', step, 'examination', 'pass')).toEqual([
      'on hold',
      'open-defect',
      'test-after-repair',
      'not-mended',
    ])
  })

  const finding = (kinds: readonly BenchTest['examination']['defects'][number]['kind'][], gloss: 'sound' | 'lost') => {
    const examination = { defects: kinds.map((kind) => ({ kind, open: true })), gloss }
    return happened.tested('examination', aTest({ examination }))
  }
  test.each([
    ['contamination alone', finding(['contamination'], 'sound'), 'in service'],
    ['contamination and a crack', finding(['contamination', 'crack'], 'sound'), 'on hold'],
    ['contamination and lost gloss', finding(['contamination'], 'lost'), 'on hold'],
    ['lost gloss', finding([], 'lost'), 'on hold'],
  ])('%s, cleaned and tested: %s', (_, found, status) => {
    const facts = history(
      ['2026-03-01', happened.registered()],
      ['2026-03-02', found],
      ['2026-03-03', happened.step('cleaned')],
      ['2026-03-04', happened.tested('pass')],
    )
    expect(standingOn(replay(facts), day('2026-03-20'), usPolicy).status).toBe(status)
  })

  test('a crack found beside a reading over the limit is mended too before a pass counts', () => {
    const both = happened.tested('electrical') as Happening & { kind: 'tested' }
    const reasons = [...both.judgement.reasons, { code: 'open-defect', text: 'Open defect: crack' }]
    const facts = (step: 'cleaned' | 'repaired') =>
      history(
        ['2026-03-01', happened.registered()],
        ['2026-03-02', { ...both, judgement: { ...both.judgement, reasons } }],
        ['2026-03-03', happened.step(step)],
        ['2026-03-04', happened.tested('pass')],
      )
    const status = (step: 'cleaned' | 'repaired') => standingOn(replay(facts(step)), day('2026-03-20'), usPolicy).status
    expect([status('cleaned'), status('repaired')]).toEqual(['on hold', 'in service'])
  })

  test('does not count toward removal', () => {
    expect(endsUp('examination', 'refinished', 'electrical')).toEqual([
      'on hold',
      'open-defect',
      'test-after-repair',
      'failed-test',
    ])
    expect(endsUp('electrical', 'refinished', 'examination')[0]).toBe('on hold')
  })
})

describe('a failure that may be none holds and counts toward no removal', () => {
  test('a reading inside the guard band', () => {
    expect(endsUp('guard band')).toEqual(['on hold', 'failed-test'])
    expect(endsUp('guard band', 'pass')).toEqual(['on hold', 'failed-test', 'no-corrective-step'])
    expect(endsUp('guard band', 'cleaned', 'pass')).toEqual(['in service'])
    expect(endsUp('electrical', 'cleaned', 'guard band')[0]).toBe('on hold')
    expect(endsUp('guard band', 'cleaned', 'guard band')[0]).toBe('on hold')
    expect(endsUp('guard band', 'cleaned', 'electrical')[0]).toBe('on hold')
  })
  test('what failed for certain before it still counts, after another step', () => {
    expect(endsUp('electrical', 'cleaned', 'guard band', 'electrical')[0]).toBe('on hold')
    expect(endsUp('electrical', 'cleaned', 'guard band', 'cleaned', 'electrical')[0]).toBe('removed from service')
    expect(endsUp('electrical', 'cleaned', 'guard band', 'cleaned', 'pass')).toEqual(['in service'])
  })
  test('a failing test without its hour on a day with a step', () => {
    const sameDay = (at?: string) => {
      const retest = ['2026-03-03', happened.tested('electrical'), at] as const
      const facts = history(
        ['2026-03-01', happened.registered()],
        ['2026-03-02', happened.tested('electrical')],
        ['2026-03-03', happened.step('cleaned'), '08:00'],
        at === undefined ? [retest[0], retest[1]] : [retest[0], retest[1], at],
      )
      return standingOn(replay(facts), day('2026-03-20'), usPolicy).status
    }
    expect([sameDay(), sameDay('07:00'), sameDay('09:00')]).toEqual(['on hold', 'on hold', 'removed from service'])
  })
})

/** How it stands after each outcome, however it came to it: what it was held for before goes or stays as a whole. */
describe.each<[string, Step[], Partial<Record<Ending, string>>]>([
  [
    'never failed',
    [],
    {
      pass: 'in service',
      examined: 'on hold, test-incomplete',
      electrical: 'on hold, failed-test',
      'guard band': 'on hold, failed-test',
      examination: 'on hold, open-defect',
      invalid: 'on hold, test-invalid',
      incomplete: 'on hold, test-incomplete',
    },
  ],
  [
    'failed',
    ['electrical'],
    {
      pass: 'on hold, failed-test, no-corrective-step',
      examined: 'on hold, failed-test, test-incomplete',
      electrical: 'on hold, failed-test, no-corrective-step',
      'guard band': 'on hold, failed-test, no-corrective-step',
      examination: 'on hold, failed-test, open-defect',
      invalid: 'on hold, failed-test, test-invalid',
      incomplete: 'on hold, failed-test, test-incomplete',
    },
  ],
  [
    'failed and cleaned',
    ['electrical', 'cleaned'],
    {
      pass: 'in service',
      examined: 'on hold, failed-test, test-incomplete',
      electrical: 'removed from service, failed-test',
      'guard band': 'on hold, failed-test',
      examination: 'on hold, failed-test, open-defect',
      invalid: 'on hold, failed-test, test-invalid',
      incomplete: 'on hold, failed-test, test-incomplete',
    },
  ],
  [
    'doubtful',
    ['guard band'],
    {
      pass: 'on hold, failed-test, no-corrective-step',
      examined: 'on hold, failed-test, test-incomplete',
      electrical: 'on hold, failed-test',
      'guard band': 'on hold, failed-test, no-corrective-step',
      examination: 'on hold, failed-test, open-defect',
      invalid: 'on hold, failed-test, test-invalid',
      incomplete: 'on hold, failed-test, test-incomplete',
    },
  ],
  [
    'doubtful and cleaned',
    ['guard band', 'cleaned'],
    {
      pass: 'in service',
      examined: 'on hold, failed-test, test-incomplete',
      electrical: 'on hold, failed-test',
      'guard band': 'on hold, failed-test',
      examination: 'on hold, failed-test, open-defect',
      invalid: 'on hold, failed-test, test-invalid',
      incomplete: 'on hold, failed-test, test-incomplete',
    },
  ],
])('a stick that %s', (_, steps, outcomes) => {
  test.each(Object.entries(outcomes))('then %s: %s', (ending, stands) => {
    expect(endsUp(...steps, ending as Ending).join(', ')).toBe(stands)
  })
})

test.each([
  ['invalid', 'test-invalid'],
  ['incomplete', 'test-incomplete'],
] as const)('a test that is %s leaves no stick in service', (ending, code) => {
  expect(endsUp('pass', ending)).toEqual(['on hold', code])
  expect(endsUp('pass', ending, 'pass')).toEqual(['in service'])
})

describe('an examination that stands alone', () => {
  const examining = { ...usPolicy, examinationOnly: true }
  const examined = happened.tested('examined')
  const stands = (on: string, policy: typeof usPolicy, ...events: Parameters<typeof history>) => {
    const { status, dueOn, holds } = standingOn(replay(history(...events)), day(on), policy)
    return [status, dueOn, ...holds.map((hold) => hold.code)]
  }
  const entered = ['2024-03-01', happened.registered()] as const
  const tested = ['2024-03-02', happened.tested('pass')] as const

  test('carries on what a test began, for as long as the policy lets it', () => {
    const events = [entered, tested, ['2026-02-20', examined]] as const
    expect(stands('2026-06-01', examining, ...events)).toEqual(['in service', '2028-02-20'])
    expect(stands('2026-06-01', usPolicy, ...events)).toEqual(['overdue', '2026-03-02'])
  })

  test('never takes the place of a first test', () => {
    expect(stands('2024-06-01', examining, entered, ['2024-03-02', examined])).toEqual([
      'on hold',
      null,
      'test-incomplete',
    ])
  })

  test('clears nothing: no hold, no failure, mended or not', () => {
    const against = (...events: Parameters<typeof history>) =>
      stands('2026-03-01', examining, entered, tested, ...events, ['2026-02-20', examined]).slice(2)
    expect(against(['2026-02-10', happened.step('repaired')])).toEqual(['test-after-repair', 'test-incomplete'])
    expect(against(['2026-02-10', happened.tested('electrical')])).toEqual(['failed-test', 'test-incomplete'])
    expect(against(['2026-02-10', happened.tested('electrical')], ['2026-02-11', happened.step('cleaned')])).toEqual([
      'failed-test',
      'test-incomplete',
    ])
  })

  test('winds no clock of hollow tube or wood, whatever was recorded', () => {
    const hollow = ['2024-03-01', happened.registered({ ...aStick, construction: 'hollow FRP tube' })] as const
    expect(stands('2026-06-01', examining, hollow, tested, ['2026-02-20', examined])).toEqual(['overdue', '2026-03-02'])
  })
})

test('a policy that forbids wood holds every stick of it', () => {
  const wood = happened.registered({ ...aStick, construction: 'wood' })
  const events = [['2026-03-01', wood] as const, ['2026-03-02', happened.tested('pass')] as const] as const
  expect(standingOn(replay(history(...events)), day('2026-03-20'), usPolicy).status).toBe('in service')
  const { status, holds } = standingOn(replay(history(...events)), day('2026-03-20'), {
    ...usPolicy,
    woodForbidden: true,
  })
  expect([status, holds.map((one) => one.code)]).toEqual(['on hold', ['wood-forbidden']])
})
