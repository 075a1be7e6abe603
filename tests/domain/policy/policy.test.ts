/** What an employer may hold itself to, and what becomes of it. */
import { describe, expect, test } from 'vitest'
import type * as z from 'zod'
import { addMonths, addMonthsToEndOfMonth, daysBetween } from '../../../shared-domain/calendar.ts'
import { rulePacks } from '../../../shared-domain/policy/packs.ts'
import { type EmployerPolicy, employerPolicy } from '../../../shared-domain/policy/policy.ts'
import { type Interval, type Requirement, requirement } from '../../../shared-domain/policy/requirement.ts'
import { dueSoonDays, rulesFrom } from '../../../shared-domain/policy/rules.ts'
import { isNoLonger, saidInterval } from '../../../shared-domain/policy/shorter.ts'
import { askedBy, inEnglish } from '../../support/english.ts'
import { day } from '../../support/trade.ts'

const us = ['us-29-cfr-1910-269-j']
const frp = 'us-29-cfr-1910-269-j-frp'
const idle = 'us-mo-200-15-18d-idle'
const certificate = 'ufc-3-560-01-5-4-1-certificate'
const own = (over: object = {}) => ({
  id: 'own-rule',
  words: 'tested dry at most every 6 months',
  source: { cited: 'company rule 1', jurisdiction: 'the employer', confidence: 'the employer’s own' },
  evidence: ['dry test'],
  interval: { months: 6 },
  appliesTo: { primaryProtectionOnly: false, constructions: ['wood'] },
  legalMaximum: false,
  ...over,
})

/** Where it is refused, and why; nothing where it is let in. */
const refusals = (more: object) => readIssues(employerPolicy.safeParse({ packs: us, ...more }))
const readIssues = ({ error }: z.ZodSafeParseResult<unknown>) =>
  (error?.issues ?? []).map((issue) => `${issue.path.join('/')}: ${askedBy(issue)}`)
const shorten = (interval: object, rule = frp) => [{ requirement: rule, interval, source: 'company rule 7' }]

describe('what an employer hands in', () => {
  test('may be packs alone, or all that there is to set', () => {
    const all = {
      packs: rulePacks.map(({ id }) => id),
      shorten: shorten({ months: 12 }),
      add: [own()],
      turnOn: [certificate],
      occasionalUse: { windowDays: 90, atMostUseDays: 5 },
      useWeights: { wet: 2, salt: 1.5 },
      tellDaysBefore: [30, 7, 0],
      tellOverdueEveryDays: 3,
      examinationOnly: true,
      releaseAfterFailure: true,
      woodForbidden: true,
      effectiveFrom: '2026-03-02',
    }
    expect(employerPolicy.parse(all)).toEqual(all)
    expect(employerPolicy.parse({ packs: us })).toEqual({ packs: us })
  })

  test.each<[string, object[], object[]]>([
    ['packs', [{ packs: us }], [{ packs: [] }, { packs: Array(21).fill(us[0]) }]],
    [
      'shorten',
      [{ shorten: [] }, { shorten: [...shorten({ months: 1 }), ...shorten({ days: 9 }, idle)] }],
      [{ shorten: [...shorten({ months: 1 }), ...shorten({ months: 2 })] }],
    ],
    ['add', [{ add: [] }], [{ add: Array.from({ length: 51 }, (_, i) => own({ id: `own-${i}` })) }]],
    ['turnOn', [{ turnOn: [frp] }], [{ turnOn: ['none'] }, { turnOn: Array(51).fill(frp) }]],
    [
      'occasionalUse',
      [
        { occasionalUse: { windowDays: 30, atMostUseDays: 1 } },
        { occasionalUse: { windowDays: 730, atMostUseDays: 730 } },
      ],
      [
        { occasionalUse: { windowDays: 29, atMostUseDays: 1 } },
        { occasionalUse: { windowDays: 731, atMostUseDays: 1 } },
        { occasionalUse: { windowDays: 30, atMostUseDays: 0 } },
        { occasionalUse: { windowDays: 30, atMostUseDays: 731 } },
        { occasionalUse: { windowDays: 30 } },
      ],
    ],
    [
      'useWeights',
      [{ useWeights: { wet: 1, salt: 100, contaminated: 2, 'high duty': 2 } }, { useWeights: {} }],
      [{ useWeights: { wet: 0.99 } }, { useWeights: { salt: 101 } }, { useWeights: { hot: 2 } }],
    ],
    [
      'tellDaysBefore',
      [{ tellDaysBefore: [365, 0] }, { tellDaysBefore: [0] }],
      [
        { tellDaysBefore: [] },
        { tellDaysBefore: [366] },
        { tellDaysBefore: [1, -1] },
        { tellDaysBefore: [7, 7] },
        { tellDaysBefore: [7, 14, 0] },
        { tellDaysBefore: [30, 7, 14] },
        { tellDaysBefore: Array.from({ length: 21 }, (_, i) => 30 - i) },
      ],
    ],
    [
      'tellOverdueEveryDays',
      [{ tellOverdueEveryDays: 1 }, { tellOverdueEveryDays: 31 }],
      [{ tellOverdueEveryDays: 0 }, { tellOverdueEveryDays: 32 }],
    ],
    [
      'answerWithinHours',
      [{ answerWithinHours: 1 }, { answerWithinHours: 72 }],
      [{ answerWithinHours: 0 }, { answerWithinHours: 73 }],
    ],
    [
      'overdueClimbs',
      [
        { overdueClimbs: { foremanAfterWeeks: 0, managerAfterWeeks: 52 } },
        { overdueClimbs: { foremanAfterWeeks: 52, managerAfterWeeks: 52 } },
        { overdueClimbs: { foremanAfterWeeks: 0, managerAfterWeeks: 0 } },
        { overdueClimbs: { foremanAfterWeeks: 0, managerAfterWeeks: 0, ownerAfterWeeks: 0 } },
        { overdueClimbs: { foremanAfterWeeks: 0, managerAfterWeeks: 0, ownerAfterWeeks: 52 } },
      ],
      [
        { overdueClimbs: { foremanAfterWeeks: -1, managerAfterWeeks: 52 } },
        { overdueClimbs: { foremanAfterWeeks: 53, managerAfterWeeks: 53 } },
        { overdueClimbs: { foremanAfterWeeks: 0, managerAfterWeeks: 53 } },
        { overdueClimbs: { foremanAfterWeeks: 0, managerAfterWeeks: -1 } },
        { overdueClimbs: { foremanAfterWeeks: 0, managerAfterWeeks: 0, ownerAfterWeeks: -1 } },
        { overdueClimbs: { foremanAfterWeeks: 0, managerAfterWeeks: 0, ownerAfterWeeks: 53 } },
        { overdueClimbs: {} },
      ],
    ],
    ['effectiveFrom', [{ effectiveFrom: '2024-02-29' }], [{ effectiveFrom: '2026-02-29' }]],
  ])('%s within its bounds', (_, letIn, refused) => {
    for (const one of letIn) expect(refusals(one), JSON.stringify(one)).toEqual([])
    for (const one of refused) expect(refusals(one), JSON.stringify(one)).not.toEqual([])
  })

  test('is told what would do instead', () => {
    expect(employerPolicy.safeParse({ packs: ['none'] }).error?.issues).toMatchObject([
      { path: ['packs', 0], values: rulePacks.map(({ id }) => id) },
    ])
    expect(refusals({ shorten: shorten({ months: 1 }, 'none') })).toEqual([
      expect.stringMatching(/^shorten\/0\/requirement: a requirement of a rule pack: us-29-cfr-1910-269-j-frp, us-29-/),
    ])
    expect(refusals({ turnOn: ['none'] })).toEqual([
      'turnOn/0: what a rule pack leaves optional: ufc-3-560-01-5-4-1-certificate, ufc-3-560-01-5-5-1-1-calibration',
    ])
    expect(refusals({ tellDaysBefore: [7, 14] })).toEqual(['tellDaysBefore: days that fall, such as [60, 30, 0]'])
    expect(refusals({ shorten: [...shorten({ months: 6 }), ...shorten({ days: 9 })] })).toEqual([
      'shorten: each requirement no more than once',
    ])
  })

  test('names no requirement as another is named, nor as one shortened is', () => {
    expect(refusals({ add: [own(), own({ id: 'other' })] })).toEqual([])
    const taken = 'a name that no other requirement has'
    expect(refusals({ add: [own(), own()] })).toEqual([`add/1/id: ${taken}`])
    expect(refusals({ add: [own({ id: frp })] })).toEqual([`add/0/id: ${taken}`])
    expect(refusals({ add: [own({ id: `${idle}-shortened` })] })).toEqual([`add/0/id: ${taken}`])
  })
})

const notRenewed = ['certificate', 'acceptance test', 'demonstrated examination']

describe('a requirement', () => {
  const taken = (over: object) => requirement.safeParse(own(over)).success
  const asked = (over: object) => readIssues(requirement.safeParse(own(over)))

  test.each([
    notRenewed.map((kind) => ({ evidence: ['dry test', kind], interval: { useDays: 30 } })),
    notRenewed.map((kind) => ({ evidence: [kind], byClass: { stored: { months: 12 } } })),
  ])('counts use and service class from evidence that a full test renews alone: %j', (...refused) => {
    for (const one of refused) {
      expect(asked(one)).toEqual([
        expect.stringMatching(
          /^evidence: evidence other than (certificate|acceptance test|demonstrated examination), /,
        ),
      ])
      expect(taken({ ...one, evidence: ['dry test', 'condition check'] })).toBe(true)
      expect(taken({ evidence: one.evidence, interval: { months: 6 } })).toBe(true)
      expect(taken({ evidence: one.evidence, interval: null })).toBe(true)
    }
  })

  test.each<[object[], object[]]>([
    [
      [{ months: 1 }, { months: 600, counting: 'end of month' }, { days: 0 }, { days: 20_000 }, { useDays: 1 }],
      [{ months: 0 }, { months: 601 }, { days: -1 }, { days: 20_001 }, { useDays: 0 }, { useDays: 20_001 }, {}],
    ],
    [[{ useDays: 20_000 }], [{ months: 6, days: 1 }, { months: 1.5 }, { months: 6, counting: 'roughly' }]],
  ])('has an interval of one kind, of whole numbers: %j', (good, bad) => {
    for (const interval of good) expect(taken({ interval }), JSON.stringify(interval)).toBe(true)
    for (const interval of bad) expect(taken({ interval }), JSON.stringify(interval)).toBe(false)
  })

  test('says what an interval looks like', () => {
    expect(asked({ interval: 'yearly' })).toEqual(['interval: { "months", "counting" }, { "days" } or { "useDays" }'])
  })

  test.each<[string, unknown[], unknown[]]>([
    ['evidence', [['examination', 'wet test']], [[], ['a look']]],
    ['shelfMonths', [1, 240], [0, 241]],
    ['suspendedInStorageAfterMonths', [0, 240], [-1, 241]],
    ['stops', [[], ['batch problem', 'use without protectors']], [['sat on']]],
    ['byClass', [{}, { stored: null, frequent: { days: 3 } }], [{ idle: null }]],
    ['examinationOnly', [[], ['wood']], [['bamboo']]],
    [
      'appliesTo',
      [
        { primaryProtectionOnly: true, constructions: ['wood'] },
        { primaryProtectionOnly: true, constructions: ['wood'], inServiceFrom: '2024-02-29' },
      ],
      [
        { primaryProtectionOnly: true, constructions: [] },
        { primaryProtectionOnly: true, constructions: ['wood'], inServiceFrom: '2026-02-29' },
      ],
    ],
    [
      'statedBy',
      [[], [{ by: 'the maker', interval: { months: 36 }, source: 'instructions' }]],
      [[{ by: 'the maker', interval: null, source: 'instructions' }], [{ by: 'the maker', interval: { months: 6 } }]],
    ],
    ['words', ['x'.repeat(300)], ['', 'x'.repeat(301)]],
    ['unheardOf', [], [1]],
  ])('%s within its bounds', (field, good, bad) => {
    for (const value of good) expect(taken({ [field]: value }), JSON.stringify(value)).toBe(true)
    for (const value of bad) expect(taken({ [field]: value }), JSON.stringify(value)).toBe(false)
  })

  test('lets others state its interval only where it is no maximum and the same in every class', () => {
    const statedBy = [{ by: 'the maker', interval: { months: 36 }, source: 'instructions' }]
    expect(taken({ statedBy })).toBe(true)
    for (const more of [{ legalMaximum: true }, { byClass: { stored: { months: 12 } } }]) {
      expect(asked({ statedBy, ...more }), JSON.stringify(more)).toEqual([
        'statedBy: left out of what is a legal maximum, or differs by service class',
      ])
    }
    const useDays = [{ by: 'the maker', interval: { useDays: 30 }, source: 'instructions' }]
    expect(taken({ statedBy: useDays })).toBe(true)
    expect(taken({ statedBy: useDays, evidence: ['certificate'] })).toBe(false)
  })

  test('says where it stands: cited, whose, how it was read, and of which edition and days', () => {
    const { source } = own()
    const more = { edition: 'x'.repeat(120), effectiveFrom: '2016-07-01', effectiveTo: '2024-02-29' }
    expect(taken({ source: { ...source, ...more, cited: 'x'.repeat(200), jurisdiction: 'x'.repeat(120) } })).toBe(true)
    for (const bad of [
      { cited: 'x'.repeat(201) },
      { edition: 'x'.repeat(121) },
      { jurisdiction: 'x'.repeat(121) },
      { confidence: 'sure' },
      { effectiveTo: '2026-02-29' },
      { page: 7 },
    ]) {
      expect(taken({ source: { ...source, ...bad } }), JSON.stringify(bad)).toBe(false)
    }
  })
})

describe('a policy ready to be asked', () => {
  const names = (employer: EmployerPolicy) => rulesFrom(employer).requirements.map(({ id }) => id)

  test('holds the rules of its packs, then those shortened, then its own', () => {
    const employer = employerPolicy.parse({
      packs: ['us-mo-200', ...us],
      shorten: shorten({ months: 12 }),
      add: [own()],
    })
    expect(names(employer)).toEqual([frp, 'us-29-cfr-1910-269-j-wood', idle, `${frp}-shortened`, 'own-rule'])
  })

  test('holds optional rules only where they are turned on, and of packs in force', () => {
    const packs = ['ufc-3-560-01-5-4']
    expect(names({ packs })).toEqual(['ufc-3-560-01-5-4-10-dry', 'ufc-3-560-01-5-4-11-wet'])
    expect(names({ packs, turnOn: [certificate] })).toContain(certificate)
    expect(names({ packs, turnOn: ['ufc-3-560-01-5-4-11-wet'] })).not.toContain(certificate)
    expect(names({ packs: us, turnOn: [certificate] })).not.toContain(certificate)
  })

  test('settles what the employer left open, and keeps what it said', () => {
    expect(rulesFrom({ packs: us })).toMatchObject({
      occasionalUse: undefined,
      useWeights: {},
      tellDaysBefore: [60, 30, 14, 7, 1, 0],
      tellOverdueEveryDays: 7,
      answerWithinHours: 4,
      overdueClimbs: { foremanAfterWeeks: 0, managerAfterWeeks: 0, ownerAfterWeeks: 2 },
      examinationOnly: false,
      releaseAfterFailure: false,
      woodForbidden: false,
    })
    const said = {
      occasionalUse: { windowDays: 90, atMostUseDays: 5 },
      useWeights: { wet: 2 },
      tellDaysBefore: [5],
      tellOverdueEveryDays: 1,
      answerWithinHours: 9,
      overdueClimbs: { foremanAfterWeeks: 1, managerAfterWeeks: 3, ownerAfterWeeks: 4 },
      examinationOnly: true,
      releaseAfterFailure: true,
      woodForbidden: true,
    }
    expect(rulesFrom({ packs: us, ...said })).toMatchObject(said)
  })

  test('tells of a due date first so many days before as its list begins with', () => {
    expect(dueSoonDays(rulesFrom({ packs: us, tellDaysBefore: [45, 3] }))).toBe(45)
    expect(dueSoonDays({ ...rulesFrom({ packs: us }), tellDaysBefore: [] })).toBe(0)
  })

  describe('a rule shortened', () => {
    const shortened = (interval: Interval, rule: string, packs: string[]) =>
      rulesFrom({ packs, shorten: [{ requirement: rule, interval, source: 'company rule 7' }] }).requirements.filter(
        ({ id }) => id.endsWith('-shortened'),
      )
    const ruleOf = (rule: string) => rulePacks.flatMap((pack) => pack.requirements).find(({ id }) => id === rule)

    test('is a clock beside the rule’s own: same evidence and sticks, no law of its own, and says whose it is', () => {
      const rule = ruleOf(frp)
      expect(shortened({ months: 12 }, frp, us)).toEqual([
        {
          id: `${frp}-shortened`,
          words: rule?.words,
          source: {
            cited: 'company rule 7, within 29 CFR 1910.269(j)(2)(iii)',
            jurisdiction: 'United States, federal',
            confidence: 'the employer’s own',
          },
          evidence: rule?.evidence,
          examinationOnly: rule?.examinationOnly,
          appliesTo: rule?.appliesTo,
          interval: { months: 12 },
          legalMaximum: false,
        },
      ])
    })

    test('asks nothing of a class of which the rule asks nothing', () => {
      expect(shortened({ days: 14 }, idle, ['us-mo-200'])).toMatchObject([
        { interval: { days: 14 }, byClass: { frequent: null, occasional: null } },
      ])
      expect(shortened({ days: 14 }, idle, ['us-mo-200'])[0]?.byClass).not.toHaveProperty('stored')
      expect(shortened({ months: 3 }, 'ufc-3-560-01-5-4-10-dry', ['ufc-3-560-01-5-4'])[0]?.byClass).toEqual({})
    })

    test('asks nothing where the rule is not in force', () => {
      expect(shortened({ months: 6 }, frp, ['us-mo-200'])).toEqual([])
      expect(shortened({ months: 6 }, certificate, ['ufc-3-560-01-5-4'])).toEqual([])
    })
  })
})

describe('no longer than the rule', () => {
  const rule = (interval: Interval | null, byClass?: Requirement['byClass']) => ({
    interval,
    ...(byClass && { byClass }),
  })
  const endOfMonth = { counting: 'end of month' } as const

  test.each<[Interval, Interval | null, boolean]>([
    [{ months: 24 }, { months: 24 }, true],
    [{ months: 25 }, { months: 24 }, false],
    [{ months: 24, counting: 'anniversary' }, { months: 24 }, true],
    [{ months: 24, ...endOfMonth }, { months: 24 }, false],
    [{ months: 23, ...endOfMonth }, { months: 24 }, true],
    [{ months: 24, ...endOfMonth }, { months: 24, ...endOfMonth }, true],
    [{ months: 24 }, { months: 24, ...endOfMonth }, true],
    [{ months: 25, ...endOfMonth }, { months: 24, ...endOfMonth }, false],
    // February and the months around it are the shortest there are
    [{ days: 28 }, { months: 1 }, true],
    [{ days: 29 }, { months: 1 }, false],
    [{ days: 181 }, { months: 6 }, true],
    [{ days: 182 }, { months: 6 }, false],
    [{ days: 730 }, { months: 24 }, true],
    [{ days: 731 }, { months: 24 }, false],
    [{ months: 6 }, { days: 184 }, true],
    [{ months: 6 }, { days: 183 }, false],
    [{ months: 6, ...endOfMonth }, { days: 214 }, true],
    [{ months: 6, ...endOfMonth }, { days: 213 }, false],
    [{ days: 30 }, { days: 30 }, true],
    [{ days: 31 }, { days: 30 }, false],
    // beside the calendar, and beside the rule's own clock
    [{ useDays: 9_999 }, { months: 1 }, true],
    [{ days: 9_999 }, { useDays: 1 }, true],
    [{ months: 600 }, null, true],
  ])('%j against %j: %s', (shorter, longest, expected) => {
    expect(isNoLonger(shorter, rule(longest))).toBe(expected)
  })

  test('is asked of the longest that the rule gives in any class', () => {
    const byClass = { frequent: { months: 6 }, occasional: null, stored: { months: 12 } }
    expect(isNoLonger({ months: 12 }, rule({ months: 6 }, byClass))).toBe(true)
    expect(isNoLonger({ months: 13 }, rule({ months: 6 }, byClass))).toBe(false)
    expect(isNoLonger({ months: 24 }, rule({ months: 24 }, byClass))).toBe(true)
    expect(isNoLonger({ days: 29 }, rule(null, { stored: { months: 1 } }))).toBe(false)
    expect(isNoLonger({ days: 90 }, rule({ useDays: 400 }, { stored: { days: 60 } }))).toBe(false)
  })

  test('is right to the day for every span of months that can be written, in any of 400 years', () => {
    const firsts = Array.from({ length: 4_800 }, (_, month) => addMonths(day('2000-01-01'), month))
    for (const months of [
      1, 2, 3, 5, 6, 7, 9, 11, 12, 13, 18, 24, 36, 47, 48, 60, 95, 96, 97, 120, 144, 360, 599, 600,
    ]) {
      const spans = firsts.map((first) => daysBetween(first, addMonths(first, months)))
      const toTheEnd = firsts.map((first) => daysBetween(first, addMonthsToEndOfMonth(first, months)))
      const [fewest, most, mostToTheEnd] = [Math.min(...spans), Math.max(...spans), Math.max(...toTheEnd)]
      const told = [fewest, fewest + 1].map((days) => isNoLonger({ days }, rule({ months })))
      const asked = [most, most - 1].map((days) => isNoLonger({ months }, rule({ days })))
      const atTheEnd = [mostToTheEnd, mostToTheEnd - 1].map((days) =>
        isNoLonger({ months, ...endOfMonth }, rule({ days })),
      )
      expect([told, asked, atTheEnd], `${months} months`).toEqual([
        [true, false],
        [true, false],
        [true, false],
      ])
    }
  })

  test('and is told in words', () => {
    const inWords = (one: Interval | null) => inEnglish.told({ code: '', says: saidInterval(one) })
    const all: (Interval | null)[] = [{ months: 24 }, { days: 30 }, { useDays: 9 }, null]
    expect(all.map(inWords)).toEqual(['24 months', '30 days', '9 days of use', 'once and for all'])
  })

  test('is refused by the name of the rule, with what it allows', () => {
    const allowed = (what: string, cited: string) =>
      `shorten/0/interval: an interval no longer than the rule’s own, ${what} (${cited})`
    expect(refusals({ shorten: shorten({ months: 25 }) })).toEqual([allowed('24 months', '29 CFR 1910.269(j)(2)(iii)')])
    expect(refusals({ shorten: shorten({ days: 366 }, 'ufc-3-560-01-5-4-10-dry') })).toEqual([
      allowed('12 months', 'UFC 3-560-01, 5-4.10'),
    ])
    expect(refusals({ shorten: shorten({ months: 600 }, certificate) })).toEqual([])
    // 181 days are never more than six months
    expect(refusals({ shorten: shorten({ days: 181 }, 'jp-ordinance-351-insulation') })).toEqual([])
  })
})
