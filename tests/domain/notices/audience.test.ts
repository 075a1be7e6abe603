/**
 * Who of the crew, the bench, the managers and the owners is told; the ladder of overdue sticks is in `owed.test.ts`.
 */
import { describe, expect, test } from 'vitest'
import {
  benchAudience,
  crewAudience,
  digestAudience,
  inCharge,
  type ThoseAround,
  wholeAudience,
} from '../../../shared-domain/notices/audience.ts'
import type { Addressee } from '../../../shared-domain/notices/notice.ts'
import type { Crew, Person } from '../../../shared-domain/registers.ts'
import { aCrew, aManager } from '../../support/trade.ts'

const person = (name: string, role: Person['role'], depots: string[] = ['*']): Person => ({
  name,
  email: `${name.toLowerCase()}@demo-utility.example`,
  role,
  depots,
})
const [mia, oda, ines] = [person('Mia', 'manager'), person('Oda', 'owner'), person('Ines', 'bench')]
const by = (all: readonly Addressee[]) => all.map(({ name, role }) => `${role} ${name}`)
const kai = { name: 'Kai Brandt', phone: '555 0100', role: 'crew' as const }
const crewOf = (...recipients: Crew['recipients']): Crew => ({ ...aCrew, recipients })
const inDepot = (crew: Crew | null, ...people: readonly Person[]): ThoseAround => ({ crew, people, depotId: 'DEP-1' })
const errands = (all: readonly Addressee[]) => all.map(({ name, tellInPerson }) => [name, tellInPerson])

test('who is in charge of a depot', () => {
  const of = (depots: string[], depotId: string | null) => inCharge({ depots }, depotId)
  expect([of(['DEP-1'], 'DEP-1'), of(['*'], 'DEP-1'), of(['DEP-2'], null)]).toEqual([true, true, true])
  expect([of(['DEP-2'], 'DEP-1'), of([], 'DEP-1')]).toEqual([false, false])
})

describe('of the bench', () => {
  test('its people of that depot and the managers, and the crew where the stick is with it', () => {
    const elsewhere = person('Ida', 'bench', ['DEP-2'])
    expect(by(benchAudience(inDepot(null, mia, oda, ines, elsewhere)))).toEqual(['bench Ines', 'manager Mia'])
    expect(by(benchAudience(inDepot(aCrew, mia, ines)))).toEqual([
      'bench Ines',
      'crew Ana Ferro',
      'foreman Bo Lind',
      'manager Mia',
    ])
    expect(by(benchAudience(inDepot(null, oda, ines)))).toEqual(['bench Ines', 'manager Oda'])
  })
})

describe('of a crew', () => {
  test('nobody where there is none', () => {
    expect(crewAudience(null)).toEqual([])
    expect(by(wholeAudience({ crew: null, people: [mia], depotId: null }))).toEqual(['manager Mia'])
  })

  test('each in the language and the units of their own', () => {
    const [ana] = crewAudience(
      crewOf({ name: 'Ana', email: 'ana@x.example', role: 'crew', language: 'es', units: 'US customary' }),
    )
    expect(ana).toEqual({
      name: 'Ana',
      email: 'ana@x.example',
      role: 'crew',
      language: 'es',
      units: 'US customary',
      tellInPerson: [],
    })
    const [plain] = crewAudience(crewOf({ name: 'Ana', email: 'ana@x.example', role: 'crew' }))
    expect(Object.keys(plain ?? {})).toEqual(['name', 'email', 'role', 'tellInPerson'])
  })

  test('without a foreman whoever has mail tells those who have none', () => {
    const [ana, al] = [
      { name: 'Ana', email: 'ana@x.example', role: 'crew' as const },
      { name: 'Al', email: 'al@x.example', role: 'crew' as const },
    ]
    const told = [{ name: 'Kai Brandt', phone: '555 0100' }]
    expect(errands(crewAudience(crewOf(ana, al, kai)))).toEqual([
      ['Ana', told],
      ['Al', told],
    ])
    expect(errands(crewAudience(crewOf(ana, al)))).toEqual([
      ['Ana', []],
      ['Al', []],
    ])
    // whoever has mail and a telephone is mailed
    expect(errands(crewAudience(crewOf({ ...ana, phone: '555 0101' })))).toEqual([['Ana', []]])
  })

  test('an errand that is the crew’s own is not the managers’ too', () => {
    const told = [{ name: 'Kai Brandt', phone: '555 0100' }]
    expect(errands(wholeAudience(inDepot({ ...aCrew, recipients: [...aCrew.recipients, kai] }, mia)))).toEqual([
      ['Ana Ferro', []],
      ['Bo Lind', told],
      ['Mia', []],
    ])
    const ana = { name: 'Ana', email: 'ana@x.example', role: 'crew' as const }
    expect(errands(wholeAudience(inDepot(crewOf(ana, kai), mia)))).toEqual([
      ['Ana', told],
      ['Mia', []],
    ])
    expect(errands(wholeAudience(inDepot(crewOf(kai), mia)))).toEqual([['Mia', told]])
  })
})

describe('one mailbox under several roles', () => {
  const [asCrew, asForeman] = [
    { name: 'Bo', email: 'bo@x.example', role: 'crew' as const },
    { name: 'Bo Lind', email: 'BO@x.example', role: 'foreman' as const },
  ]
  const asManager = { ...mia, email: 'Bo@x.example' }
  const asOwner = { ...oda, email: 'Bo@x.example' }

  test('is a foreman’s, whichever is read first', () => {
    expect(by(crewAudience(crewOf(asCrew, asForeman)))).toEqual(['foreman Bo Lind'])
    expect(by(crewAudience(crewOf(asForeman, asCrew)))).toEqual(['foreman Bo Lind'])
    expect(by(crewAudience(crewOf(asForeman, { ...asForeman, name: 'B. L.' })))).toEqual(['foreman Bo Lind'])
    expect(by(crewAudience(crewOf(asCrew, { ...asCrew, name: 'B. L.' })))).toEqual(['crew Bo'])
  })

  test('and a manager’s or an owner’s beside', () => {
    expect(wholeAudience(inDepot(crewOf(asForeman), asManager))).toMatchObject([{ role: 'foreman', manages: true }])
    expect(wholeAudience(inDepot(crewOf(asForeman), asOwner))).toMatchObject([{ role: 'foreman', owns: true }])
    expect(wholeAudience(inDepot(crewOf(asForeman), asOwner))[0]).not.toHaveProperty('manages')
    // one entered twice as manager is one manager
    const [one, ...rest] = wholeAudience(inDepot(null, asManager, { ...asManager, name: 'Other' }))
    expect([one?.name, one?.manages, rest.length]).toEqual(['Mia', undefined, 0])
  })
})

describe('of a digest', () => {
  const climbed = { toForemen: false, toManagers: false, toOwners: false }
  const told = (crew: Crew | null, so: Partial<typeof climbed>) =>
    by(digestAudience(inDepot(crew, aManager, oda), { ...climbed, ...so }))

  test('of a stick of no crew its managers, at once', () => {
    expect(told(null, {})).toEqual(['manager Mia Okafor'])
    expect(told(null, { toManagers: true, toOwners: true })).toEqual(['manager Mia Okafor', 'manager Oda'])
  })

  test('climbs to each of them by itself', () => {
    const [ana, bo] = ['crew Ana Ferro', 'foreman Bo Lind']
    expect(told(aCrew, {})).toEqual([ana])
    expect(told(aCrew, { toForemen: true })).toEqual([ana, bo])
    expect(told(aCrew, { toManagers: true })).toEqual([ana, bo, 'manager Mia Okafor'])
    expect(told(aCrew, { toOwners: true })).toEqual([ana, 'manager Oda'])
    expect(told(aCrew, { toForemen: true, toOwners: true })).toEqual([ana, bo, 'manager Oda'])
  })
})
