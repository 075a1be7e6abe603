import { describe, expect, test } from 'vitest'
import {
  decideProposal,
  handsInProof,
  isSecondPerson,
  proposalEvents,
  proposalStates,
} from '../../../shared-domain/loosening/proposal.ts'
import { aTest, happened, history } from '../../support/trade.ts'

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

describe('who had a hand in what a stick’s number stands for', () => {
  const by = (recordedBy: string, facts: ReturnType<typeof history>) => facts.map((fact) => ({ ...fact, recordedBy }))
  const told = history(
    ['2026-01-01', happened.registered()],
    ['2026-01-02', happened.tested('pass', aTest({ testedBy: 'Ines Roth' }))],
    ['2026-01-03', happened.registered()],
    ['2026-01-04', happened.tested('electrical', aTest({ testedBy: 'Ivo Marsh' }))],
  )

  test('is who did and recorded the newest pass, and whoever entered it since', () => {
    const [first, pass, again, failed] = told
    if (first === undefined || pass === undefined || again === undefined || failed === undefined)
      throw new Error('four')
    const all = [...by('owner', [first]), ...by('bench', [pass]), ...by('manager', [again]), ...by('bench-2', [failed])]
    expect(handsInProof(all)).toEqual([{ personId: 'bench' }, 'Ines Roth', { personId: 'manager' }])
  })

  test('where it never passed, whoever entered it', () => {
    expect(handsInProof(by('owner', told.slice(0, 1)))).toEqual([{ personId: 'owner' }])
    expect(handsInProof([])).toEqual([])
  })

  test('is nobody who entered it before, however early the entry is to count', () => {
    const [first, pass] = told
    if (first === undefined || pass === undefined) throw new Error('two')
    expect(handsInProof([...by('bench', [pass]), ...by('owner', [first])])).toEqual([
      { personId: 'bench' },
      'Ines Roth',
    ])
  })
})
