/** Who hears what they may do, of which edition of their entry, and that it is what the table of rights says. */
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { abilitiesOf, type Entered, invitationOwed } from '../../../shared-domain/notices/invitation.ts'
import { rightsOf } from '../../../shared-domain/people.ts'
import type { Person } from '../../../shared-domain/registers.ts'
import { type actions, givesMore, may } from '../../../shared-domain/rights.ts'
import { abilities, roles } from '../../../shared-domain/words.ts'
import { day } from '../../support/trade.ts'

const today = day('2026-03-02')
const ana: Person = { name: 'Ana Ferro', email: 'ana@crew-one.example', role: 'crew', depots: [], crewId: 'CR-1' }
const mia: Person = { name: 'Mia Okafor', email: 'mia@demo.example', role: 'manager', depots: ['*'] }
const olu: Person = { name: 'Olu Adeyemi', email: 'olu@demo.example', role: 'owner', depots: [] }

const entered = (after: Person, over: Partial<Entered> = {}): Entered => ({
  personId: 'ana',
  edition: 1,
  before: undefined,
  after,
  organisation: 'Demo Utility',
  by: mia,
  owner: olu,
  crew: 'Crew one',
  depots: after.depots,
  ...over,
})
const owed = (after: Person, over: Partial<Entered> = {}) => invitationOwed(entered(after, over), today)
const whyOf = (before: Person | undefined, after: Person) => owed(after, { before })[0]?.invitation?.why ?? null

describe('an entry', () => {
  test('is told once it is made: by whom, for which organisation, and whom to ask', () => {
    const [notice, ...others] = owed(ana)
    expect(others).toEqual([])
    expect(notice).toMatchObject({
      kind: 'invitation',
      key: 'invitation|ana|1',
      to: { name: 'Ana Ferro', email: 'ana@crew-one.example' },
      lines: [],
      invitation: { why: 'entered', organisation: 'Demo Utility', by: 'Mia Okafor', role: 'crew', crew: 'Crew one' },
    })
    expect(notice?.invitation?.ask).toEqual({ name: 'Mia Okafor', email: 'mia@demo.example' })
  })

  test('made by nobody else on the register names an owner to ask, or nobody', () => {
    expect(owed(ana, { by: undefined })[0]?.invitation).toMatchObject({ ask: { name: 'Olu Adeyemi' } })
    expect(owed(ana, { by: undefined })[0]?.invitation).not.toHaveProperty('by')
    expect(owed(ana, { by: undefined, owner: undefined })[0]?.invitation).not.toHaveProperty('ask')
  })

  test.each([
    ['of the same', ana, null],
    ['of another language', { ...ana, language: 'es' as const }, null],
    ['of another spelling of the address', { ...ana, email: 'ANA@crew-one.example' }, null],
    ['of another address', { ...ana, email: 'ana@other.example' }, 'new address'],
    ['of another crew', { ...ana, crewId: 'CR-2' }, 'more'],
    ['of no crew', { ...ana, crewId: undefined }, null],
    ['of another role', { ...mia, email: ana.email }, 'more'],
    ['of a longer time', { ...ana, until: day('2027-01-01') }, null],
  ])('changed to one %s', (_, after, why) => {
    expect(whyOf({ ...ana, until: day('2026-06-01') }, after)).toBe(why)
  })

  test('that adds a depot is told, and one that takes one away is not', () => {
    const [one, two] = [
      { ...mia, depots: ['DEP-1'] },
      { ...mia, depots: ['DEP-1', 'DEP-2'] },
    ]
    expect([whyOf(one, two), whyOf(two, one), whyOf(one, mia), whyOf(mia, one)]).toEqual(['more', null, 'more', null])
  })

  test('that is over is told to nobody; one that ends today still is; and who had ended comes in anew', () => {
    expect(owed({ ...ana, until: day('2026-03-01') })).toEqual([])
    expect(owed({ ...ana, until: today })[0]?.invitation?.until).toBe(today)
    expect(whyOf({ ...ana, until: day('2026-03-01') }, ana)).toBe('entered')
  })
})

const depots = fc.uniqueArray(fc.constantFrom('*', 'DEP-1', 'DEP-2'), { maxLength: 3 })
const anyPerson = fc
  .record({ role: fc.constantFrom(...roles), depots, crewId: fc.constantFrom('CR-1', 'CR-2', undefined) })
  .map((one): Person => ({ ...ana, ...one }))

describe('whoever is entered', () => {
  test('hears of an edition exactly where it gives more', () => {
    fc.assert(
      fc.property(anyPerson, anyPerson, (before, after) => {
        expect(owed(after, { before }).length).toBe(givesMore(rightsOf(after), rightsOf(before)) ? 1 : 0)
        expect(owed(after, { before: after })).toEqual([])
      }),
    )
  })

  test('is told of no ability that any right behind it is refused for, anywhere', () => {
    fc.assert(
      fc.property(anyPerson, (person) => {
        const told = abilitiesOf(person)
        const subjects = [null, 'CR-1', 'CR-2'].flatMap((crewId) =>
          [null, '*', 'DEP-1', 'DEP-2'].map((depotId) => ({ crewId, depotId })),
        )
        const has = (action: (typeof actions)[number]) => subjects.some((one) => may(rightsOf(person), action, one))
        expect(told.includes('test')).toBe(has('record a test'))
        expect(told.includes('see sticks')).toBe(has('read a stick'))
        expect(told.includes('remind crews')).toBe(has('remind of a stick'))
        expect(told.includes('keep rules')).toBe(has('enter a policy'))
        expect(told.includes('enter owners')).toBe(has('enter an owner'))
        expect(told.includes('decide changes')).toBe(has('decide a proposal'))
      }),
    )
  })
})

test('an owner may do all there is to tell of but what a crew does, and everybody may report danger', () => {
  expect(abilitiesOf(olu)).toEqual(abilities)
  for (const role of roles)
    expect(abilitiesOf({ ...ana, role, depots: [], crewId: undefined })).toContain('report danger')
  expect(abilitiesOf(ana)).toEqual([
    'report danger',
    'see sticks',
    'write down uses and looks',
    'put dates in a calendar',
    'mark people told',
  ])
  expect(abilitiesOf({ ...mia, depots: ['DEP-1'] })).not.toContain('keep rules')
})
