/** Reports that wait on a device: who sends them, in what order, at which hour, and what becomes of them. */
import { describe, expect, test } from 'vitest'
import type { Instant } from '../../../shared-domain/calendar.ts'
import { hourPutRight, isClockWrong, secondsOff } from '../../../shared-domain/device/device-clock.ts'
import {
  answerFrom,
  isWaitingReport,
  keptAfter,
  readyToSend,
  reportHour,
  reportsToSend,
  sendsOn,
  sentAgain,
  type WaitingReport,
} from '../../../shared-domain/device/waiting-report.ts'

const at = (time: string) => `2026-03-02T${time}:00.000Z` as Instant
const ana = { organisation: 'demo', person: 'ana' }
const kai = { organisation: 'demo', person: 'kai' }
const report = (more: Partial<WaitingReport> = {}): WaitingReport => ({
  shape: 1,
  factId: 'f-1',
  by: ana,
  path: '/sticks/S-1/report',
  about: 'Report danger: stick S-1',
  fields: [['/kind', 'tingle']],
  enteredAt: at('14:20'),
  hour: 'of entering',
  happenedAt: null,
  refused: null,
  ...more,
})

describe('which reports are sent', () => {
  const idsFor = (who: typeof ana, kept: readonly WaitingReport[]) =>
    reportsToSend(kept, who).map(({ factId }) => factId)

  test('those of whoever is signed in, in the order in which they were entered, whatever the clock showed', () => {
    const kept = [
      report({ factId: 'first', enteredAt: at('14:30') }),
      report({ factId: 'of kai', by: kai }),
      report({ factId: 'second', enteredAt: at('09:00') }),
    ]
    expect(idsFor(ana, kept)).toEqual(['first', 'second'])
    expect(idsFor(kai, kept)).toEqual(['of kai'])
    expect(idsFor({ ...ana, organisation: 'other' }, kept)).toEqual([])
  })

  test('one without a name goes with whoever signs in next; one that was refused waits for its author', () => {
    const kept = [report({ factId: 'nobody’s', by: null }), report({ factId: 'refused', refused: ['why'] })]
    expect(idsFor(kai, kept)).toEqual(['nobody’s'])
    expect(idsFor(ana, kept.map(sentAgain))).toEqual(['nobody’s', 'refused'])
  })
})

describe('the hour of a report', () => {
  test.each([
    ['2026-03-02', '2026-03-02', '', 'of entering'],
    ['2026-03-02', '2026-03-02', '14:20', 'as typed'],
    ['2026-03-02', '2026-03-01', '', 'as typed'],
  ])('day shown %s, typed %s at %j: %s', (dayShown, dayTyped, hourTyped, hour) => {
    expect(reportHour({ dayShown, dayTyped, hourTyped })).toBe(hour)
  })

  test('is put right by a clock that is an hour off, and left alone by one that is right', () => {
    expect(readyToSend(report(), 3600).happenedAt).toBe(at('15:20'))
    expect(readyToSend(report(), -3600).happenedAt).toBe(at('13:20'))
    expect(readyToSend(report(), 119).happenedAt).toBe(at('14:20'))
  })

  test('is put right once: sent again, it is the same report', () => {
    const ready = readyToSend(report(), 3600)
    expect(readyToSend(ready, 3604)).toEqual(ready)
  })

  test('stays what somebody typed', () => {
    expect(readyToSend(report({ hour: 'as typed' }), 3600).happenedAt).toBe(null)
  })

  test('is told from the service’s clock, taken halfway between asking and answer', () => {
    const clocks = { asked: at('14:00'), answered: at('14:02') }
    expect(secondsOff({ service: at('15:01'), ...clocks })).toBe(3600)
    expect(secondsOff({ service: at('13:01'), ...clocks })).toBe(-3600)
    expect([119, 120, -119, -120].map(isClockWrong)).toEqual([false, true, false, true])
    expect(hourPutRight(at('14:20'), 120)).toBe(at('14:22'))
  })
})

describe('what becomes of a report', () => {
  const recorded = { is: 'recorded', goTo: '/sticks/S-1', before: false }
  const cases = [
    { status: 200, said: recorded, is: 'recorded', kept: 'no', on: true },
    { status: 409, said: { is: 'recorded', goTo: '', before: true }, is: 'recorded', kept: 'no', on: true },
    { status: 409, said: { is: 'refused', why: ['It is scrapped.'] }, is: 'refused', kept: 'refused', on: true },
    { status: 403, said: null, is: 'refused', kept: 'refused', on: true },
    { status: 404, said: { is: 'refused', why: ['No such stick'] }, is: 'refused', kept: 'refused', on: true },
    {
      status: 422,
      said: { is: 'refused', why: ['Hour: an hour that has come'] },
      is: 'refused',
      kept: 'refused',
      on: true,
    },
    { status: 401, said: { is: 'no session' }, is: 'no session', kept: 'waits', on: false },
    { status: 408, said: null, is: 'trouble', kept: 'waits', on: false },
    { status: 429, said: { message: 'Too Many Requests' }, is: 'trouble', kept: 'waits', on: false },
    { status: 500, said: null, is: 'trouble', kept: 'waits', on: false },
    { status: 503, said: { is: 'refused', why: ['Send it again'] }, is: 'trouble', kept: 'waits', on: false },
    // a page of whatever stands between: a hotel's, or the sign-in
    { status: 200, said: null, is: 'trouble', kept: 'waits', on: false },
    { status: 0, said: null, is: 'trouble', kept: 'waits', on: false },
  ]
  test.each(cases)('answered $status $said: $is, kept: $kept', ({ status, said, is, kept, on }) => {
    const answer = answerFrom(status, said)
    const left = keptAfter(report(), answer)
    expect([answer.is, left === null ? 'no' : left.refused === null ? 'waits' : 'refused', sendsOn(answer)]).toEqual([
      is,
      kept,
      on,
    ])
  })

  test('without a link it waits as it is', () => {
    expect(keptAfter(report(), { is: 'no link' })).toEqual(report())
    expect(sendsOn({ is: 'no link' })).toBe(false)
  })

  test('the reason is kept with it', () => {
    const answer = answerFrom(409, { is: 'refused', why: ['It is scrapped.', 7] })
    expect(keptAfter(report(), answer)?.refused).toEqual(['It is scrapped.'])
  })
})

test('what lies there and reads as no report is none', () => {
  expect(isWaitingReport(report())).toBe(true)
  const others = [null, 'text', {}, { ...report(), shape: 2 }, { ...report(), path: 'https://other.example' }]
  expect([...others, { ...report(), enteredAt: 'soon' }].map(isWaitingReport)).toEqual(Array(6).fill(false))
})
