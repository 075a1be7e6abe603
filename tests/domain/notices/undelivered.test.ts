/** Who hears that a notice did not reach its reader, and who gets it instead. */
import { describe, expect, test } from 'vitest'
import {
  type Addressee,
  type NoticeKind,
  type OwedNotice,
  type StickLine,
  undeliveredWhys,
} from '../../../shared-domain/notices/notice.ts'
import {
  type Concerned,
  marksTheAddress,
  owedForUndelivered,
  stillHolds,
  type Undelivered,
} from '../../../shared-domain/notices/undelivered.ts'
import { day } from '../../support/trade.ts'

const person = (name: string, role: Addressee['role']): Addressee => ({
  name,
  email: `${name.toLowerCase()}@demo-utility.example`,
  role,
  tellInPerson: [],
})
const [ana, al] = [person('Ana', 'crew'), person('Al', 'crew')]
const [bo, bea] = [person('Bo', 'foreman'), person('Bea', 'foreman')]
const [mia, max] = [person('Mia', 'manager'), person('Max', 'manager')]
const oda: Addressee = { ...person('Oda', 'manager'), owns: true }

const line = (stickId: string, crewId = 'CR-1'): StickLine => ({
  stickId,
  crewId,
  crewName: crewId,
  status: 'on hold',
  dueOn: null,
  daysLeft: null,
  bringTo: null,
  why: 'Reported from use: tingle.',
  source: null,
  holds: [],
})

const hold = (to: Addressee, over: Partial<OwedNotice> = {}): OwedNotice => ({
  kind: 'hold',
  key: `hold|S-1|${to.email}`,
  to,
  day: day('2026-03-02'),
  lines: [line('S-1')],
  answer: { about: 'hold|S-1', withinHours: 4 },
  ...over,
})

const oneCrew: readonly Concerned[] = [{ lines: [line('S-1')], audience: [ana, al, bo, bea, mia, max] }]
const today = { day: day('2026-03-03'), isKnown: false, otherManagersKnow: false }
const bounced = (notice: OwedNotice): Undelivered => ({ notice, why: 'bounced' })
const told = (owed: readonly OwedNotice[]) => owed.map(({ kind, to }) => `${kind}: ${to.name}`).sort()

test('a loan in a digest that did not reach is passed on whatever the status of the stick; a date is not', () => {
  const loan = { lentTo: 'Neighbours', returnBy: day('2026-03-01'), daysLate: 1 }
  const lines = [{ ...line('S-1'), loan, onlyLoan: true as const }, line('S-2')]
  const digest = { kind: 'digest' as const, key: 'digest|x', to: ana, day: day('2026-03-02'), lines }
  const owed = owedForUndelivered(bounced(digest), [{ lines, audience: [ana, bo, mia] }], today)
  const passed = owed.filter(({ kind }) => kind === 'digest')
  expect(passed.map(({ to, lines: [first, ...rest] }) => [to.name, first?.stickId, rest.length])).toEqual([
    ['Bo', 'S-1', 0],
  ])
})

describe('a hold that did not reach', () => {
  test.each([
    ['one of the crew', ana, ['hold: Bea', 'hold: Bo']],
    ['a foreman', bo, ['hold: Max', 'hold: Mia']],
  ])('%s goes to the next people up, and the managers hear of it', (_, to, next) => {
    const owed = owedForUndelivered(bounced(hold(to)), oneCrew, today)
    expect(told(owed)).toEqual([...next, 'not delivered: Max', 'not delivered: Mia'].sort())
  })

  test('a manager goes to nobody above while another has had it, and that one hears of it', () => {
    const withOwner = oneCrew.map((one) => ({ ...one, audience: [...one.audience, oda] }))
    const hasLeft = { ...today, otherManagersKnow: true }
    expect(told(owedForUndelivered(bounced(hold(mia)), withOwner, hasLeft))).toEqual(['not delivered: Max'])
    // it came back from that one too
    expect(told(owedForUndelivered(bounced(hold(mia)), withOwner, today))).toEqual(['hold: Oda', 'not delivered: Max'])
  })

  test('the only manager goes to the owner, and so does what he was to hear of others', () => {
    const alone = oneCrew.map((one) => ({ ...one, audience: [ana, bo, mia, oda] }))
    expect(told(owedForUndelivered({ notice: hold(mia), why: 'not taken' }, alone, today))).toEqual([
      'hold: Oda',
      'not delivered: Oda',
    ])
    const word = hold(mia, { kind: 'not delivered', missed: { name: 'Bo', email: bo.email, why: 'bounced' } })
    expect(told(owedForUndelivered({ notice: word, why: 'marked' }, alone, today))).toEqual(['not delivered: Oda'])
    expect(told(owedForUndelivered(bounced(hold(oda)), [{ lines: [line('S-1')], audience: [oda] }], today))).toEqual([])
  })

  test('is passed on as it was: lines, answer and errand, said as passed on, on the day it is', () => {
    const errand = [{ name: 'Kai Brandt', phone: '+1 555 0100' }]
    const owed = owedForUndelivered(bounced(hold({ ...bo, tellInPerson: errand })), oneCrew, today)
    expect(owed.find(({ kind, to }) => kind === 'hold' && to.name === 'Mia')).toEqual({
      kind: 'hold',
      key: 'passed on|hold|S-1|bo@demo-utility.example|mia@demo-utility.example',
      to: { ...mia, tellInPerson: errand },
      day: '2026-03-03',
      lines: [line('S-1')],
      answer: { about: 'hold|S-1', withinHours: 4 },
      passedOnFor: ['Bo'],
    })
  })

  test('is told to the managers with who, where and why', () => {
    const owed = owedForUndelivered({ notice: hold(bo), why: 'complained' }, oneCrew, today)
    expect(owed.find(({ kind }) => kind === 'not delivered')).toMatchObject({
      to: { name: 'Mia', tellInPerson: [] },
      lines: [{ stickId: 'S-1' }],
      missed: { name: 'Bo', email: 'bo@demo-utility.example', why: 'complained' },
    })
  })

  test('twice in a row names both whom it did not reach', () => {
    const owed = owedForUndelivered({ notice: hold(bo, { passedOnFor: ['Ana'] }), why: 'marked' }, oneCrew, today)
    expect(owed.filter(({ kind }) => kind === 'hold').map(({ passedOnFor }) => passedOnFor)).toEqual([
      ['Ana', 'Bo'],
      ['Ana', 'Bo'],
    ])
  })

  test('and was confirmed as read, or is over, is passed on to nobody; the managers still hear of the address', () => {
    const managersAlone = ['not delivered: Max', 'not delivered: Mia']
    expect(told(owedForUndelivered(bounced(hold(bo)), oneCrew, { ...today, isKnown: true }))).toEqual(managersAlone)
    const over = oneCrew.map((one) => ({ ...one, lines: [{ ...line('S-1'), status: 'in service' as const }] }))
    expect(told(owedForUndelivered(bounced(hold(bo)), over, today))).toEqual(managersAlone)
  })
})

test('nobody is told at the address that was not reached, however it is written', () => {
  const again = { ...mia, email: 'BO@demo-utility.example' }
  const owed = owedForUndelivered(bounced(hold(bo)), [{ lines: [line('S-1')], audience: [bo, again, max] }], today)
  expect(told(owed)).toEqual(['hold: Max', 'not delivered: Max'])
})

test('of a digest of two crews each gets what concerns it, and whoever is over both gets one', () => {
  const due = { status: 'due soon' as const }
  const [one, two] = [
    { ...line('S-1'), ...due },
    { ...line('S-2', 'CR-2'), ...due },
  ]
  const concerned = [
    { lines: [one], audience: [ana, bo, mia] },
    { lines: [two], audience: [ana, bea, mia] },
  ]
  const owed = owedForUndelivered(bounced(hold(ana, { kind: 'digest', lines: [one, two] })), concerned, today)
  expect(owed.map(({ kind, to, lines }) => [kind, to.name, lines.map(({ stickId }) => stickId).join()])).toEqual([
    ['not delivered', 'Mia', 'S-1,S-2'],
    ['digest', 'Bo', 'S-1'],
    ['digest', 'Bea', 'S-2'],
  ])
})

test('two managers whom nothing reaches do not call for ever', () => {
  const audience = [{ lines: [line('S-1')], audience: [mia, max] }]
  const marked = new Set<string>()
  let waiting = [hold(bo)]
  let count = 0
  while (waiting.length > 0 && count < 100) {
    const [notice, ...rest] = waiting
    if (notice === undefined) break
    const why = marked.has(notice.to.email) ? 'marked' : 'bounced'
    marked.add(notice.to.email)
    count += 1
    waiting = [...rest, ...owedForUndelivered({ notice, why }, audience, today)]
  }
  expect(count).toBeLessThan(20)
})

test('only what says that the address takes no mail marks it', () => {
  expect(undeliveredWhys.filter(marksTheAddress)).toEqual(['bounced', 'complained'])
})

const standings = [
  'in service',
  'due soon',
  'overdue',
  'on hold',
  'awaiting first test',
  'removed from service',
  'scrapped',
] as const
const heldBack = ['on hold', 'awaiting first test', 'removed from service']
const fit = ['in service', 'due soon']
test.each<[NoticeKind, readonly string[]]>([
  ['hold', heldBack],
  ['removal', heldBack],
  ['unanswered', heldBack],
  ['return', fit],
  ['digest', [...fit, 'overdue']],
  ['date brought forward', [...fit, 'overdue']],
  ['reminder', ['due soon', 'overdue', ...heldBack]],
  ['used while unfit', standings],
  ['invitation', standings],
  ['fingerprint', standings],
  ['report', standings],
  ['not delivered', standings],
])('%s still holds of a stick that is by now %j', (kind, by) => {
  const holding = standings.filter((status) => stillHolds(kind, { ...line('S-1'), status }))
  expect(holding).toEqual(by)
})

test('what a notice tells beside its sticks goes on with it, and what it does not tell is not made up', () => {
  const report = { what: 'defect', defect: 'tingle', on: '2026-03-02', reportedBy: 'Ana' } as const
  const used = { on: day('2026-03-01'), unfitOn: day('2026-03-02'), status: 'on hold' } as const
  const more: Partial<OwedNotice> = { report, used, unanswered: ['Al'], cameBackBy: 'release' }
  const passedOn = (notice: OwedNotice) => owedForUndelivered(bounced(notice), oneCrew, today)
  const [told] = passedOn(hold(bo, more)).filter(({ kind }) => kind === 'hold')
  expect(told).toMatchObject(more)
  const [managers] = passedOn(hold(bo, more))
  expect(managers).toMatchObject({
    key: 'not delivered|hold|S-1|bo@demo-utility.example|mia@demo-utility.example',
    report,
  })
  expect(managers).not.toHaveProperty('used')
  const { answer: _, ...unasked } = hold(bo)
  for (const one of passedOn(unasked))
    for (const what of ['answer', 'report', 'used', 'unanswered', 'cameBackBy']) expect(one).not.toHaveProperty(what)
})
