/** A look at idle stock that was missed: no test ran out, and nothing has to come to the bench. */
import { describe, expect, test } from 'vitest'
import { calendarEntry } from '../../../shared-domain/notices/calendar-entry.ts'
import { earlierThanShown } from '../../../shared-domain/notices/ladder.ts'
import { stickLine } from '../../../shared-domain/notices/stick-line.ts'
import type { Clock } from '../../../shared-domain/policy/clocks.ts'
import { rulesFrom } from '../../../shared-domain/policy/rules.ts'
import { dutyOf, pressing } from '../../../shared-domain/state/duty.ts'
import { replay } from '../../../shared-domain/state/fold.ts'
import { standingOn } from '../../../shared-domain/state/standing.ts'
import { inEnglish } from '../../support/english.ts'
import { day, happened, history } from '../../support/trade.ts'

const policy = rulesFrom({ packs: ['us-29-cfr-1910-269-j', 'us-mo-200'] })
const inStore = (tested: string, stored: string) =>
  replay(
    history(
      ['2024-01-02', happened.registered()],
      [tested, happened.tested('pass')],
      [stored, happened.moved({ store: 'DEP-1' })],
    ),
  )
const idle = inStore('2026-03-02', '2026-03-03')
const belonging = { stickId: 'S-1', crewId: null, crewName: null, depotName: 'North yard' }
const lineOn = (state: typeof idle, on: string) =>
  stickLine({ belonging, standing: standingOn(state, day(on), policy) }, day(on))

describe('a stick in store whose monthly look was missed', () => {
  test('is overdue for the look, and no test is said to have run out', () => {
    const standing = standingOn(idle, day('2026-04-03'), policy)
    const { status, duty, dueOn } = standing
    expect({ status, why: inEnglish.why(standing), duty, dueOn }).toEqual({
      status: 'overdue',
      why: 'It was not looked over by 2 April 2026: look it over before it is used.',
      duty: 'look',
      dueOn: '2026-04-02',
    })
  })

  test('is due soon for the look until then', () => {
    const standing = standingOn(idle, day('2026-04-02'), policy)
    expect({ ...standing, why: inEnglish.why(standing) }).toMatchObject({
      status: 'due soon',
      why: 'It is to be looked over by 2 April 2026; it may be used through that day.',
      duty: 'look',
    })
  })

  test('is overdue for its test once that has run out too, whichever ran out first', () => {
    const old = inStore('2024-03-10', '2026-03-09')
    const standing = standingOn(old, day('2026-03-11'), policy)
    const { status, duty, dueOn } = standing
    expect(dueOn).toBe('2024-04-10')
    expect({ status, why: inEnglish.why(standing), duty }).toEqual({
      status: 'overdue',
      why: 'Its test ran out on 10 March 2026.',
      duty: undefined,
    })
  })

  test('is told of as a look in mails and calendars, and is not sent to the bench', () => {
    const line = lineOn(idle, '2026-04-03')
    expect(line).toMatchObject({ duty: 'look', liesAt: 'store' })
    const entry = calendarEntry(line, day('2026-04-03'), inEnglish)
    expect(entry).toMatchObject({
      calledOff: false,
      summary: 'Stick S-1: do not use it before it is looked over (overdue)',
    })
    expect(entry?.description).not.toMatch(/bench|Bring to|test/)
    expect(calendarEntry(lineOn(idle, '2026-03-20'), day('2026-03-20'), inEnglish)?.summary).toBe(
      'Stick S-1: look it over (due soon)',
    )
  })

  test('has no label that is wrong by it', () => {
    const looked = standingOn(idle, day('2026-03-04'), policy)
    expect(looked.dueOn).toBe('2026-04-02')
    expect(earlierThanShown(day('2028-03-02'), looked)).toBeNull()
    const { duty: _, ...tested } = looked
    expect(earlierThanShown(day('2028-03-02'), tested)).toBe('2028-03-02')
  })
})

test('a stick with its crew is due for its test, and lies at no bench', () => {
  const state = replay(history(['2024-01-02', happened.registered()], ['2024-03-02', happened.tested('pass')]))
  const standing = standingOn(state, day('2026-03-03'), policy)
  expect([standing.status, inEnglish.why(standing)]).toEqual(['overdue', 'Its test ran out on 2 March 2026.'])
  expect(standing).not.toHaveProperty('duty')
  expect(lineOn(state, '2026-03-03')).not.toHaveProperty('liesAt')
})

describe('what presses', () => {
  const clock = (evidence: Clock['evidence'], dueOn: string | null, since: string | null = '2026-01-01'): Clock => ({
    requirement: 'one',
    words: 'so',
    source: 'the rule',
    evidence,
    since: since === null ? null : day(since),
    serviceClass: null,
    dueOn: dueOn === null ? null : day(dueOn),
  })
  const look = (dueOn: string | null, since?: string | null) => clock(['condition check'], dueOn, since)
  const dry = (dueOn: string | null, since?: string | null) => clock(['dry test'], dueOn, since)
  const by = (on: string, ...clocks: Clock[]) => {
    const first = pressing(clocks, day(on))
    return first === undefined ? undefined : [dutyOf(first), first.dueOn]
  }

  test('a look is asked for where nothing but a look winds the clock', () => {
    expect([look(null), dry(null), clock(['condition check', 'dry test'], null)].map(dutyOf)).toEqual([
      'look',
      'test',
      'test',
    ])
  })

  test('the first that is due, and of those that have run out a test before a look', () => {
    const [looked, tested] = [look('2026-03-02'), dry('2026-03-04')]
    expect(by('2026-03-01', looked, tested)).toEqual(['look', '2026-03-02'])
    expect(by('2026-03-04', looked, tested)).toEqual(['look', '2026-03-02'])
    expect(by('2026-03-05', looked, tested)).toEqual(['test', '2026-03-04'])
    // on its due date nothing has run out
    expect(by('2026-03-02', look('2026-03-02'), dry('2026-03-02'))).toEqual(['look', '2026-03-02'])
  })

  test('nothing that was never wound or has no end', () => {
    expect(by('2026-03-05', look('2026-03-01', null), dry(null), dry('2026-03-04'))).toEqual(['test', '2026-03-04'])
    expect(by('2026-03-05', dry(null), look('2026-03-01', null))).toBeUndefined()
    expect(by('2026-02-01', dry(null), look('2026-03-01'))).toEqual(['look', '2026-03-01'])
    expect(by('2026-02-01', dry('2026-02-15', null), look('2026-03-01'))).toEqual(['look', '2026-03-01'])
  })

  test('is said of a test and of a look, with its day', () => {
    const whyOn = (state: typeof idle, on: string) => inEnglish.why(standingOn(state, day(on), policy))
    const withCrew = replay(history(['2024-01-02', happened.registered()], ['2024-03-02', happened.tested('pass')]))
    expect(whyOn(withCrew, '2026-03-02')).toMatch(
      /^Its test runs out on 2 March 2026; it may be used through that day\.$/,
    )
    expect(whyOn(withCrew, '2026-03-03')).toMatch(/test ran out on 2 March 2026\.$/)
    expect(whyOn(idle, '2026-04-02')).toMatch(/looked over by 2 April 2026; it may be used through that day\.$/)
    expect(whyOn(idle, '2026-04-03')).toMatch(/not looked over by 2 April 2026: look it over before it is used\.$/)
  })
})
