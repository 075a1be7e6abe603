import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { addDays, type CalendarDate } from '../../../shared-domain/calendar.ts'
import { calendarEntry, revisionOf } from '../../../shared-domain/notices/calendar-entry.ts'
import type { StickLine } from '../../../shared-domain/notices/notice.ts'
import { noRules } from '../../../shared-domain/policy/rules.ts'
import { safetyWords } from '../../../shared-domain/safety-words.ts'
import { statuses } from '../../../shared-domain/words.ts'
import { inEnglish } from '../../support/english.ts'
import { tries } from '../../support/tier.ts'
import { day, usPolicy } from '../../support/trade.ts'

const today = day('2028-02-01')

const line: StickLine = {
  stickId: 'S-0001',
  crewId: 'CR-1',
  crewName: 'Crew one',
  status: 'due soon',
  dueOn: day('2028-03-02'),
  revision: 7,
  daysLeft: 30,
  bringTo: 'North yard',
  why: { is: 'why due soon', dueOn: '2028-03-02' },
  source: '29 CFR 1910.269(j)(2)(iii)',
  holds: [],
}

const entryOf = (over: Partial<StickLine> = {}) => calendarEntry({ ...line, ...over }, today, inEnglish)

describe('the entry of a stick', () => {
  test('lies on its due date and says which revision it is', () => {
    expect(entryOf()).toMatchObject({ stickId: 'S-0001', day: '2028-03-02', revision: 7, calledOff: false })
  })

  test('says why, where to, by which rule, when that was known, and that it replaces no judgement', () => {
    expect(entryOf()?.description).toBe(
      [
        'Status: due soon.',
        'Its test runs out on 2 March 2028; it may be used through that day.',
        'Bring to: North yard.',
        'Rule: 29 CFR 1910.269(j)(2)(iii).',
        'Known on 1 February 2028. Calendars follow late: before you use the stick, look up how it stands.',
        safetyWords,
      ].join('\n'),
    )
  })

  test('leaves out what is not known', () => {
    const { description = '' } = entryOf({ bringTo: null, source: null }) ?? {}
    expect(description).not.toMatch(/Bring to|Rule/)
    expect(description).not.toContain('null')
  })

  test('of a stick without a due date there is none', () => {
    expect(entryOf({ dueOn: null })).toBeNull()
  })

  test('of a notice from before revisions were kept gives way to any other', () => {
    const { revision: _, ...older } = line
    expect(calendarEntry(older, today, inEnglish)?.revision).toBe(0)
  })

  test.each(statuses)('%s: only what may be used is asked for without a warning', (status) => {
    const { summary, calledOff, description } = entryOf({ status }) ?? {}
    const fit = status === 'in service' || status === 'due soon'
    expect(summary?.includes('do not use it')).toBe(!fit)
    expect(summary?.includes('bring it to the bench')).toBe(fit || status === 'overdue')
    expect(summary).toContain('S-0001')
    expect(summary).toContain(`(${status})`)
    expect(calledOff).toBe(!fit && status !== 'overdue')
    expect(description?.includes('Bring to')).toBe(fit || status === 'overdue')
  })
})

describe('the revision', () => {
  const by = (edition: string) => ({ ...usPolicy, edition })

  test('rises with each fact and with each edition of the rules that takes effect', () => {
    const known = [
      revisionOf({ facts: 1 }, noRules, today),
      revisionOf({ facts: 2 }, noRules, today),
      revisionOf({ facts: 2 }, by('2020-01-01#0001'), today),
      revisionOf({ facts: 3 }, by('2020-01-01#0001'), today),
      revisionOf({ facts: 3 }, by('2020-01-01#0002'), today),
      revisionOf({ facts: 3 }, by('2020-01-02#0001'), today),
    ]
    expect(known).toEqual([...new Set(known)].sort((a, b) => a - b))
  })

  test('is a whole number that calendars can read, for a century', () => {
    const revision = revisionOf({ facts: 100_000 }, by('2126-12-31#9999'), day('2127-01-01'))
    expect(revision).toBeLessThan(2 ** 31)
    expect(Number.isSafeInteger(revision)).toBe(true)
    expect(revisionOf({ facts: 3 }, usPolicy, today)).toBe(3)
  })

  type Step = { readonly what: 'fact' } | { readonly what: 'days'; readonly days: number } | Recorded
  interface Recorded {
    readonly what: 'edition'
    /** from today */
    readonly takesEffectIn: number
  }
  const steps = fc.array(
    fc.oneof(
      fc.constant<Step>({ what: 'fact' }),
      fc.record({ what: fc.constant('days' as const), days: fc.integer({ min: 1, max: 40 }) }),
      fc.record({ what: fc.constant('edition' as const), takesEffectIn: fc.integer({ min: -60, max: 60 }) }),
    ),
    { minLength: 1, maxLength: 30 },
  )

  /** As the register reads: the last that has taken effect, or else the first of those to come. */
  function inForce(editions: readonly string[], on: CalendarDate): string | undefined {
    const sorted = [...editions].sort()
    return sorted.filter((edition) => edition.slice(0, 10) <= on).at(-1) ?? sorted[0]
  }

  test('never falls, and rises whenever a fact or other rules can have moved the date, in any order of events', () => {
    fc.assert(
      fc.property(steps, (all) => {
        let [now, facts] = [today, 1]
        const editions: string[] = []
        let before = { revision: 0, seen: '' }
        for (const step of all) {
          if (step.what === 'fact') facts += 1
          else if (step.what === 'days') now = addDays(now, step.days)
          else editions.push(`${addDays(now, step.takesEffectIn)}#${String(editions.length + 1).padStart(4, '0')}`)
          const edition = inForce(editions, now)
          const revision = revisionOf({ facts }, edition === undefined ? noRules : by(edition), now)
          const seen = `${facts} ${edition}`
          expect(revision).toBeGreaterThanOrEqual(before.revision)
          if (seen !== before.seen) expect(revision).toBeGreaterThan(before.revision)
          before = { revision, seen }
        }
      }),
      { seed: 7, numRuns: tries(2_000) },
    )
  })
})
