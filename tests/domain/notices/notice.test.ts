/** What a notice carries: its key, what it asks, what it tells of a stick; who is told of what is in `owed.test.ts`. */
import { describe, expect, test } from 'vitest'
import type { Happening, RecordedFact } from '../../../shared-domain/facts.ts'
import { type DueStick, digestKey, dueOnDay } from '../../../shared-domain/notices/digest.ts'
import type { noticeKinds } from '../../../shared-domain/notices/notice.ts'
import { type Change, kindsOwed, owedAtOnce, owedForUnplaced, reportedIn } from '../../../shared-domain/notices/owed.ts'
import { stickLine } from '../../../shared-domain/notices/stick-line.ts'
import type { Person } from '../../../shared-domain/registers.ts'
import { replay } from '../../../shared-domain/state/fold.ts'
import { type Hold, holdFor } from '../../../shared-domain/state/hold.ts'
import { type Standing, standingOn } from '../../../shared-domain/state/standing.ts'
import type { UnfitUse } from '../../../shared-domain/state/unfit-use.ts'
import type { Status } from '../../../shared-domain/words.ts'
import { digestsOwed } from '../../support/digests.ts'
import { inEnglish } from '../../support/english.ts'
import { aCrew, aManager, day, happened, history, usPolicy } from '../../support/trade.ts'

const belonging = { stickId: 'S-1', crewId: 'CR-1', crewName: 'Crew one', depotName: 'North yard' }
const aBench: Person = { ...aManager, name: 'Ines Roth', email: 'bench@demo-utility.example', role: 'bench' }
const anOwner: Person = { ...aManager, name: 'Oda Falk', email: 'owner@demo-utility.example', role: 'owner' }
const who = { crew: aCrew, people: [aManager, aBench], depotId: 'DEP-1', answerWithinHours: 4 }
const today = day('2026-03-20')

const sound = standingOn(
  replay(history(['2026-03-01', happened.registered()], ['2026-03-02', happened.tested('pass')])),
  today,
  usPolicy,
)
const stands = (status: Status, ...holds: Hold[]): Standing => ({ ...sound, status, holds })
const held = (...holds: Hold[]) => stands('on hold', ...holds)
const factOf = (happening: Happening, recordedBy = 'bench'): RecordedFact => ({
  ...(history(['2026-03-18', happening])[0] as RecordedFact),
  factId: 'the fact',
  recordedBy,
})
const change = (over: Partial<Change>): Change => ({
  before: sound,
  after: sound,
  fact: factOf(happened.used()),
  day: today,
  ...over,
})
const owed = (over: Partial<Change>) => owedAtOnce(change(over), belonging, who)
const cause = { since: day('2026-03-18'), factId: 'f' }
const reported = (kind: string, at?: string, by = 'bench') =>
  holdFor.defectReported(cause, kind, { by, ...(at === undefined ? {} : { at }) })
const short = { reason: { code: 'so', text: 'so' }, more: 0 }

describe('a hold', () => {
  const notices = owed({ after: held(reported('tingle')), fact: factOf(happened.defect()) })

  test('is one notice a person, known by kind, stick, fact and mailbox', () => {
    expect(notices.map(({ key }) => key)).toEqual(
      ['ana@crew-one.example', 'bo@crew-one.example', 'manager@demo-utility.example'].map(
        (mailbox) => `hold|S-1|the fact|${mailbox}`,
      ),
    )
  })

  test('asks the crew to confirm the same thing, within the hours of the policy, and nobody above', () => {
    for (const { answer, to, day: on, lines } of notices) {
      const asked = { about: 'hold|S-1|the fact', withinHours: 4 }
      expect(answer).toEqual(to.role === 'manager' ? undefined : asked)
      expect([on, lines.length, lines[0]?.stickId]).toEqual([today, 1, 'S-1'])
    }
  })

  test('says of nothing that it came back', () => {
    for (const notice of notices) expect(notice).not.toHaveProperty('cameBackBy')
  })
})

describe('a return', () => {
  const cameBackBy = (happening: Happening) =>
    owed({ before: held(reported('tingle')), fact: factOf(happening) }).map((one) => [
      one.kind,
      one.cameBackBy,
      one.answer,
    ])[0]
  const examined = happened.tested('examined')
  const look: Happening = {
    kind: 'condition checked',
    check: { factId: 'x', occurredOn: today, by: 'Ines Roth', sound: true },
  }
  const certificate: Happening = {
    kind: 'certificate received',
    certificate: { factId: 'x', occurredOn: today, issuedBy: 'the maker' },
  }

  test.each<[string, Happening, string]>([
    ['a full pass', happened.tested('pass'), 'full test'],
    ['a test judged again to pass', happened.judgedAgain(2, 'pass'), 'full test'],
    ['an examination alone', examined, 'other'],
    ['a test that did not pass', happened.tested('invalid'), 'other'],
    ['a judgement that it proves nothing', happened.judgedAgain(2, 'invalid'), 'other'],
    ['a release', happened.released(), 'release'],
    ['an entry put right', happened.registered(), 'entry put right'],
    ['a waxing', happened.step('waxed'), 'waxing'],
    ['a cleaning handed in late', happened.step('cleaned'), 'other'],
    ['a move', happened.moved({ store: 'DEP-1' }), 'other'],
    ['a use', happened.used(), 'other'],
    ['a report', happened.defect(), 'other'],
    ['a look', look, 'other'],
    ['its certificate', certificate, 'other'],
  ])('by %s', (_, happening, way) => {
    expect(cameBackBy(happening)).toEqual(['return', way, undefined])
  })
})

describe('a report that holds nothing new', () => {
  const older = { after: sound, isOlderThanPass: true }
  const report = (over: Partial<Change>) => owed({ ...older, ...over })[0]?.report

  test('tells what was reported, of when and by whom', () => {
    const fact = factOf(happened.defect('drop'), 'crew')
    expect(report({ fact })).toEqual({ what: 'defect', defect: 'drop', on: '2026-03-02', reportedBy: 'crew' })
    expect(report({ fact, reportedBy: 'Ana Ferro' })?.reportedBy).toBe('Ana Ferro')
    const said = { factId: 'x', occurredOn: '2026-03-02', kind: 'drop', at: '09:40', note: 'off the bucket' } as const
    expect(report({ fact: factOf({ kind: 'defect reported', defect: said }) })).toMatchObject({
      at: '09:40',
      note: 'off the bucket',
    })
    expect(report({ fact: factOf({ kind: 'defect reported', defect: { ...said, note: '' } }) })).not.toHaveProperty(
      'note',
    )
  })

  test('and that the stick passed since, where it may be used by now', () => {
    const fact = factOf(happened.defect())
    expect(report({ fact, passedOn: day('2026-03-19') })?.passedSince).toBe('2026-03-19')
    expect(report({ fact })).not.toHaveProperty('passedSince')
    const removed = stands('removed from service')
    expect(report({ fact, passedOn: day('2026-03-19'), before: removed, after: removed })).not.toHaveProperty(
      'passedSince',
    )
  })

  const look = {
    factId: 'x',
    occurredOn: '2026-03-02',
    at: '09:40',
    by: 'Ines Roth',
    sound: false,
    note: 'odd',
  } as const
  test.each<[Happening, object]>([
    [happened.defect('tingle'), { what: 'defect', defect: 'tingle', on: '2026-03-02' }],
    [
      { kind: 'condition checked', check: look },
      { what: 'unsound look', on: '2026-03-02', at: '09:40', note: 'odd' },
    ],
    [happened.moved('missing'), { what: 'missing', on: '2026-03-02' }],
    [happened.moved('found'), { what: 'found', on: '2026-03-02' }],
    [happened.tested('electrical'), { what: 'bench test', verdict: 'fail', on: '2026-03-02' }],
    [happened.tested('invalid'), { what: 'bench test', verdict: 'invalid', on: '2026-03-02' }],
  ])('reads as it was stated: %j', (happening, what) => {
    expect(reportedIn(happening)).toEqual(what)
  })

  test.each<[string, Happening]>([
    ['registered', happened.registered()],
    ['corrective step', happened.step('cleaned')],
    ['used', happened.used()],
    ['released', happened.released()],
    [
      'certificate received',
      { kind: 'certificate received', certificate: { factId: 'x', occurredOn: today, issuedBy: 'x' } },
    ],
    ['judged again', happened.judgedAgain(2, 'pass')],
  ])('%s is none', (kind, happening) => {
    expect(() => reportedIn(happening)).toThrow(`${kind} is no report`)
  })

  test('on a number that no stick has goes to all managers, whatever their depot', () => {
    const report = {
      what: 'defect',
      defect: 'tingle',
      on: '2026-03-02',
      reportedBy: 'crew',
      unknownNumber: 'S-9',
    } as const
    const elsewhere = { ...aManager, name: 'Max', email: 'MAX@demo-utility.example', depots: ['DEP-2'] }
    expect(
      owedForUnplaced({ factId: 'the fact', report, day: today }, [aManager, elsewhere, aBench, anOwner]),
    ).toMatchObject([
      { kind: 'report', key: 'report|unplaced|the fact|manager@demo-utility.example', day: today, lines: [], report },
      { key: 'report|unplaced|the fact|max@demo-utility.example', to: { name: 'Max' } },
    ])
  })
})

describe('a use while unfit', () => {
  const use: UnfitUse = { factId: 'the use', usedOn: day('2026-03-10'), unfitOn: day('2026-03-12'), status: 'on hold' }

  test('tells when it was and how the stick stood, and is known by the use and by what showed it', () => {
    const [own, other] = [{ ...use, factId: 'the fact' }, use]
    const notices = owed({ unfitUses: [own, other] })
    expect(notices).toHaveLength(6)
    expect(notices[0]).toMatchObject({
      kind: 'used while unfit',
      key: 'used while unfit|S-1|the fact|ana@crew-one.example',
      used: { on: '2026-03-10', unfitOn: '2026-03-12', status: 'on hold' },
    })
    expect(notices[3]?.key).toBe('used while unfit|S-1|the use|the fact|ana@crew-one.example')
    expect(notices[0]).not.toHaveProperty('answer')
  })

  test('comes after the hold', () => {
    const kinds = owed({ after: held(reported('tingle')), unfitUses: [use] }).map(({ kind }) => kind)
    expect([...new Set(kinds)]).toEqual(['hold', 'used while unfit'])
    expect(owed({})).toEqual([])
  })
})

describe('what a change owes', () => {
  const all: Status[] = [
    'in service',
    'due soon',
    'overdue',
    'on hold',
    'awaiting first test',
    'removed from service',
    'scrapped',
  ]
  const owing: { readonly [from in Status]?: { readonly [to in Status]?: (typeof noticeKinds)[number] } } =
    Object.fromEntries(
      all.map((from) => [
        from,
        {
          ...(from === 'on hold' ? { 'in service': 'return', 'due soon': 'return' } : { 'on hold': 'hold' }),
          ...(from === 'removed from service' ? {} : { 'removed from service': 'removal' }),
          ...(from === 'in service' || from === 'due soon' ? { 'awaiting first test': 'hold' } : {}),
        },
      ]),
    )

  test.each(all)('of a stick that was %s', (from) => {
    for (const to of all) {
      const expected = owing[from]?.[to]
      const kinds = kindsOwed(change({ before: stands(from), after: stands(to) }))
      expect(kinds, `${from} to ${to}`).toEqual(expected === undefined ? [] : [expected])
    }
  })

  test('a report that leaves it as it is, and nothing else that does', () => {
    const against = factOf(happened.defect())
    expect(kindsOwed(change({ fact: against }))).toEqual(['report'])
    expect(kindsOwed(change({ fact: against, isOlderThanPass: true }))).toEqual(['report'])
    const same = held(reported('scratch'))
    expect(kindsOwed(change({ fact: against, before: same, after: same }))).toEqual([])
    expect(kindsOwed(change({ fact: against, before: same, after: same, isOlderThanPass: true }))).toEqual(['report'])
    expect(kindsOwed(change({ fact: factOf(happened.tested('pass')), isOlderThanPass: true }))).toEqual([])
  })

  test('a date brought forward, of a stick that shows one', () => {
    const broughtForwardFrom = day('2028-09-01')
    const kinds = (status: Status) =>
      kindsOwed(change({ before: stands(status), after: stands(status), broughtForwardFrom }))
    expect(all.filter((status) => kinds(status).length > 0)).toEqual(['in service', 'due soon', 'overdue'])
    expect(kinds('overdue')).toEqual(['date brought forward'])
    expect(owed({ broughtForwardFrom })[0]?.lines[0]?.broughtForwardFrom).toBe('2028-09-01')
  })
})

describe('of a stick that is held already its people hear of what is worse than they know', () => {
  const isTold = (before: readonly Hold[], fresh: readonly Hold[]) =>
    kindsOwed(change({ before: held(...before), after: held(...before, ...fresh) })).includes('hold')
  const scratch = reported('scratch')
  const incomplete = holdFor.unprovenTest(cause, 'incomplete', short)

  test.each<[string, Hold, boolean]>([
    ['a failed test', holdFor.failedTest(cause, short), true],
    ['a failed examination', holdFor.failedExamination(cause, short, 'repair'), true],
    ['that it is missing', holdFor.reportedMissing(cause), true],
    ['that it was found', holdFor.found(cause, true), true],
    ['a danger felt', reported('tingle'), true],
    ['a danger seen', reported('flashover'), true],
    ['a look that found something', reported('other'), true],
    ['that it was not waxed', holdFor.notWaxed(cause, 'the rule', false), true],
    ['another blemish', reported('dent'), false],
    ['a test that left something out', incomplete, false],
    ['that it was repaired', holdFor.testAfterRepair(cause, 'repaired'), false],
    ['that it waits for a release', holdFor.releaseAwaited(cause), false],
    ['what no fact of it caused', holdFor.policyMissing(), false],
  ])('%s', (_, fresh, told) => {
    expect(isTold([scratch], [fresh])).toBe(told)
  })

  test('though they know of worse: what is asked to clear it is another', () => {
    const known = [holdFor.failedTest(cause, short), reported('burn')]
    for (const fresh of [
      holdFor.failedExamination(cause, short, 'repair'),
      holdFor.reportedMissing(cause),
      holdFor.found(cause, true),
    ])
      expect(isTold(known, [fresh]), fresh.code).toBe(true)
    expect(isTold(known, [reported('tingle')])).toBe(true)
    expect(isTold(known, [reported('scratch')])).toBe(false)
  })

  test('anything that its crew is told of, where it has heard of nothing yet', () => {
    const unheard = [holdFor.policyMissing(), holdFor.notWaxed(cause, 'the rule', false), holdFor.releaseAwaited(cause)]
    expect(isTold(unheard, [incomplete])).toBe(true)
    expect(isTold(unheard, [incomplete, holdFor.notRegistered()])).toBe(true)
    expect(isTold([holdFor.policyMissing()], [holdFor.notRegistered()])).toBe(false)
    expect(isTold([holdFor.policyMissing()], [holdFor.releaseAwaited(cause)])).toBe(false)
  })

  test('what stands before all that they have heard of, and not before one of it alone', () => {
    expect(isTold([incomplete], [scratch])).toBe(true)
    expect(isTold([incomplete, holdFor.failedExamination(cause, short, 'repair')], [scratch])).toBe(false)
    expect(isTold([incomplete, holdFor.policyMissing()], [holdFor.noCorrectiveStep(cause)])).toBe(true)
    expect(isTold([incomplete], [{ ...scratch, factId: null }])).toBe(false)
  })

  test('one report pressed twice within minutes is one; another hour, day or reporter is another', () => {
    const once = reported('tingle', '09:40')
    const same = holdFor.reportedAgain(once, once)
    expect(inEnglish.hold(same).text).toBe('Reported from use: tingle (2 times)')
    const again = (other: Hold) => kindsOwed(change({ before: held(once), after: held(other) })).includes('hold')
    expect(again(same)).toBe(false)
    expect(again(reported('tingle', '09:41'))).toBe(false)
    expect(again(reported('tingle', '09:31'))).toBe(false)
    expect(again(reported('tingle', '09:50'))).toBe(true)
    expect(again(reported('tingle', '09:40', 'crew'))).toBe(true)
    expect(again(reported('burn', '09:40'))).toBe(true)
    expect(
      again(holdFor.defectReported({ ...cause, since: day('2026-03-19') }, 'tingle', { at: '09:40', by: 'bench' })),
    ).toBe(true)
  })

  test('a failure with another reading is another', () => {
    const asked = { is: 'over the limit', comparison: 'less than', limit: 20, source: 'SAMPLE' } as const
    const reading = (microamps: number, toMetres = 0.3): Hold => {
      const place = { state: 'dry', quarterTurn: 90, fromMetres: 0, toMetres } as const
      return holdFor.failedTest(cause, {
        reason: { code: 'reading-over-limit', says: { ...asked, microamps }, ...place },
        more: 0,
      })
    }
    const worded = (text: string) =>
      holdFor.failedTest(cause, { reason: { code: 'reading-over-limit', text }, more: 0 })
    for (const [first, worse] of [
      [reading(21), reading(40)],
      [reading(21), reading(21, 0.4)],
      [worded('21'), worded('40')],
    ] as const) {
      expect(kindsOwed(change({ before: held(first), after: held(structuredClone(first)) }))).toEqual([])
      expect(kindsOwed(change({ before: held(first), after: held(worse) }))).toEqual(['hold'])
    }
  })
})

describe('what only the bench has left undone', () => {
  const notWaxed = holdFor.notWaxed(cause, 'the rule', false)
  const told = (custody: Standing['custody'], ...holds: Hold[]) =>
    owed({ before: sound, after: { ...held(...holds), custody } }).map(({ to }) => to.role)

  test('is told to bench and managers, and to the crew that has the stick', () => {
    expect(told({ bench: 'DEP-1' }, notWaxed)).toEqual(['bench', 'manager'])
    expect(told({ store: 'DEP-1' }, notWaxed)).toEqual(['bench', 'manager'])
    expect(told(null, notWaxed)).toEqual(['bench', 'manager'])
    expect(told({ crewId: 'CR-1' }, notWaxed)).toEqual(['bench', 'crew', 'foreman', 'manager'])
    expect(told({ lentTo: 'Neighbours', returnBy: today }, notWaxed)).toEqual(['bench', 'crew', 'foreman', 'manager'])
  })

  test('and anything beside it to everybody else, not to the bench', () => {
    expect(told({ bench: 'DEP-1' }, notWaxed, reported('tingle'))).toEqual(['crew', 'foreman', 'manager'])
    expect(owed({ before: held(notWaxed), after: sound }).map(({ to }) => to.role)).toEqual([
      'crew',
      'foreman',
      'manager',
    ])
    const removed = owed({ after: stands('removed from service', notWaxed) })
    expect(removed.map(({ to }) => to.role)).toEqual(['crew', 'foreman', 'manager'])
  })
})

describe('a stick in a notice', () => {
  test('with all that is known of it', () => {
    const hold = reported('tingle')
    const standing: Standing = {
      ...held(hold, holdFor.policyMissing()),
      custody: { bench: 'DEP-1' },
      removedFor: { more: 1 },
    }
    expect(
      stickLine(
        { belonging: { ...belonging, revision: 7 }, standing, broughtForwardFrom: day('2028-09-01') },
        day('2028-03-01'),
      ),
    ).toEqual({
      stickId: 'S-1',
      crewId: 'CR-1',
      crewName: 'Crew one',
      status: 'on hold',
      dueOn: '2028-03-02',
      revision: 7,
      broughtForwardFrom: '2028-09-01',
      daysLeft: 1,
      bringTo: 'North yard',
      liesAt: 'bench',
      why: sound.why,
      removedFor: { more: 1 },
      source: '29 CFR 1910.269(j)(2)(iii)',
      holds: [{ code: 'defect-reported', detail: hold.detail }, { code: 'policy-missing' }],
    })
  })

  test('and without what is not', () => {
    const bare = stickLine({ belonging, standing: { ...sound, dueOn: null, governedBy: null, custody: null } }, today)
    expect(bare).toMatchObject({ dueOn: null, daysLeft: null, source: null })
    for (const key of ['revision', 'broughtForwardFrom', 'liesAt', 'duty', 'removedFor'])
      expect(bare).not.toHaveProperty(key)
    expect(stickLine({ belonging, standing: held(holdFor.policyMissing()) }, today).holds[0]).not.toHaveProperty(
      'detail',
    )
    expect(
      stickLine({ belonging, standing: { ...sound, custody: { store: 'DEP-1' }, duty: 'look' } }, today),
    ).toMatchObject({
      liesAt: 'store',
      duty: 'look',
    })
    expect(stickLine({ belonging, standing: { ...sound, custody: { crewId: 'CR-1' } } }, today)).not.toHaveProperty(
      'liesAt',
    )
  })
})

describe('a morning', () => {
  const state = replay(history(['2026-03-01', happened.registered()], ['2026-03-02', happened.tested('pass')]))
  const known = { stickId: 'S-1', state, depotId: 'DEP-1', told: null, shownDueOn: null, broughtForwardFrom: null }
  const registers = {
    crews: new Map([['CR-1', aCrew]]),
    depotNames: new Map([['DEP-1', 'North yard']]),
    people: [aManager, anOwner],
  }
  const on = (date: string, over: Partial<Parameters<typeof dueOnDay>[0]> = {}) =>
    dueOnDay({ ...known, ...over }, registers, { day: day(date), rules: usPolicy })

  test('a stick is told where it belongs, as far as that is known', () => {
    expect(on('2028-01-02')).toMatchObject({
      belonging: { stickId: 'S-1', crewId: 'CR-1', crewName: 'Crew one', depotName: 'North yard', revision: 2 },
      broughtForwardFrom: null,
      owed: { date: true, loan: null },
      isOwed: true,
    })
    expect(on('2028-01-02', { depotId: null }).belonging.depotName).toBeNull()
    expect(on('2028-01-02', { depotId: 'DEP-9' }).belonging.depotName).toBeNull()
    expect(on('2028-01-02', { state: { ...state, crewId: 'CR-9' } }).belonging).toMatchObject({
      crewId: 'CR-9',
      crewName: null,
    })
    const nobodys = on('2028-01-02', { state: { ...state, crewId: null } })
    expect([nobodys.belonging.crewName, nobodys.audience.map(({ role }) => role)]).toEqual([null, ['manager']])
  })

  test('nothing is owed before its day, nor of a stick that the ladder does not speak of', () => {
    expect(on('2028-01-01')).toMatchObject({ isOwed: false, owed: { date: false } })
    expect(on('2028-01-02', { state: { ...state, evidence: {} } }).isOwed).toBe(false)
  })

  test('a date brought forward is told, as it was recorded or as it was last shown', () => {
    const [recorded, shown] = [day('2028-09-01'), day('2028-08-01')]
    expect(on('2026-03-20', { broughtForwardFrom: recorded, shownDueOn: shown })).toMatchObject({
      broughtForwardFrom: recorded,
      isOwed: true,
    })
    expect(on('2026-03-20', { shownDueOn: shown })).toMatchObject({ broughtForwardFrom: shown, isOwed: true })
    expect(on('2026-03-20', { shownDueOn: day('2028-03-02') }).isOwed).toBe(false)
  })

  const lent = { ...state, custody: { lentTo: 'Neighbours', returnBy: day('2026-04-01') } }
  test('a loan is told again a week after it was, and goes no higher than its managers', () => {
    const told = { returnBy: day('2026-04-01'), through: day('2026-04-02') }
    expect(on('2026-04-08', { state: lent, loanTold: told }).isOwed).toBe(false)
    expect(on('2026-04-09', { state: lent, loanTold: told })).toMatchObject({
      isOwed: true,
      owed: { loan: { daysLate: 8 } },
    })
    const roles = (told: Parameters<typeof on>[1]) =>
      on('2028-03-16', { state: lent, ...told }).audience.map((one) => (one.owns ? 'owner' : one.role))
    // two weeks overdue the owners hear of the date
    expect(roles({})).toEqual(['crew', 'foreman', 'manager', 'owner'])
    expect(roles({ told: { dueOn: day('2028-03-02'), through: day('2028-03-16') } })).toEqual([
      'crew',
      'foreman',
      'manager',
    ])
  })

  const shows = day('2028-09-01')
  const labelled = { ...state, label: { since: day('2026-03-02'), factId: 'l', shows } }
  test('a wrong label is told again a week after it was, to its managers too', () => {
    expect(on('2026-04-08', { state: labelled, labelTold: { shows, on: day('2026-04-02') } })).toMatchObject({
      isOwed: false,
      owed: { date: false, loan: null },
    })
    const told = on('2026-04-09', { state: labelled, labelTold: { shows, on: day('2026-04-02') } })
    expect(told).toMatchObject({ isOwed: true, owed: { date: false, loan: null, label: true } })
    expect(told.audience.map(({ role }) => role)).toEqual(['crew', 'foreman', 'manager'])
    expect(
      on('2026-04-08', { state: { ...labelled, label: { ...labelled.label, shows: day('2028-03-02') } } }).isOwed,
    ).toBe(false)
  })

  test('and said in every line of the stick, which is only for it where nothing else is owed', () => {
    const line = (on_: string, over: Parameters<typeof on>[1]) =>
      digestsOwed([on(on_, { state: labelled, ...over })], day(on_), 'r')[0]?.lines[0]
    expect(line('2026-04-09', {})).toMatchObject({ wrongLabel: shows, onlyLabel: true })
    const dated = line('2028-01-02', { labelTold: { shows, on: day('2028-01-01') } })
    expect(dated).toMatchObject({ wrongLabel: shows })
    expect(dated).not.toHaveProperty('onlyLabel')
    const lentOut = { ...labelled, custody: { lentTo: 'Neighbours', returnBy: day('2026-04-01') } }
    expect(line('2026-04-09', { state: lentOut })).toMatchObject({ wrongLabel: shows, onlyLoan: true })
    expect(line('2026-04-09', { state: lentOut })).not.toHaveProperty('onlyLabel')
  })

  const stick = (stickId: string, over: Partial<DueStick> = {}): DueStick => {
    const due = on('2028-02-20')
    return { ...due, belonging: { ...due.belonging, stickId }, audience: [], ...over }
  }
  const [ana, bo] = on('2028-02-20').audience as [DueStick['audience'][number], DueStick['audience'][number]]

  test('one person’s sticks are one digest, known by person, day and round', () => {
    const again = { ...ana, email: 'ANA@crew-one.example' }
    const digests = digestsOwed(
      [stick('S-1', { audience: [ana] }), stick('S-2', { audience: [again, bo] })],
      day('2028-02-20'),
      'America/Chicago 6',
    )
    expect(digests.map(({ kind, key, to, day: on, lines }) => [kind, key, to.name, on, lines.length])).toEqual([
      ['digest', 'digest|2028-02-20|America/Chicago 6|ana@crew-one.example', 'Ana Ferro', '2028-02-20', 2],
      ['digest', digestKey('bo@crew-one.example', day('2028-02-20'), 'America/Chicago 6'), 'Bo Lind', '2028-02-20', 1],
    ])
    expect(digestsOwed([], today, 'r')).toEqual([])
  })

  test('to a foreman of one of them as a foreman, with every errand once', () => {
    const kai = { name: 'Kai Brandt', phone: '555 0100' }
    const lee = { name: 'Lee Moss', phone: '555 0101' }
    const [asCrew, asForeman] = [
      { ...ana, tellInPerson: [kai] },
      { ...ana, role: 'foreman' as const, tellInPerson: [lee, kai] },
    ]
    const to = (...all: (typeof ana)[]) =>
      digestsOwed(
        all.map((one, i) => stick(`S-${i}`, { audience: [one] })),
        today,
        'r',
      ).map((digest) => digest.to)
    expect(to(asCrew, asForeman)).toEqual([{ ...asForeman, tellInPerson: [kai, lee] }])
    expect(to(asForeman, asCrew)).toEqual([{ ...asForeman, tellInPerson: [lee, kai] }])
    expect(to({ ...ana, name: 'Ana F.' }, ana)[0]?.name).toBe('Ana F.')
  })

  test('the earliest due first, of a day by crew, then by number; no name or no date before those with one', () => {
    const line = (stickId: string, crewName: string | null, dueOn: string | null, crewId: string | null = 'CR-1') =>
      stick(stickId, {
        audience: [ana],
        belonging: { ...belonging, stickId, crewName, crewId },
        standing: { ...sound, dueOn: dueOn === null ? null : day(dueOn) },
      })
    const sorted = [
      line('S-9', 'A', null),
      line('S-0', 'B', '2027-01-01', 'CR-2'),
      line('S-6', null, '2028-01-01', null),
      line('S-5', null, '2028-01-01', 'CR-1'),
      line('S-4', 'A', '2028-01-01'),
      line('S-8', 'A', '2028-01-01'),
      line('S-1', 'A', '2028-01-02'),
    ]
    for (const order of [
      sorted,
      [...sorted].reverse(),
      sorted.toSorted((a, b) => (a.belonging.stickId < b.belonging.stickId ? -1 : 1)),
    ])
      expect(digestsOwed(order, today, 'r')[0]?.lines.map(({ stickId }) => stickId)).toEqual(
        sorted.map(({ belonging: { stickId } }) => stickId),
      )
  })

  test('a date brought forward is told beside a date that is owed, and not beside a loan alone', () => {
    const loan = { lentTo: 'Neighbours', returnBy: day('2026-04-01'), daysLate: 1 }
    const broughtForwardFrom = day('2028-09-01')
    const line = (owed: DueStick['owed']) =>
      digestsOwed([stick('S-1', { audience: [ana], broughtForwardFrom, owed })], today, 'r')[0]?.lines[0]
    expect(line({ date: true, loan: null })).toMatchObject({ broughtForwardFrom })
    expect(line({ date: true, loan: null })).not.toHaveProperty('loan')
    expect(line({ date: true, loan })).toMatchObject({ broughtForwardFrom, loan })
    expect(line({ date: false, loan })).toMatchObject({ loan, onlyLoan: true })
    expect(line({ date: false, loan })).not.toHaveProperty('broughtForwardFrom')
    expect(line({ date: true, loan })).not.toHaveProperty('onlyLoan')
  })
})
