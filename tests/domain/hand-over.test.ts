/** Sticks that change hands among the crews of a depot, by a foreman. */
import { describe, expect, test } from 'vitest'
import { crewsBeside, crewsToHandTo, isForeman } from '../../shared-domain/hand-over.ts'
import type { Recipient } from '../../shared-domain/registers.ts'

const bo: Recipient = { name: 'Bo Lind', email: 'Bo@crew-one.example', role: 'foreman' }
const ana: Recipient = { name: 'Ana Ferro', email: 'ana@crew-one.example', role: 'crew' }
const kai: Recipient = { name: 'Kai Brandt', phone: '+1 555 0100', role: 'foreman' }
const crew = (id: string, depotId: string, ...recipients: Recipient[]) => ({ id, body: { depotId, recipients } })
const crews = [crew('CR-1', 'DEP-1', ana, bo, kai), crew('CR-2', 'DEP-2', bo), crew('CR-3', 'DEP-1')]
const idsOf = (some: readonly { readonly id: string }[]) => some.map(({ id }) => id)

test('a foreman is whoever the crew names so by their address, however its letters are written', () => {
  const ofCrew = { recipients: [ana, bo, kai] }
  expect(isForeman({ email: 'bo@crew-one.example' }, ofCrew)).toBe(true)
  expect(isForeman({ email: 'ana@crew-one.example' }, ofCrew)).toBe(false)
  expect(isForeman({ email: 'kai@crew-one.example' }, ofCrew)).toBe(false)
})

test('the crews beside one are the others of its depot', () => {
  expect(idsOf(crewsBeside('CR-1', crews))).toEqual(['CR-3'])
  expect(idsOf(crewsBeside('CR-2', crews))).toEqual([])
  expect(idsOf(crewsBeside('CR-9', crews))).toEqual([])
})

describe('sticks of a crew are handed over', () => {
  test('by its foreman, to the other crews of its depot', () => {
    expect(idsOf(crewsToHandTo({ email: 'bo@crew-one.example', crewId: 'CR-1' }, crews))).toEqual(['CR-3'])
  })

  test.each([
    ['one of the crew', { email: 'ana@crew-one.example', crewId: 'CR-1' }],
    ['the foreman of another crew', { email: 'bo@crew-one.example', crewId: 'CR-3' }],
    ['somebody of no crew', { email: 'bo@crew-one.example' }],
    ['somebody of a crew that is not there', { email: 'bo@crew-one.example', crewId: 'CR-9' }],
  ])('not by %s', (_, person) => {
    expect(crewsToHandTo(person, crews)).toEqual([])
  })
})
