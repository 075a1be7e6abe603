/**
 * When a fact happened, by which clock, and where it stands among others; pairs of facts are walked in `pairs.test.ts`.
 */
import { describe, expect, test } from 'vitest'
import type { Instant } from '../../../shared-domain/calendar.ts'
import type { Happening, RecordedFact } from '../../../shared-domain/facts.ts'
import {
  comparePositions,
  type Position,
  positionOf,
  readAnew,
  type Stay,
  stayedIn,
  staysThrough,
  whenOf,
} from '../../../shared-domain/state/when.ts'
import { day, happened, recordedFact } from '../../support/trade.ts'

const at = (text: string) => text as Instant
const utc = (hour: string, on = '2026-03-10') => at(`${on}T${hour}:00.000Z`)
const [chicago, denver, auckland, honolulu] = [
  'America/Chicago',
  'America/Denver',
  'Pacific/Auckland',
  'Pacific/Honolulu',
]
const always = (zone: string): Stay[] => [{ zone, since: '' }]
const afternoon = utc('18:00')

describe('a time that cannot be', () => {
  const inChicago = always(chicago)
  test.each([
    ['no such day', { day: '2026-02-30' }],
    ['no such day', { day: '10 March' }],
    ['day to come', { day: '2026-03-11' }],
    ['hour to come', { day: '2026-03-10', at: '13:11' }],
    // clocks went forward at two
    ['no such hour', { day: '2026-03-08', at: '02:30' }],
  ])('%s: it stands at its recording', (fault, stated) => {
    expect(whenOf(stated, inChicago, afternoon)).toEqual({
      within: { earliest: afternoon, latest: afternoon },
      zone: chicago,
      today: '2026-03-10',
      fault,
    })
  })

  test('a clock at the bench may run ahead by ten minutes, and one that reports danger by none', () => {
    const faults = (hour: string, aheadSeconds?: number) =>
      whenOf({ day: '2026-03-10', at: hour, aheadSeconds }, inChicago, afternoon).fault
    expect([faults('13:10'), faults('13:11')]).toEqual([null, 'hour to come'])
    expect([faults('13:00', 0), faults('13:01', 0)]).toEqual([null, 'hour to come'])
  })

  test('where nothing is known of its whereabouts, by the clock of UTC', () => {
    expect(whenOf({ day: '2026-02-30' }, [], afternoon).zone).toBe('UTC')
    expect(whenOf({ day: '2026-03-10', at: '09:00' }, [], afternoon)).toEqual({
      within: { earliest: utc('09:00'), latest: utc('09:00') },
      zone: 'UTC',
      today: '2026-03-10',
      fault: null,
    })
  })

  test('of several clocks it is said by the last', () => {
    const stays = [...always(auckland), { zone: honolulu, since: utc('00:00', '2026-03-01') }]
    expect(whenOf({ day: '2026-02-30' }, stays, utc('00:00'))).toMatchObject({ zone: honolulu, today: '2026-03-09' })
  })

  test('a day that has begun only where it is no more is still to come', () => {
    const stays = [...always(auckland), { zone: honolulu, since: utc('00:00', '2026-03-01') }]
    expect(whenOf({ day: '2026-03-10' }, stays, utc('00:00'))).toMatchObject({ zone: honolulu, fault: 'day to come' })
    expect(whenOf({ day: '2026-03-09' }, stays, utc('00:00')).fault).toBeNull()
  })
})

describe('a day without its hour', () => {
  const within = (day: string, stays: readonly Stay[], now = afternoon) => whenOf({ day }, stays, now).within

  test('lasts from its start to its end, or to its recording', () => {
    expect(within('2026-03-09', always(chicago))).toEqual({
      earliest: utc('05:00', '2026-03-09'),
      latest: '2026-03-10T04:59:59.999Z',
    })
    expect(within('2026-03-10', always(chicago))).toEqual({ earliest: utc('05:00'), latest: afternoon })
  })

  const moved = [...always(chicago), { zone: denver, since: utc('12:00') }]
  test('is read by every clock under which the stick was on that day', () => {
    expect(whenOf({ day: '2026-03-09' }, moved, afternoon)).toMatchObject({
      zone: chicago,
      within: { latest: '2026-03-10T04:59:59.999Z' },
    })
    expect(whenOf({ day: '2026-03-10' }, moved, afternoon)).toMatchObject({
      zone: denver,
      within: { earliest: utc('05:00'), latest: afternoon },
    })
  })

  test('by the first clock that is known before anything else is', () => {
    const stays = [
      { zone: chicago, since: utc('12:00', '2026-03-05') },
      { zone: denver, since: utc('12:00', '2026-03-08') },
    ]
    expect(whenOf({ day: '2026-03-01' }, stays, afternoon).zone).toBe(chicago)
  })

  test('by all of them where it was under none that is known', () => {
    const stays = [
      { zone: chicago, since: '' as const, until: utc('12:00', '2026-03-01') },
      { zone: denver, since: utc('12:00', '2026-03-05') },
    ]
    expect(within('2026-03-03', stays)).toEqual({
      earliest: utc('06:00', '2026-03-03'),
      latest: '2026-03-04T06:59:59.999Z',
    })
  })

  test('over the date line, by the clock that had begun it', () => {
    const stays = [...always(auckland), { zone: honolulu, since: utc('20:00', '2026-03-09') }]
    expect(whenOf({ day: '2026-03-10' }, stays, utc('00:00'))).toMatchObject({
      zone: auckland,
      within: { earliest: utc('11:00', '2026-03-09'), latest: utc('00:00') },
    })
  })
})

describe('an hour', () => {
  const read = (hour: string, from: string, to: string) => {
    const stays = [...always(from), { zone: to, since: utc('12:00') }]
    const { earliest, latest } = whenOf({ day: '2026-03-10', at: hour }, stays, utc('23:00')).within
    return [earliest.slice(11, 16), latest.slice(11, 16)]
  }

  test.each([
    // Chicago is five hours behind UTC, Denver six
    ['before it went', '05:00', ['10:00', '10:00']],
    ['just before, or just after', '06:30', ['11:30', '12:30']],
    ['after it went', '09:00', ['15:00', '15:00']],
    ['the last of one clock', '07:00', ['12:00', '13:00']],
    ['the first of the other', '06:00', ['11:00', '12:00']],
  ])('%s: by the clock of where it was', (_, hour, expected) => {
    expect(read(hour, chicago, denver)).toEqual(expected)
  })

  test('that neither clock can have shown there is read by both', () => {
    expect(read('06:30', denver, chicago)).toEqual(['11:30', '12:30'])
  })

  test('that comes twice is read twice, as far as it has come', () => {
    const night = { day: '2026-11-01', at: '01:30' }
    const within = (now: string) => whenOf(night, always(chicago), at(now)).within
    expect(within('2026-11-01T12:00:00.000Z')).toEqual({
      earliest: utc('06:30', '2026-11-01'),
      latest: utc('07:30', '2026-11-01'),
    })
    expect(within('2026-11-01T06:45:00.000Z').latest).toBe(utc('06:30', '2026-11-01'))
  })
})

describe('where a stick has been', () => {
  const home = always(chicago)

  test('a new clock begins a new stay, the same one does not', () => {
    expect(stayedIn(home, undefined, afternoon)).toBe(home)
    expect(stayedIn(home, chicago, afternoon)).toBe(home)
    expect(stayedIn(home, denver, afternoon)).toEqual([...home, { zone: denver, since: afternoon }])
    expect(stayedIn([], denver, afternoon)).toEqual([{ zone: denver, since: afternoon }])
    const back = stayedIn(stayedIn(home, denver, afternoon), chicago, utc('20:00'))
    expect(back.map(({ zone }) => zone)).toEqual([chicago, denver, chicago])
  })

  test('of very many stays the last hundred are kept', () => {
    const many = Array.from({ length: 120 }, (_, i) => (i % 2 === 0 ? denver : chicago)).reduce<readonly Stay[]>(
      (stays, zone) => stayedIn(stays, zone, afternoon),
      home,
    )
    expect(many).toHaveLength(100)
    expect(many.at(-1)?.zone).toBe(chicago)
  })

  test('the clock of today stands beside the last one that is on record, from the last fact on', () => {
    expect(staysThrough([], denver, afternoon)).toEqual(always(denver))
    expect(staysThrough(home, chicago, afternoon)).toBe(home)
    const two = [...home, { zone: denver, since: utc('12:00') }]
    expect(staysThrough(two, auckland, afternoon)).toEqual([
      ...home,
      { zone: denver, since: utc('12:00'), until: '~' },
      { zone: auckland, since: afternoon },
    ])
    expect(staysThrough([{ zone: honolulu, since: '' }, ...two], auckland, afternoon).map(({ zone }) => zone)).toEqual([
      honolulu,
      chicago,
      denver,
      auckland,
    ])
    expect(staysThrough(two, auckland, undefined).at(-1)).toEqual({ zone: auckland, since: utc('12:00') })
  })
})

describe('the place of a fact', () => {
  const place = (happening: Happening, recorded: { seq?: number; at?: string; recordedAt?: Instant } = {}) =>
    positionOf(recordedFact(happening, { seq: 2, on: '2026-03-10', recordedAt: afternoon, ...recorded }))

  test('what speaks for a stick stands as early as it can have been, all else as late', () => {
    expect(place(happened.tested('pass'))).toEqual({ instant: utc('00:00'), rank: 0, seq: 2 })
    expect(place(happened.tested('electrical'))).toEqual({ instant: afternoon, rank: 2, seq: 2 })
    expect(place(happened.step('repaired'))).toEqual({ instant: afternoon, rank: 1, seq: 2 })
    expect(place(happened.used())).toEqual({ instant: afternoon, rank: 0, seq: 2 })
  })

  test('the first entry stands before all of its day, a later one at its end', () => {
    expect(place(happened.registered(), { seq: 1 }).instant).toBe(utc('00:00'))
    expect(place(happened.registered(), { seq: 2 }).instant).toBe(afternoon)
    expect(place(happened.used(), { seq: 1 }).instant).toBe(afternoon)
  })

  test('nothing that speaks for it stands after the minute of its recording', () => {
    const recordedAt = at('2026-03-10T18:00:30.000Z')
    expect(place(happened.tested('pass'), { at: '18:08', recordedAt }).instant).toBe(afternoon)
    expect(place(happened.tested('electrical'), { at: '18:08', recordedAt }).instant).toBe(utc('18:08'))
    expect(place(happened.tested('pass'), { at: '17:59', recordedAt }).instant).toBe(utc('17:59'))
  })

  test('by instant, then by what is against it, then by recording', () => {
    const places: Position[] = [
      { instant: utc('09:00'), rank: 2, seq: 9 },
      { instant: utc('10:00'), rank: 0, seq: 3 },
      { instant: utc('10:00'), rank: 0, seq: 5 },
      { instant: utc('10:00'), rank: 1, seq: 2 },
      { instant: utc('11:00'), rank: 0, seq: 1 },
    ]
    expect([...places].reverse().sort(comparePositions)).toEqual(places)
    expect(
      comparePositions({ instant: utc('10:00'), rank: 0, seq: 5 }, { instant: utc('10:00'), rank: 1, seq: 2 }),
    ).toBe(-1)
  })
})

describe('a move that is recorded late', () => {
  const recordedAt = utc('12:00', '2026-03-12')
  const fact = (happening: Happening, seq: number, hour: string, more: Partial<RecordedFact> = {}) =>
    ({
      ...recordedFact(happening, { seq, on: more.occurredOn ?? '2026-03-10', at: hour, recordedAt }),
      ...more,
    }) as RecordedFact
  const entered = fact(happened.registered(), 1, '08:00', { clockAfter: 'UTC' })
  const sent = fact(happened.moved({ store: 'DEP-2' }), 5, '10:00', { clockAfter: denver })

  test('has the hours after it read by the clock of there too, and none before it', () => {
    const [early, late] = [
      fact(happened.tested('pass'), 2, '09:00', { occurredOn: day('2026-03-09') }),
      fact(happened.tested('pass'), 3, '11:30'),
    ]
    const [, readEarly, readLate] = readAnew([entered, early, late, sent])
    expect(readEarly?.within).toEqual({
      earliest: utc('09:00', '2026-03-09'),
      latest: utc('09:00', '2026-03-09'),
    })
    expect(readLate?.within).toEqual({ earliest: utc('11:30'), latest: utc('17:30') })
  })

  test('whatever the order in which the moves are read', () => {
    const late = fact(happened.tested('pass'), 3, '11:30')
    expect(readAnew([sent, late, entered])[1]?.within.latest).toBe(utc('17:30'))
  })

  test('leaves a use as long as it was, for that may end on another day', () => {
    const [, used] = readAnew([entered, fact(happened.used(), 3, '11:30'), sent])
    expect(used?.within).toEqual({ earliest: utc('11:30'), latest: utc('11:30') })
  })

  test('leaves an hour that cannot have been there as it was read', () => {
    const soon = { ...fact(happened.tested('pass'), 3, '11:30'), recordedAt: utc('11:35') }
    expect(readAnew([entered, soon, sent])[1]).toBe(soon)
  })

  test('and without another clock nothing is read anew', () => {
    const facts = [entered, fact(happened.tested('pass'), 3, '11:30')]
    expect(readAnew(facts)).toBe(facts)
  })
})
