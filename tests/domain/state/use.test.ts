/** What a status allows, and to which depot a stick belongs. */
import { expect, test } from 'vitest'
import type { Custody } from '../../../shared-domain/state/state.ts'
import { isDated, mayBeUsed, mustNotBeUsed } from '../../../shared-domain/state/use.ts'
import { depotOf } from '../../../shared-domain/state/whereabouts.ts'
import { type Status, statuses } from '../../../shared-domain/words.ts'
import { day } from '../../support/trade.ts'

const allowed: { readonly [status in Status]: readonly ('use' | 'date' | 'told at once')[] } = {
  'in service': ['use', 'date'],
  'due soon': ['use', 'date'],
  overdue: ['date'],
  'on hold': ['told at once'],
  'awaiting first test': ['told at once'],
  'removed from service': ['told at once'],
  scrapped: [],
}

test.each(statuses)('%s', (status) => {
  expect(mayBeUsed(status), 'may be used').toBe(allowed[status].includes('use'))
  expect(isDated(status), 'shows its date').toBe(allowed[status].includes('date'))
  expect(mustNotBeUsed(status), 'its people are told at once').toBe(allowed[status].includes('told at once'))
})

test.each<[string, Custody | null, string | null, string | null]>([
  ['in store there, whoever is told of it', { store: 'DEP-2' }, 'DEP-1', 'DEP-2'],
  ['at the bench there', { bench: 'DEP-3' }, 'DEP-1', 'DEP-3'],
  ['with its crew to the depot of the crew', { crewId: 'CR-1' }, 'DEP-1', 'DEP-1'],
  ['on loan to the depot of the lender', { lentTo: 'Neighbours', returnBy: day('2026-04-01') }, 'DEP-1', 'DEP-1'],
  ['nowhere known to the depot of its crew', null, 'DEP-1', 'DEP-1'],
  ['nowhere known and of no crew to none', null, null, null],
])('a stick that is %s belongs', (_, custody, crewDepotId, depot) => {
  expect(depotOf({ custody }, crewDepotId)).toBe(depot)
})
