/**
 * Every ordered pair of kinds of fact, with and without their hours, recorded at once or days later, by one clock, by
 * two, in the hour that comes twice and across the date line: which hour is asked for, what stands first, what is told.
 * The instants that are expected come from another library than the product's.
 */
import { Temporal } from 'temporal-polyfill'
import { describe, expect, test } from 'vitest'
import type { Instant } from '../../../shared-domain/calendar.ts'
import type { Happening, RecordedFact } from '../../../shared-domain/facts.ts'
import { kindsOwed } from '../../../shared-domain/notices/owed.ts'
import { replay } from '../../../shared-domain/state/fold.ts'
import { hourAskedFor } from '../../../shared-domain/state/hour-asked.ts'
import { standingOn } from '../../../shared-domain/state/standing.ts'
import { mayBeUsed } from '../../../shared-domain/state/use.ts'
import { inOrder, type Stay, type When, whenOf } from '../../../shared-domain/state/when.ts'
import { tries } from '../../support/tier.ts'
import { day, happened, history, usPolicy } from '../../support/trade.ts'

type Side = 'clears' | 'for' | 'changes' | 'mends' | 'against'

const look = (sound: boolean): Happening => ({
  kind: 'condition checked',
  check: { factId: 'x', occurredOn: '2026-03-10', by: 'Ines Roth', sound },
})

/** What each says of a stick, written down by hand. */
const kinds: Readonly<Record<string, readonly [Side, Happening]>> = {
  'a pass': ['clears', happened.tested('pass')],
  'a failure': ['against', happened.tested('electrical')],
  'a failed examination': ['against', happened.tested('examination')],
  'a test that proves nothing': ['against', happened.tested('invalid')],
  'a test with something left out': ['against', happened.tested('incomplete')],
  cleaned: ['clears', happened.step('cleaned')],
  waxed: ['clears', happened.step('waxed')],
  repaired: ['mends', happened.step('repaired')],
  refinished: ['mends', happened.step('refinished')],
  'a tingle': ['against', happened.defect('tingle')],
  'a look that found something': ['against', look(false)],
  'a sound look': ['clears', look(true)],
  missing: ['against', happened.moved('missing')],
  found: ['against', happened.moved('found')],
  'to another crew': ['changes', happened.moved({ crewId: 'CR-2' })],
  'to the bench': ['changes', happened.moved({ bench: 'DEP-1' })],
  'into store': ['changes', happened.moved({ store: 'DEP-1' })],
  used: ['changes', happened.used()],
  released: ['clears', happened.released()],
  'its certificate': [
    'for',
    {
      kind: 'certificate received',
      certificate: { factId: 'x', occurredOn: day('2026-03-10'), issuedBy: 'the maker' },
    },
  ],
}

interface Told {
  readonly on: string
  readonly at: string
  readonly zone: string
}

/** The first of each happened before the second; only where that is certain do stated hours always say so. */
const clocks: Readonly<Record<string, { stays: readonly Stay[]; told: readonly [Told, Told]; certain: boolean }>> = {
  'one clock': {
    stays: [{ zone: 'America/Chicago', since: '' }],
    told: [
      { on: '2026-03-10', at: '09:00', zone: 'America/Chicago' },
      { on: '2026-03-10', at: '10:00', zone: 'America/Chicago' },
    ],
    certain: true,
  },
  // at noon in Chicago it went to where it is eleven then: the later fact has the earlier hour, and both can be read
  // twice
  'two clocks': {
    stays: [
      { zone: 'America/Chicago', since: '' },
      { zone: 'America/Denver', since: '2026-03-10T17:00:00.000Z' as Instant },
    ],
    told: [
      { on: '2026-03-10', at: '11:45', zone: 'America/Chicago' },
      { on: '2026-03-10', at: '11:15', zone: 'America/Denver' },
    ],
    certain: false,
  },
  'the hour that comes twice': {
    stays: [{ zone: 'America/Chicago', since: '' }],
    told: [
      { on: '2026-11-01', at: '01:20', zone: 'America/Chicago' },
      { on: '2026-11-01', at: '01:40', zone: 'America/Chicago' },
    ],
    certain: false,
  },
  // it was flown east over the line: the later fact is of the day before, which the first clock has seen too
  'the date line': {
    stays: [
      { zone: 'Pacific/Auckland', since: '' },
      { zone: 'Pacific/Honolulu', since: '2026-03-10T03:00:00.000Z' as Instant },
    ],
    told: [
      { on: '2026-03-10', at: '09:00', zone: 'Pacific/Auckland' },
      { on: '2026-03-09', at: '20:00', zone: 'Pacific/Honolulu' },
    ],
    certain: false,
  },
}

const instant = (zoned: Temporal.ZonedDateTime) => zoned.toInstant().toString({ fractionalSecondDigits: 3 })

/**
 * By Temporal, all that a stated time can have meant: an hour is read by each clock under which the stick was then, an
 * hour that comes twice twice; a day without an hour lasts from its first start to its last end.
 */
function span({ on, at }: Pick<Told, 'on' | 'at'>, stated: boolean, stays: readonly Stay[], recordedAt: string) {
  const soon = minutesAfter(recordedAt, 10)
  const possible = stays.flatMap(({ zone, since }, i): string[] => {
    const [from, to] = [i === 0 ? '' : since, stays[i + 1]?.since ?? '~']
    const start = Temporal.PlainDate.from(on).toZonedDateTime({ timeZone: zone })
    if (!stated) {
      const [first, last] = [instant(start), instant(start.add({ days: 1 }).subtract({ milliseconds: 1 }))]
      return first <= to && last >= from && first <= recordedAt ? [first, least(last, recordedAt)] : []
    }
    const local = Temporal.PlainDateTime.from(`${on}T${at}`)
    const readings = (['earlier', 'later'] as const).map((disambiguation) =>
      instant(local.toZonedDateTime(zone, { disambiguation })),
    )
    return readings.filter((one) => from <= one && one <= to && one <= soon)
  })
  return [possible.sort()[0] ?? '', possible.sort().at(-1) ?? ''] as const
}

const trueInstant = ({ on, at, zone }: Told) =>
  instant(Temporal.PlainDateTime.from(`${on}T${at}`).toZonedDateTime(zone, { disambiguation: 'later' }))

/** One of two facts, whatever it says: when it was, and what that can have meant. */
interface Occasion {
  readonly told: Told
  readonly stated: boolean
  readonly recordedAt: Instant
  readonly meant: readonly [earliest: string, latest: string]
  readonly when: When
}

function occasion(told: Told, stated: boolean, recordedAt: string, stays: readonly Stay[]): Occasion {
  const when = whenOf({ day: told.on, at: stated ? told.at : undefined }, stays, recordedAt as Instant)
  expect(when.fault).toBeNull()
  return { told, stated, recordedAt: recordedAt as Instant, meant: span(told, stated, stays, recordedAt), when }
}

const least = (...all: string[]) => all.sort()[0] ?? ''

/** Where it has to stand: as early as it can have been where it speaks for the stick, else as late. */
function expectedPlace(side: Side, { meant, recordedAt }: Occasion, seq: number): readonly [string, number, number] {
  const rank = { clears: 0, for: 0, changes: 0, mends: 1, against: 2 }[side]
  return side === 'clears' || side === 'for' ? [least(meant[0], recordedAt), rank, seq] : [meant[1], rank, seq]
}

const isBefore = (a: readonly [string, number, number], b: readonly [string, number, number]) =>
  a[0] === b[0] ? (a[1] === b[1] ? a[2] < b[2] : a[1] < b[1]) : a[0] < b[0]

function recorded(happening: Happening, { told, stated, recordedAt, when }: Occasion, seq: number): RecordedFact {
  return {
    factId: `fact ${seq}`,
    seq,
    occurredOn: day(told.on),
    ...(stated ? { at: told.at } : {}),
    within: when.within,
    clock: told.zone,
    recordedAt,
    recordedBy: 'bench',
    ...happening,
  }
}

/** A sound stick of a crew, a month before. */
const begun = history(
  ['2026-01-05', happened.registered()],
  ['2026-01-06', happened.tested('pass')],
  ['2026-01-07', happened.moved({ crewId: 'CR-1' })],
)

const minutesAfter = (instantText: string, minutes: number) =>
  Temporal.Instant.from(instantText).add({ minutes }).toString({ fractionalSecondDigits: 3 })

const pairs = Object.keys(kinds).length ** 2
/** Where the suite runs once for each of many mutants; with none of the kinds always left out. */
const every = tries(pairs) < pairs ? 7 : 1

describe.each(Object.keys(clocks))('by %s', (clock) => {
  const { stays, told, certain } = clocks[clock] ?? { stays: [], told: [] as never, certain: false }
  const live = told.map((one) => minutesAfter(trueInstant(one), 5))
  const late = [0, 1].map((i) => minutesAfter(live[1] ?? '', 3 * 24 * 60 + i))

  describe.each(['at once', 'days later'] as const)('recorded %s', (when) => {
    test.each([
      [true, true],
      [true, false],
      [false, true],
      [false, false],
    ])('hours stated: %s, %s', (firstStated, secondStated) => {
      const times = when === 'at once' ? live : late
      const first = occasion(told[0], firstStated, times[0] ?? '', stays)
      const second = occasion(told[1], secondStated, times[1] ?? '', stays)
      const [from, to] = span(told[1], false, stays, second.recordedAt)
      const seen = { pairs: 0, asked: 0, turned: 0, told: 0 }
      for (const [one, [oneSide, oneHappening]] of Object.entries(kinds)) {
        for (const [two, [twoSide, twoHappening]] of Object.entries(kinds)) {
          seen.pairs += 1
          if (seen.pairs % every !== 0) continue
          const name = `${one}, then ${two}`
          const facts = [recorded(oneHappening, first, 4), recorded(twoHappening, second, 5)] as const
          const known = [...begun, facts[0]]
          const all = [...known, facts[1]]

          // what stands first
          const places = [expectedPlace(oneSide, first, 4), expectedPlace(twoSide, second, 5)] as const
          const order = inOrder(all).map(({ fact }) => fact.seq)
          const firstStands = order.indexOf(4) < order.indexOf(5)
          expect(firstStands, `${name}: which stands first`).toBe(isBefore(...places))
          if (!firstStands) seen.turned += 1
          // hours known for certain are never turned round
          if (certain && firstStated && secondStated) expect(firstStands, name).toBe(true)
          // what clears stands behind what speaks against only where it is proved to be later
          if (firstStands && twoSide === 'clears' && oneSide === 'against')
            expect(places[1][0] > places[0][0], `${name}: proved later`).toBe(true)

          // what is asked for
          const before = replay(known)
          const today = when === 'at once' ? day(told[1].on) : day('2026-11-30')
          const asked = hourAskedFor(facts[1], today, { state: before, history: known })
          const sameDay = from <= places[0][0] && places[0][0] <= to
          const needed =
            !secondStated &&
            ((twoSide === 'mends' && when === 'days later') ||
              (twoSide === 'clears' && (oneSide === 'against' || oneSide === 'mends') && sameDay))
          expect(asked !== null, `${name}: the hour of the second is asked for`).toBe(needed)
          if (needed) seen.asked += 1

          // what is told
          const asOf = (state: typeof before) => standingOn(state, today, usPolicy)
          const [was, is] = [asOf(before), asOf(replay(all))]
          const owed = kindsOwed({ before: was, after: is, fact: facts[1], day: today })
          if (owed.length > 0) seen.told += 1
          if (twoSide === 'against')
            expect(owed.length > 0 || was.status === 'on hold', `${name}: somebody is told`).toBe(true)
          if (mayBeUsed(was.status) && is.status === 'on hold') expect(owed, name).toEqual(['hold'])
          if (was.status === 'on hold' && mayBeUsed(is.status)) expect(owed, name).toContain('return')
          if (mayBeUsed(was.status) && mayBeUsed(is.status) && twoSide === 'against')
            expect(owed, name).toEqual(['report'])
          if (twoSide !== 'against' && was.status === is.status) expect(owed, name).toEqual([])
        }
      }
      expect(seen.pairs).toBe(pairs)
      expect(seen.told).toBeGreaterThan(20 / every)
      if (!secondStated) expect(seen.asked).toBeGreaterThan(0)
    })
  })
})
