/** What must be confirmed as read, and who is told next when nobody does. */
import { describe, expect, test } from 'vitest'
import {
  aboutOf,
  errandsOf,
  isManager,
  managersIn,
  mustBeConfirmed,
  nextUp,
  owedForSilence,
  whoIsAsked,
} from '../../../shared-domain/notices/confirmations.ts'
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

test('holds, removals, recalls and word that nobody answered are to be confirmed, and nothing else', () => {
  expect(noticeKinds.filter(mustBeConfirmed)).toEqual(['hold', 'removal', 'recall', 'unanswered'])
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
  const owed = (silent: readonly OwedNotice[], audience = everybody, aManagerKnows = false, lines = [line]) =>
    owedForSilence(
      silent.map((notice) => ({ notice, open: [{ lines, audience }], aManagerKnows })),
      day('2026-03-03'),
    )

  test('is told to each person next up, naming whoever is silent, as the stick stands by now', () => {
    expect(owed([hold(ana), hold(al)], [ana, al, bo])).toEqual([
      {
        kind: 'unanswered',
        key: 'unanswered|2026-03-03|bo@demo-utility.example',
        to: bo,
        day: '2026-03-03',
        lines: [line],
        answer: { about: 'unanswered|2026-03-03', withinHours: 4 },
        unanswered: ['Ana', 'Al'],
      },
    ])
    expect(owed([hold(ana)]).map(({ to }) => to.name)).toEqual(['Bo', 'Bea'])
  })

  test('is one list a person and day, whatever is silent of it', () => {
    const other = { ...line, stickId: 'S-2' }
    const lists = owedForSilence(
      [
        { notice: hold(ana), open: [{ lines: [line], audience: [ana, bo] }], aManagerKnows: false },
        { notice: hold(al), open: [{ lines: [line, other], audience: [al, bo] }], aManagerKnows: false },
      ],
      day('2026-03-03'),
    )
    expect(lists.map(({ to, lines }) => [to.name, lines.map(({ stickId }) => stickId)])).toEqual([
      ['Bo', ['S-1', 'S-2']],
    ])
    expect(owed([hold(ana)]).map(({ key }) => key)).toEqual(owed([hold(al)]).map(({ key }) => key))
  })

  test('is about what was to be confirmed first, however far it has climbed', () => {
    expect(aboutOf(line, hold(ana))).toBe('hold|S-1|f')
    expect(
      aboutOf(
        { ...line, about: 'hold|S-1|f' },
        { kind: 'unanswered', answer: { about: 'unanswered|2026-03-03', withinHours: 4 } },
      ),
    ).toBe('hold|S-1|f')
  })

  test('is nothing of a stick that a reminder names for its date alone', () => {
    const reminder = { kind: 'reminder', answer: { about: 'reminder|f', withinHours: 4 } } as const
    expect(aboutOf(line, reminder)).toBeUndefined()
    expect(aboutOf({ ...line, about: 'hold|S-1|f' }, reminder)).toBe('hold|S-1|f')
  })

  test('is nothing where all of it is known or over', () => {
    expect(owedForSilence([{ notice: hold(ana), open: [], aManagerKnows: false }], day('2026-03-03'))).toEqual([])
    expect(owedForSilence([], day('2026-03-03'))).toEqual([])
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

  test('is to be confirmed by the shortest of the times that were given', () => {
    const answer = { about: 'hold|S-1|f', withinHours: 1 }
    expect(owed([hold(ana), hold(al, { answer })], [ana, al, bo])[0]?.answer?.withinHours).toBe(1)
  })
})

test('asked to confirm is the crew, of whom one is enough; where none of them has mail, whoever is above', () => {
  expect(names(whoIsAsked(everybody))).toEqual(['Ana', 'Al', 'Bo', 'Bea'])
  expect(names(whoIsAsked([cy, mia, oda]))).toEqual(['Cy'])
  expect(names(whoIsAsked([ines, mia, max]))).toEqual(['Mia', 'Max'])
  expect(names(whoIsAsked([ines, oda]))).toEqual(['Oda'])
})

test('an errand is given once: the same name at another number is another', () => {
  const kai = { name: 'Kai', phone: '1' }
  const other = { name: 'Kai', phone: '2' }
  const lee = { name: 'Lee', phone: '1' }
  const of = (...tellInPerson: Addressee['tellInPerson']) => person('Bo', 'foreman', { tellInPerson })
  expect(errandsOf([of(kai, other), of(lee, kai), of()])).toEqual([kai, other, lee])
})
