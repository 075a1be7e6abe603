/** How a stick has been used, from what is on record; silence is frequent use. */
import { describe, expect, test } from 'vitest'
import {
  type CustodySpell,
  classesSince,
  type LoggedUse,
  type OccasionalUse,
} from '../../../shared-domain/policy/service-class.ts'
import { day } from '../../support/trade.ts'

const since = day('2026-03-02')
const classes = (spells: [string, CustodySpell['kind']][], uses: LoggedUse[] = [], occasional?: OccasionalUse) =>
  classesSince({ custodySpells: spells.map(([on, kind]) => ({ since: day(on), kind })), uses }, since, occasional)
const inUse = ['frequent', 'occasional']

describe('by where it has been', () => {
  test.each<[string, [string, CustodySpell['kind']][], string[]]>([
    ['with nobody known', [], inUse],
    ['with a crew', [['2026-01-01', 'crew']], inUse],
    ['lent', [['2026-01-01', 'lent']], inUse],
    ['at the bench alone: it goes back to use', [['2026-01-01', 'bench']], inUse],
    ['in store', [['2026-01-01', 'store']], ['stored']],
    [
      'in store and at the bench',
      [
        ['2026-01-01', 'store'],
        ['2026-04-01', 'bench'],
      ],
      ['stored'],
    ],
    [
      'from store to a crew',
      [
        ['2026-01-01', 'store'],
        ['2026-04-01', 'crew'],
      ],
      [...inUse, 'stored'],
    ],
    [
      'from a crew to store',
      [
        ['2026-01-01', 'crew'],
        ['2026-04-01', 'store'],
      ],
      [...inUse, 'stored'],
    ],
    [
      'lent from store',
      [
        ['2026-01-01', 'store'],
        ['2026-04-01', 'lent'],
      ],
      [...inUse, 'stored'],
    ],
    [
      'with a crew until the day of the evidence',
      [
        ['2026-01-01', 'crew'],
        ['2026-03-02', 'store'],
      ],
      ['stored'],
    ],
    [
      'with a crew until the day after it',
      [
        ['2026-01-01', 'crew'],
        ['2026-03-03', 'store'],
      ],
      [...inUse, 'stored'],
    ],
    [
      'used from the store',
      [
        ['2026-01-01', 'store'],
        ['2026-04-01', 'used from store'],
      ],
      [...inUse, 'stored'],
    ],
    ['used from the store, before the evidence too', [['2026-01-01', 'used from store']], [...inUse, 'stored']],
    [
      'before the evidence',
      [
        ['2026-01-01', 'crew'],
        ['2026-02-01', 'store'],
        ['2026-02-20', 'bench'],
      ],
      inUse,
    ],
  ])('%s', (_, spells, expected) => {
    expect(classes(spells)).toEqual(expected)
  })

  test('where nothing is known to count from, wherever it ever was', () => {
    const custodySpells = [
      { since: day('2026-01-01'), kind: 'crew' as const },
      { since: day('2026-02-01'), kind: 'store' as const },
    ]
    const uses = [{ on: day('2026-01-10'), days: 1, conditions: [] }]
    expect(classesSince({ custodySpells, uses }, null, { windowDays: 30, atMostUseDays: 5 })).toEqual([
      ...inUse,
      'stored',
    ])
  })
})

describe('occasional, by the employer’s thresholds', () => {
  const few: OccasionalUse = { windowDays: 30, atMostUseDays: 5 }
  const crew: [string, CustodySpell['kind']][] = [['2026-01-01', 'crew']]
  const used = (...uses: [string, number][]) =>
    classes(
      crew,
      uses.map(([on, days]) => ({ on: day(on), days, conditions: [] })),
      few,
    )

  test.each<[string, [string, number][]]>([
    ['a few days logged in the window before the evidence', [['2026-02-20', 5]]],
    [
      'the first day of that window',
      [
        ['2026-01-31', 1],
        ['2026-02-01', 1],
      ],
    ],
    ['the day of the evidence', [['2026-03-02', 5]]],
    [
      'as few in every window since',
      [
        ['2026-02-20', 5],
        ['2026-03-22', 5],
        ['2026-04-21', 5],
      ],
    ],
    [
      'more before it, but not in its window',
      [
        ['2026-01-15', 20],
        ['2026-02-20', 2],
      ],
    ],
  ])('%s', (_, uses) => {
    expect(used(...uses)).toEqual(['occasional'])
  })

  test.each<[string, [string, number][]]>([
    ['nothing logged', []],
    ['nothing logged before the evidence', [['2026-03-10', 1]]],
    ['the last use before that window', [['2026-01-31', 1]]],
    ['a day too many before it', [['2026-02-20', 6]]],
    [
      'a day too many by two uses',
      [
        ['2026-02-10', 3],
        ['2026-02-20', 3],
      ],
    ],
    [
      'a day too many since',
      [
        ['2026-02-20', 2],
        ['2026-03-10', 6],
      ],
    ],
    [
      'a day too many by one before and one since',
      [
        ['2026-02-20', 3],
        ['2026-03-10', 3],
      ],
    ],
    [
      'a day too many in the first of several windows',
      [
        ['2026-02-20', 2],
        ['2026-05-10', 6],
        ['2026-08-10', 1],
      ],
    ],
  ])('not with %s', (_, uses) => {
    expect(used(...uses)).toEqual(inUse)
  })

  test('not where the employer sets none', () => {
    expect(classes(crew, [{ on: day('2026-02-20'), days: 1, conditions: [] }])).toEqual(inUse)
  })

  test('stored beside it, where it was in store too', () => {
    const spells: [string, CustodySpell['kind']][] = [...crew, ['2026-04-01', 'store']]
    const uses = [{ on: day('2026-02-20'), days: 1, conditions: [] }]
    expect(classes(spells, uses, few)).toEqual(['occasional', 'stored'])
    expect(classes([['2026-01-01', 'store']], uses, few)).toEqual(['stored'])
  })
})
