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
  expect(isSecondPerson('mia', ['ines'])).toBe(true)
  expect(isSecondPerson('ines', ['ines'])).toBe(false)
  expect(isSecondPerson('ines', ['mia', 'ines'])).toBe(false)
})
