import { describe, expect, test } from 'vitest'
import type { CalendarDate } from '../../../shared-domain/calendar.ts'
import {
  audienceAbove,
  climbedTo,
  crewAudience,
  digestAudience,
  type ThoseAround,
  wholeAudience,
} from '../../../shared-domain/notices/audience.ts'
import { nextUp } from '../../../shared-domain/notices/confirmations.ts'
import { dueOnDay } from '../../../shared-domain/notices/digest.ts'
import type { Addressee } from '../../../shared-domain/notices/notice.ts'
import { owedAtOnce } from '../../../shared-domain/notices/owed.ts'
import type { Crew, Person } from '../../../shared-domain/registers.ts'
import { replay } from '../../../shared-domain/state/fold.ts'
import { standingOn } from '../../../shared-domain/state/standing.ts'
import { unfitUses } from '../../../shared-domain/state/unfit-use.ts'
import { mustNotBeUsed } from '../../../shared-domain/state/use.ts'
import { digestsOwed } from '../../support/digests.ts'
import { aCrew, aManager, aStick, day, happened, history, usPolicy } from '../../support/trade.ts'

const belonging = { stickId: 'S-1', crewId: 'CR-1', crewName: 'Crew one', depotName: 'North yard' }
const aBench: Person = { ...aManager, name: 'Ines Roth', email: 'bench@demo-utility.example', role: 'bench' }
const anOwner: Person = { ...aManager, name: 'Oda Falk', email: 'owner@demo-utility.example', role: 'owner' }
const inDepot = (crew: Crew | null, ...people: readonly Person[]): ThoseAround => ({ crew, people, depotId: 'DEP-1' })

/** What the last of these events owes, on 2026-03-20. */
function owedBy(...events: Parameters<typeof history>): [kind: string, email: string][] {
  const facts = history(...events)
  const fact = facts.at(-1)
  if (fact === undefined) throw new Error('no event')
  const today = day('2026-03-20')
  const state = replay(facts)
  const standing = (some: typeof facts) => standingOn(replay(some), today, usPolicy)
  const known = new Set(unfitUses(facts.slice(0, -1), state, usPolicy).map(({ factId }) => factId))
  const change = {
    before: standing(facts.slice(0, -1)),
    after: standing(facts),
    fact,
    day: today,
    unfitUses: unfitUses(facts, state, usPolicy).filter(({ factId }) => !known.has(factId)),
    passedOn: state.evidence['dry test'],
  }
  const who = { ...inDepot(aCrew, aManager, aBench), answerWithinHours: 4 }
  return owedAtOnce(change, belonging, who).map((notice) => [notice.kind, notice.to.email])
}

const everybody = ['ana@crew-one.example', 'bo@crew-one.example', 'manager@demo-utility.example']
const toAll = (kind: string) => everybody.map((email) => [kind, email])
const begun = [
  ['2026-03-02', happened.registered()],
  ['2026-03-02', happened.tested('pass')],
] as const

describe('told at once, to crew, foreman and manager, once each', () => {
  test('a hold', () => {
    expect(owedBy(...begun, ['2026-03-03', happened.tested('electrical')])).toEqual(toAll('hold'))
    expect(owedBy(...begun, ['2026-03-03', happened.defect()])).toEqual(toAll('hold'))
  })
  test('a failure of a stick that is held for something else, as more is asked to clear it', () => {
    const held = [...begun, ['2026-03-03', happened.defect()]] as const
    expect(owedBy(...held, ['2026-03-04', happened.tested('electrical')])).toEqual(toAll('hold'))
    expect(
      owedBy(...held, ['2026-03-04', happened.tested('electrical')], ['2026-03-05', happened.tested('electrical')]),
    ).toEqual([])
  })
  test('a removal', () => {
    const failedTwice = [
      ['2026-03-03', happened.tested('electrical')],
      ['2026-03-04', happened.step('cleaned')],
    ] as const
    expect(owedBy(...begun, ...failedTwice, ['2026-03-05', happened.tested('electrical')])).toEqual(toAll('removal'))
  })
  test('a stick that nobody may use any more without a first test, since its entry says that it protects', () => {
    const relied = happened.registered(aStick)
    const notRelied = happened.registered({ ...aStick, primaryProtection: false })
    const certified = {
      kind: 'certificate received',
      certificate: { factId: 'c', occurredOn: day('2026-03-03'), issuedBy: 'the maker' },
    } as const
    expect(owedBy(['2026-03-02', notRelied], ['2026-03-03', certified], ['2026-03-09', relied])).toEqual(toAll('hold'))
    // without a certificate nobody could use it before either
    expect(owedBy(['2026-03-02', notRelied], ['2026-03-09', relied])).toEqual([])
    expect(owedBy(['2026-03-02', relied], ['2026-03-09', relied])).toEqual([])
  })
  test('a return after a hold', () => {
    expect(owedBy(...begun, ['2026-03-03', happened.defect()], ['2026-03-04', happened.tested('pass')])).toEqual(
      toAll('return'),
    )
  })
  test('a use while unfit', () => {
    expect(owedBy(...begun, ['2026-03-03', happened.defect()], ['2026-03-04', happened.used()])).toEqual(
      toAll('used while unfit'),
    )
  })
  test('a step recorded late that clears a hold', () => {
    const tested = [
      ['2026-03-03', happened.tested('electrical')],
      ['2026-03-06', happened.tested('pass')],
    ] as const
    expect(owedBy(...begun, ...tested, ['2026-03-05', happened.step('cleaned')])).toEqual(toAll('return'))
  })
})

describe('not told', () => {
  test('a first pass, a routine pass, a use while fit', () => {
    expect(owedBy(...begun)).toEqual([])
    expect(owedBy(...begun, ['2026-03-09', happened.tested('pass')])).toEqual([])
    expect(owedBy(...begun, ['2026-03-09', happened.used()])).toEqual([])
  })
  test('a further reason for a hold that was told', () => {
    expect(owedBy(...begun, ['2026-03-03', happened.defect()], ['2026-03-04', happened.tested('incomplete')])).toEqual(
      [],
    )
  })
  test('a use on a day when the stick was fit, though it is on hold now', () => {
    expect(owedBy(...begun, ['2026-03-10', happened.defect()], ['2026-03-04', happened.used()])).toEqual([])
  })
})

describe('one mailbox, one mail', () => {
  test('two spellings of one address, and a manager who is also the foreman', () => {
    const crew = {
      ...aCrew,
      recipients: [...aCrew.recipients, { name: 'Ana F.', email: 'ANA@crew-one.example', role: 'crew' as const }],
    }
    const both = { ...aManager, email: 'Bo@Crew-One.example' }
    const told = wholeAudience(inDepot(crew, both))
    expect(told.map((one) => one.email)).toEqual(['ana@crew-one.example', 'bo@crew-one.example'])
    // her manager's part in it is not lost
    const foreman: Addressee = { name: 'Cy Dahl', email: 'cy@crew-one.example', role: 'foreman', tellInPerson: [] }
    expect(nextUp(foreman, told).map((one) => one.email)).toEqual(['bo@crew-one.example'])
    expect(nextUp(foreman, wholeAudience(inDepot(crew)))).toEqual([])
    // above her stand the owners, as above any manager
    const above = audienceAbove(inDepot(crew, both, anOwner), () => true)
    const bo = above.find(({ role }) => role === 'foreman') as Addressee
    expect(nextUp(bo, above).map(({ name }) => name)).toEqual(['Oda Falk'])
  })
  test('where no manager is in charge, the owners in their stead', () => {
    const elsewhere = { ...aManager, depots: ['DEP-2'] }
    const nobody = { ...aCrew, recipients: [] }
    const told = (crew: typeof aCrew, people: readonly Person[]) =>
      wholeAudience(inDepot(crew, ...people)).map(({ email, role }) => `${role} ${email}`)
    expect(told(nobody, [elsewhere, anOwner])).toEqual(['manager owner@demo-utility.example'])
    const crew = ['crew ana@crew-one.example', 'foreman bo@crew-one.example']
    expect(told(aCrew, [elsewhere, anOwner])).toEqual([...crew, 'manager owner@demo-utility.example'])
    expect(told(aCrew, [aManager, anOwner])).toEqual([...crew, 'manager manager@demo-utility.example'])
  })

  test('above the crew stand those alone whom mail reaches: managers, and owners above or instead of them', () => {
    const above = (...unreached: string[]) =>
      audienceAbove(inDepot(aCrew, aManager, anOwner), (email) => !unreached.includes(email))
    const names = (all: readonly Addressee[]) => all.map(({ name }) => name)
    const [ana, bo, mia, oda] = above() as [Addressee, Addressee, Addressee, Addressee]
    expect(names([ana, bo, mia, oda])).toEqual(['Ana Ferro', 'Bo Lind', 'Mia Okafor', 'Oda Falk'])
    expect([ana, bo, mia, oda].map((one) => names(nextUp(one, above())))).toEqual([
      ['Bo Lind'],
      ['Mia Okafor'],
      ['Oda Falk'],
      [],
    ])
    expect(names(nextUp(bo, above(aManager.email)))).toEqual(['Oda Falk'])
    expect(names(nextUp(bo, above(aManager.email, anOwner.email)))).toEqual([])
  })
  test('only managers of the depot', () => {
    const elsewhere = { ...aManager, email: 'else@demo-utility.example', depots: ['DEP-2'] }
    expect(wholeAudience(inDepot(aCrew, elsewhere)).map((one) => one.role)).toEqual(['crew', 'foreman'])
  })
  test('people without mail are told in person by the foreman', () => {
    const crew = {
      ...aCrew,
      recipients: [...aCrew.recipients, { name: 'Kai Brandt', phone: '555 0100', role: 'crew' as const }],
    }
    const errands = crewAudience(crew).map((one) => [one.role, one.tellInPerson.map((who) => who.name)])
    expect(errands).toEqual([
      ['crew', []],
      ['foreman', ['Kai Brandt']],
    ])
  })
  test('a crew that nobody can mail is its managers’ errand', () => {
    const crew = { ...aCrew, recipients: [{ name: 'Kai Brandt', phone: '555 0100', role: 'crew' as const }] }
    expect(
      digestAudience(inDepot(crew, aManager), { toForemen: true, toManagers: false, toOwners: false }),
    ).toMatchObject([{ role: 'manager', tellInPerson: [{ name: 'Kai Brandt' }] }])
  })
})

describe('overdue climbs', () => {
  const told = (daysOverdue: number, overdueClimbs = usPolicy.overdueClimbs, crew = aCrew, isFirstWord = false) =>
    digestAudience(inDepot(crew, aManager, anOwner), climbedTo(daysOverdue, { overdueClimbs }, isFirstWord)).map(
      (one) => (one.owns ? 'owner' : one.role),
    )

  test('unless the policy says otherwise: managers from the first overdue day on, owners after two weeks', () => {
    expect(told(0)).toEqual(['crew', 'foreman'])
    expect(told(1)).toEqual(['crew', 'foreman', 'manager'])
    expect(told(13)).toEqual(['crew', 'foreman', 'manager'])
    expect(told(14)).toEqual(['crew', 'foreman', 'manager', 'owner'])
    expect(told(400)).toEqual(['crew', 'foreman', 'manager', 'owner'])
  })

  const slowly = { foremanAfterWeeks: 1, managerAfterWeeks: 3, ownerAfterWeeks: 4 }

  test('by the weeks of the policy', () => {
    expect([0, 6, 7, 20, 21, 27, 28].map((days) => told(days, slowly))).toEqual([
      ['crew'],
      ['crew'],
      ['crew', 'foreman'],
      ['crew', 'foreman'],
      ['crew', 'foreman', 'manager'],
      ['crew', 'foreman', 'manager'],
      ['crew', 'foreman', 'manager', 'owner'],
    ])
  })

  test('the first word that it is overdue goes to crew, foreman and managers whatever the policy says', () => {
    expect(told(1, slowly, aCrew, true)).toEqual(['crew', 'foreman', 'manager'])
    expect(told(28, slowly, aCrew, true)).toEqual(['crew', 'foreman', 'manager', 'owner'])
  })

  test('after no weeks: the foreman from the first step on, managers and owners from the first overdue day', () => {
    const atOnce = { foremanAfterWeeks: 0, managerAfterWeeks: 0, ownerAfterWeeks: 0 }
    expect(told(0, atOnce)).toEqual(['crew', 'foreman'])
    expect(told(1, atOnce)).toEqual(['crew', 'foreman', 'manager', 'owner'])
  })

  test('owners may hear before the managers do', () => {
    const upside = { foremanAfterWeeks: 9, managerAfterWeeks: 9, ownerAfterWeeks: 1 }
    expect(told(7, upside)).toEqual(['crew', 'owner'])
  })

  test('at once to the next above where nobody below can be mailed', () => {
    const [ana, bo] = aCrew.recipients
    const byPhone = { name: 'Kai Brandt', phone: '555 0100', role: 'crew' as const }
    expect(told(0, slowly, { ...aCrew, recipients: [byPhone, ...(bo === undefined ? [] : [bo])] })).toEqual(['foreman'])
    expect(told(0, slowly, { ...aCrew, recipients: [byPhone] })).toEqual(['manager'])
    expect(told(0, slowly, { ...aCrew, recipients: ana === undefined ? [] : [ana] })).toEqual(['crew'])
  })
})

describe('a loan that is not back', () => {
  const lent = (...more: Parameters<typeof history>) =>
    replay(history(...begun, ['2026-03-03', happened.moved({ crewId: 'CR-1' })], ...more))
  const out = ['2026-03-10', happened.moved({ lentTo: 'Neighbours', returnBy: day('2026-04-01') })] as const
  const registers = {
    crews: new Map([['CR-1', aCrew]]),
    depotNames: new Map([['DEP-1', 'North yard']]),
    people: [aManager, anOwner],
  }
  const known = (state: ReturnType<typeof lent>) => ({
    stickId: 'S-1',
    state,
    depotId: 'DEP-1',
    told: null,
    shownDueOn: null,
    broughtForwardFrom: null,
  })
  const on = (date: string, state = lent(out)) => dueOnDay(known(state), registers, { day: day(date), rules: usPolicy })

  test('is told to the lender’s crew and managers on the day after, and not before', () => {
    expect(on('2026-04-01')).toMatchObject({ isOwed: false, owed: { date: false, loan: null } })
    const due = on('2026-04-02')
    expect(due.owed).toEqual({
      date: false,
      loan: { lentTo: 'Neighbours', returnBy: '2026-04-01', daysLate: 1 },
    })
    expect(due.audience.map(({ role }) => role)).toEqual(['crew', 'foreman', 'manager'])
  })

  test.each<[string, Parameters<typeof history>]>([
    ['on hold', [['2026-03-20', happened.defect()]]],
    [
      'removed',
      [
        ['2026-03-20', happened.tested('electrical')],
        ['2026-03-21', happened.step('cleaned')],
        ['2026-03-22', happened.tested('electrical')],
      ],
    ],
  ])('also of a stick that is %s, which the ladder does not speak of', (_, events) => {
    const due = on('2026-04-02', lent(out, ...events))
    expect(mustNotBeUsed(due.standing.status)).toBe(true)
    expect(due.owed).toMatchObject({ date: false, loan: { daysLate: 1 } })
  })

  test('no longer once it is back, scrapped, or lent for longer', () => {
    for (const to of [{ store: 'DEP-1' }, 'scrapped' as const, { lentTo: 'Neighbours', returnBy: day('2026-05-01') }])
      expect(on('2026-04-20', lent(out, ['2026-04-10', happened.moved(to)])).isOwed, JSON.stringify(to)).toBe(false)
  })

  test('stands in the digest with the due date where both are to be told, and alone where it is not', () => {
    const lines = (date: string, told: { dueOn: CalendarDate; through: CalendarDate } | null) => {
      const due = dueOnDay({ ...known(lent(out)), told }, registers, { day: day(date), rules: usPolicy })
      return digestsOwed([due], day(date), 'r').map(({ lines: [line] }) => [line?.loan?.daysLate, line?.onlyLoan])
    }
    expect(lines('2028-03-03', null)).toEqual(Array(3).fill([702, undefined]))
    expect(lines('2028-03-03', { dueOn: day('2028-03-02'), through: day('2028-03-03') })).toEqual(
      Array(3).fill([702, true]),
    )
  })
})

test('a digest names all of a person’s sticks in one mail, worst first', () => {
  const due = ['S-3', 'S-1', 'S-2'].map((stickId, i) => {
    const state = replay(history(['2026-03-02', happened.registered()], [`2026-03-0${4 - i}`, happened.tested('pass')]))
    return {
      belonging: { ...belonging, stickId },
      standing: standingOn(state, day('2028-02-20'), usPolicy),
      audience: crewAudience(aCrew),
      owed: { date: true, loan: null },
    }
  })
  const digests = digestsOwed(due, day('2028-02-20'), 'America/Chicago 6')
  expect(digests.map((digest) => [digest.to.email, digest.lines.map((line) => [line.stickId, line.daysLeft])])).toEqual(
    ['ana@crew-one.example', 'bo@crew-one.example'].map((email) => [
      email,
      [
        ['S-2', 11],
        ['S-1', 12],
        ['S-3', 13],
      ],
    ]),
  )
})
