/** Every cell of the table of rights: each role, its own crew or depot and others', each action. */
import { describe, expect, test } from 'vitest'
import { type Action, actions, may, mayAtAll, type RightsHolder, rolesFor } from '../../shared-domain/rights.ts'
import type { Role } from '../../shared-domain/words.ts'

/** As the contract has it: whose sticks, crews and entries each role may do it to; what is left out, none. */
const everybody = { crew: 'all', bench: 'all', manager: 'all', owner: 'all' } as const
const fromBenchOn = { bench: 'all', manager: 'all', owner: 'all' } as const
const managers = { manager: 'all', owner: 'all' } as const
const depotsOwn = { manager: 'depot', owner: 'all' } as const
const everyDepots = { manager: 'every', owner: 'all' } as const
const ownSticks = { crew: 'crew', bench: 'depot', manager: 'depot', owner: 'all' } as const
const sticksOfDepot = { bench: 'depot', manager: 'depot', owner: 'all' } as const

const expected: { readonly [action in Action]: { readonly [role in Role]?: 'crew' | 'depot' | 'every' | 'all' } } = {
  'read depots': everybody,
  'read crews': everybody,
  'read policies': everybody,
  'report danger': everybody,
  'read people': managers,
  'read instruments': fromBenchOn,
  'read tree heads': fromBenchOn,
  import: fromBenchOn,
  'take out files': fromBenchOn,
  'read procedures': fromBenchOn,
  'read contacts': { crew: 'crew', bench: 'all', manager: 'all', owner: 'all' },
  'enter an instrument': { bench: 'all', manager: 'every', owner: 'all' },
  'enter a depot': depotsOwn,
  'enter a crew': depotsOwn,
  'enter a person': depotsOwn,
  'enter a procedure': everyDepots,
  'enter a demonstration': everyDepots,
  'enter a policy': everyDepots,
  'enter the organisation': everyDepots,
  'read the organisation': managers,
  'read demonstrations': fromBenchOn,
  'enter an owner': { owner: 'all' },
  'read the fleet': depotsOwn,
  'read a plan': sticksOfDepot,
  'plan a bench': { manager: 'depot', owner: 'all' },
  'try a policy': { manager: 'depot', owner: 'all' },
  'enter a stick': { manager: 'depot', owner: 'all' },
  'count a test from before': { manager: 'depot', owner: 'all' },
  'correct a fact': { manager: 'depot', owner: 'all' },
  'read proposals': managers,
  'decide a proposal': managers,
  'open a recall': managers,
  'close a recall': managers,
  'read recalls': fromBenchOn,
  'place a report': managers,
  'read unplaced reports': managers,
  'keep addresses': managers,
  'keep feeds': { crew: 'crew', manager: 'depot', owner: 'all' },
  'read a stick': ownSticks,
  'read the roster': ownSticks,
  'ask what would follow': ownSticks,
  'record a use': ownSticks,
  'record a check': ownSticks,
  'read notices': ownSticks,
  'record a telling': ownSticks,
  'record a test': sticksOfDepot,
  'judge a test again': sticksOfDepot,
  'record a step': sticksOfDepot,
  'record a certificate': sticksOfDepot,
  'move a stick': sticksOfDepot,
  'hand over a stick': ownSticks,
  'release a stick': sticksOfDepot,
  'remove a stick': depotsOwn,
  'look at the paper': depotsOwn,
  'remind of a stick': depotsOwn,
  'record a label': sticksOfDepot,
  'take a proof': sticksOfDepot,
}

const people: readonly RightsHolder[] = (['crew', 'bench', 'manager', 'owner'] as const).flatMap((role) =>
  [[], ['DEP-1'], ['DEP-2'], ['*']].flatMap((depots) =>
    [null, 'CR-1', 'CR-2'].map((crewId) => ({ role, depots, crewId })),
  ),
)
const subjects = [null, 'CR-1', 'CR-2'].flatMap((crewId) =>
  [null, 'DEP-1', 'DEP-2', '*'].map((depotId) => ({ crewId, depotId })),
)

function isExpected(
  { role, depots, crewId }: RightsHolder,
  action: Action,
  subject: (typeof subjects)[number],
): boolean {
  switch (expected[action][role]) {
    case 'all':
      return true
    case 'crew':
      return crewId !== null && subject.crewId === crewId
    case 'depot':
      return subject.depotId === null || depots.includes('*') || depots.includes(subject.depotId)
    case 'every':
      return depots.includes('*')
    case undefined:
      return false
  }
  throw new Error('no such right')
}

test('there is a row for each action, and none besides', () => {
  expect(actions.toSorted()).toEqual(Object.keys(expected).sort())
})

describe.each(Object.keys(expected) as Action[])('%s', (action) => {
  test('is for those of each role, crew and depot who may, and for no others', () => {
    for (const person of people)
      for (const subject of subjects)
        expect({ person, subject, may: may(person, action, subject) }).toEqual({
          person,
          subject,
          may: isExpected(person, action, subject),
        })
  })

  test('is for the roles that may do it to anything at all', () => {
    expect(rolesFor(action)).toEqual(Object.keys(expected[action]))
    for (const { role } of people) expect(mayAtAll(role, action)).toBe(expected[action][role] !== undefined)
  })
})

test('where a stick lies says nothing to a crew, nor whose it is to the bench', () => {
  const crew: RightsHolder = { role: 'crew', depots: ['*'], crewId: 'CR-1' }
  expect(may(crew, 'read a stick', { crewId: 'CR-2', depotId: 'DEP-1' })).toBe(false)
  const bench: RightsHolder = { role: 'bench', depots: ['DEP-1'], crewId: 'CR-1' }
  expect(may(bench, 'read a stick', { crewId: 'CR-1', depotId: 'DEP-2' })).toBe(false)
})
