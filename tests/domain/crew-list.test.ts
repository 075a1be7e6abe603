/** The list of a crew: in which part each stick stands, and which comes first. */
import { describe, expect, test } from 'vitest'
import { type CrewPart, crewPartOf, inCrewOrder } from '../../shared-domain/crew-list.ts'
import { type Custody, initial } from '../../shared-domain/state/state.ts'
import { type Status, statuses } from '../../shared-domain/words.ts'
import { day } from '../support/trade.ts'

const withCrew: Custody = { crewId: 'CR-1' }
const lent: Custody = { lentTo: 'Neighbours', returnBy: day('2026-03-10') }
const bench: Custody = { bench: 'DEP-1' }

const partOf = (status: Status, custody: Custody | null = withCrew, missing = false) =>
  crewPartOf({ status }, { ...initial, custody, missing })

test.each<[Status, Custody | null, CrewPart | null]>([
  ['on hold', withCrew, 'stop'],
  ['on hold', null, 'stop'],
  ['on hold', lent, 'stop'],
  ['on hold', bench, 'away'],
  ['awaiting first test', withCrew, 'stop'],
  ['overdue', withCrew, 'overdue'],
  ['overdue', lent, 'overdue'],
  ['overdue', bench, 'away'],
  ['due soon', withCrew, 'bring'],
  ['due soon', lent, 'lent'],
  ['in service', withCrew, 'use'],
  ['in service', lent, 'lent'],
  ['removed from service', withCrew, 'hand in'],
  ['removed from service', lent, 'hand in'],
  ['removed from service', bench, null],
  ['scrapped', withCrew, 'hand in'],
  ['scrapped', null, null],
])('a stick %s that lies %j stands in part %s', (status, custody, part) => {
  expect(partOf(status, custody)).toBe(part)
})

test('what must not be used and is in hands stands in no part for what may be used', () => {
  for (const status of statuses)
    for (const custody of [withCrew, lent, null]) {
      const part = partOf(status, custody)
      const mayBeUsed = status === 'in service' || status === 'due soon'
      expect([status, ['bring', 'lent', 'use'].includes(part ?? '')]).toEqual([status, mayBeUsed])
    }
})

test('a missing stick is looked for, unless it is out of service for good', () => {
  expect(partOf('on hold', withCrew, true)).toBe('missing')
  expect(partOf('removed from service', withCrew, true)).toBe('hand in')
})

describe('the order', () => {
  const line = (stickId: string, part: CrewPart, dueOn: string | null, heldAt?: string) => ({
    ...{ stickId, part, heldAt },
    standing: { dueOn: dueOn === null ? null : day(dueOn) },
    state: { ...initial, custody: part === 'lent' ? { ...lent, returnBy: day(dueOn ?? '') } : withCrew },
  })

  test('is the worst first; then what must not be used the newest first, and all else by its day', () => {
    const lines = [
      line('use late', 'use', '2028-01-01'),
      line('away', 'away', '2026-01-01'),
      line('use soon', 'use', '2027-01-01'),
      line('no date', 'use', null),
      line('back late', 'lent', '2026-05-01'),
      line('back soon', 'lent', '2026-04-01'),
      line('overdue', 'overdue', '2026-01-01'),
      line('held before', 'stop', null, '2026-03-01T10:00:00.000Z'),
      line('held now', 'stop', null, '2026-03-02T10:00:00.000Z'),
      line('missing', 'missing', null),
      line('bring', 'bring', '2026-04-01'),
      line('hand in', 'hand in', null),
    ]
    expect(lines.sort(inCrewOrder).map(({ stickId }) => stickId)).toEqual([
      ...['held now', 'held before', 'hand in', 'overdue', 'bring', 'back soon', 'back late', 'missing'],
      ...['use soon', 'use late', 'no date', 'away'],
    ])
  })
})
