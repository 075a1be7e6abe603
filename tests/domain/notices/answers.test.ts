/** What must be confirmed as read, and who is told next when nobody does. */
import { describe, expect, test } from 'vitest'
import {
  errandsOf,
  isManager,
  managersIn,
  mustBeAnswered,
  nextUp,
  owedForSilence,
} from '../../../shared-domain/notices/answers.ts'
import { type Addressee, noticeKinds, type OwedNotice, type StickLine } from '../../../shared-domain/notices/notice.ts'
import { day } from '../../support/trade.ts'

const person = (name: string, role: Addressee['role'], more: Partial<Addressee> = {}): Addressee => ({
  name,
  email: `${name.toLowerCase()}@demo-utility.example`,
  role,
  tellInPerson: [],
  ...more,
})
const [ana, al] = [person('Ana', 'crew'), person('Al', 'crew')]
const [bo, bea] = [person('Bo', 'foreman'), person('Bea', 'foreman')]
const [mia, max] = [person('Mia', 'manager'), person('Max', 'manager')]
const oda = person('Oda', 'manager', { owns: true })
const cy = person('Cy', 'foreman', { manages: true })
const ines = person('Ines', 'bench')
const everybody = [ana, al, bo, bea, mia, max, oda]
const names = (all: readonly Addressee[]) => all.map(({ name }) => name)

test('holds, removals and word that nobody answered are to be confirmed, and nothing else', () => {
  expect(noticeKinds.filter(mustBeAnswered)).toEqual(['hold', 'removal', 'unanswered'])
})

test('who manages: a manager, also one of the crew, and no owner', () => {
  expect([ana, bo, ines, mia, cy, oda].map(isManager)).toEqual([false, false, false, true, true, false])
  expect(names(managersIn(everybody))).toEqual(['Mia', 'Max'])
  expect(names(managersIn([ana, cy, oda]))).toEqual(['Cy'])
  expect(names(managersIn([ana, bo, oda]))).toEqual(['Oda'])
})

test.each<[Addressee, readonly Addressee[], string[]]>([
  [ana, everybody, ['Bo', 'Bea']],
  [ana, [ana, mia, oda], ['Mia']],
  [ana, [ana, oda], ['Oda']],
  [bo, everybody, ['Mia', 'Max']],
  [ines, everybody, ['Mia', 'Max']],
  [mia, everybody, ['Oda']],
  [cy, [...everybody, cy], ['Oda']],
  [oda, everybody, []],
])('above $name', (to, audience, above) => {
  expect(names(nextUp(to, audience))).toEqual(above)
})

describe('a hold that nobody has confirmed', () => {
  const line = { stickId: 'S-1', status: 'on hold' } as StickLine
  const hold = (to: Addressee, more: Partial<OwedNotice> = {}): OwedNotice => ({
    kind: 'hold',
    key: `hold|S-1|f|${to.email}`,
    to,
    day: day('2026-03-02'),
    lines: [],
    answer: { about: 'hold|S-1|f', withinHours: 4 },
    ...more,
  })
  const owed = (silent: readonly OwedNotice[], audience = everybody, aManagerKnows = false) =>
    owedForSilence(silent, { audience, lines: [line], day: day('2026-03-03'), aManagerKnows: () => aManagerKnows })

  test('is told to each person next up, naming whoever is silent, as the stick stands by now', () => {
    expect(owed([hold(ana), hold(al)], [ana, al, bo])).toEqual([
      {
        kind: 'unanswered',
        key: 'unanswered|hold|S-1|f|bo@demo-utility.example|hold|S-1|f|al@demo-utility.example|hold|S-1|f|ana@demo-utility.example',
        to: bo,
        day: '2026-03-03',
        lines: [line],
        answer: { about: 'hold|S-1|f', withinHours: 4 },
        unanswered: ['Ana', 'Al'],
      },
    ])
    expect(owed([hold(ana)]).map(({ to }) => to.name)).toEqual(['Bo', 'Bea'])
  })

  test('is the same word whatever order the silent ones are read in', () => {
    const keys = (...silent: OwedNotice[]) => owed(silent).map(({ key }) => key)
    expect(keys(hold(al), hold(ana))).toEqual(keys(hold(ana), hold(al)))
    expect(keys(hold(ana))).not.toEqual(keys(hold(ana), hold(al)))
  })

  test('names those too of whom the silent one was told, each once', () => {
    const silent = [hold(bo, { kind: 'unanswered', unanswered: ['Ana', 'Al'] }), hold(bea, { unanswered: ['Ana'] })]
    expect(owed(silent).map(({ to, unanswered }) => [to.name, unanswered])).toEqual(
      ['Mia', 'Max'].map((name) => [name, ['Ana', 'Al', 'Bo', 'Bea']]),
    )
  })

  test('goes above a manager only where no manager knows', () => {
    expect(owed([hold(mia)]).map(({ to }) => to.name)).toEqual(['Oda'])
    expect(owed([hold(mia)], everybody, true)).toEqual([])
    expect(owed([hold(bo)], everybody, true).map(({ to }) => to.name)).toEqual(['Mia', 'Max'])
  })

  test('takes with it the errand of whoever was silent', () => {
    const kai = { name: 'Kai Brandt', phone: '555 0100' }
    const [told] = owed(
      [hold(ana), hold({ ...bo, tellInPerson: [kai] }), hold({ ...bea, tellInPerson: [kai] })],
      [bo, bea, mia],
    ).filter(({ to }) => to.name === 'Mia')
    expect(told?.to.tellInPerson).toEqual([kai])
  })

  test('is not sent to the silent one under another spelling, and each mailbox gets it once', () => {
    const again = person('Bo L.', 'foreman', { email: 'ANA@demo-utility.example' })
    expect(owed([hold(ana)], [ana, again, bo]).map(({ to }) => to.name)).toEqual(['Bo'])
    const twice = person('Bo Lind', 'foreman', { email: 'BO@demo-utility.example' })
    expect(owed([hold(ana), hold(al)], [ana, al, bo, twice])).toHaveLength(1)
  })

  test('is not asked for where no answer was', () => {
    const { answer: _, ...unasked } = hold(ana)
    expect(owed([unasked])).toEqual([])
    expect(owed([])).toEqual([])
  })
})

test('an errand is given once: the same name at another number is another', () => {
  const kai = { name: 'Kai', phone: '1' }
  const other = { name: 'Kai', phone: '2' }
  const lee = { name: 'Lee', phone: '1' }
  const of = (...tellInPerson: Addressee['tellInPerson']) => person('Bo', 'foreman', { tellInPerson })
  expect(errandsOf([of(kai, other), of(lee, kai), of()])).toEqual([kai, other, lee])
})
