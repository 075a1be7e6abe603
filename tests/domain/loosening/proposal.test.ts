import { expect, test } from 'vitest'
import {
  decideProposal,
  isSecondPerson,
  proposalEvents,
  proposalStates,
} from '../../../shared-domain/loosening/proposal.ts'

test('an open proposal is approved, declined, or falls with the entry it was made on', () => {
  expect(decideProposal('open', 'approve')).toBe('approved')
  expect(decideProposal('open', 'decline')).toBe('declined')
  expect(decideProposal('open', 'entry changed')).toBe('fallen')
})

test.each(proposalStates.filter((state) => state !== 'open'))('%s, it is decided once and for all', (state) => {
  for (const event of proposalEvents) expect(decideProposal(state, event)).toBeNull()
})

test('who had a hand in it is no second person', () => {
  const ines = { personId: 'ines', name: 'Ines Roth' }
  expect(isSecondPerson(ines, [{ personId: 'mia' }, 'Mia Okafor'])).toBe(true)
  expect(isSecondPerson(ines, [{ personId: 'mia' }, { personId: 'ines' }])).toBe(false)
  // by name alone, as it is written beside a test
  expect(isSecondPerson(ines, [' ines  ROTH'])).toBe(false)
  expect(isSecondPerson({ personId: 'ines' }, ['Ines Roth'])).toBe(true)
  expect(isSecondPerson({ personId: 'ines' }, ['Ines'])).toBe(false)
})
