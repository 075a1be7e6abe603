/** Who is written to where somebody asks for a reminder, of what, and what is left out. */
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { Instant } from '../../../shared-domain/calendar.ts'
import { type ChosenStick, owedForReminder, remindedForSeconds } from '../../../shared-domain/notices/reminder.ts'
import type { Crew, Person } from '../../../shared-domain/registers.ts'
import type { Standing } from '../../../shared-domain/state/standing.ts'
import { statuses } from '../../../shared-domain/words.ts'
import { aCrew, day } from '../../support/trade.ts'

const at = '2026-03-02T20:05:00.000Z' as Instant
const asked = { factId: 'f-1', by: 'Mia Okafor', at }
const mia: Person = { name: 'Mia Okafor', email: 'mia@demo.example', role: 'manager', depots: ['*'] }
const kai = { name: 'Kai Brandt', phone: '555 0100', role: 'crew' as const }
const crewOf = (...recipients: Crew['recipients']): Crew => ({ ...aCrew, recipients })

const standing = (over: Partial<Standing> = {}): Standing => ({
  status: 'overdue',
  dueOn: day('2026-02-20'),
  daysOverdue: 10,
  governedBy: null,
  clocks: [],
  holds: [],
  custody: { crewId: 'CR-1' },
  why: { code: 'no-clock' } as never, // of no matter here
  ...over,
})

function stick(
  stickId: string,
  over: Partial<ChosenStick> & { readonly stands?: Partial<Standing> } = {},
): ChosenStick {
  const { stands, ...rest } = over
  return {
    belonging: { stickId, crewId: 'CR-1', crewName: 'Crew one', depotName: 'North yard' },
    standing: standing(stands),
    who: { crew: aCrew, people: [mia], depotId: 'DEP-1' },
    zone: 'America/Chicago',
    loan: null,
    answerWithinHours: 4,
    ...rest,
  }
}

const codes = (chosen: readonly ChosenStick[]) =>
  owedForReminder(chosen, asked).leftOut.map(({ reason }) => reason.code)
const told = (chosen: readonly ChosenStick[]) =>
  owedForReminder(chosen, asked).notices.map(({ to, lines }) => [to.name, lines.map(({ stickId }) => stickId)])

describe('the readers', () => {
  test('are the crew and its foremen, one mail each for all sticks, the oldest due date first', () => {
    const later = stick('S-2', { stands: { status: 'due soon', dueOn: day('2026-03-20'), daysOverdue: 0 } })
    expect(told([later, stick('S-1')])).toEqual([
      ['Ana Ferro', ['S-1', 'S-2']],
      ['Bo Lind', ['S-1', 'S-2']],
    ])
  })

  test('are whoever is next above where nobody of the crew has mail, with the errand to tell them', () => {
    const { notices } = owedForReminder(
      [stick('S-1', { who: { crew: crewOf(kai), people: [mia], depotId: null } })],
      asked,
    )
    expect(notices.map(({ to }) => [to.name, to.tellInPerson])).toEqual([
      ['Mia Okafor', [{ name: 'Kai Brandt', phone: '555 0100' }]],
    ])
  })

  test('hear who asked, and when by the clock where the first stick lies', () => {
    const [notice] = owedForReminder([stick('S-1')], { ...asked, note: 'Bring them on Friday.' }).notices
    expect([notice?.day, notice?.reminder]).toEqual([
      '2026-03-02',
      { by: 'Mia Okafor', on: '2026-03-02', at: '14:05', note: 'Bring them on Friday.' },
    ])
    expect(owedForReminder([stick('S-1', { zone: 'Pacific/Auckland' })], asked).notices[0]?.reminder).toMatchObject({
      on: '2026-03-03',
      at: '09:05',
    })
  })
})

describe('a hold that nobody of the crew has confirmed', () => {
  const held = { about: 'hold|S-1|f', confirmed: false }
  const onHold = { status: 'on hold' as const, dueOn: null, daysOverdue: 0 }

  test('is asked about, and confirmed by the reminder’s own link', () => {
    const { notices } = owedForReminder([stick('S-1', { held, stands: onHold }), stick('S-2')], asked)
    expect(notices.map(({ answer }) => answer)).toEqual([
      { about: 'reminder|f-1', withinHours: 4 },
      { about: 'reminder|f-1', withinHours: 4 },
    ])
    expect(notices[0]?.lines.map(({ stickId, about }) => [stickId, about])).toEqual([
      ['S-1', 'hold|S-1|f'],
      ['S-2', undefined],
    ])
  })

  test.each([
    ['confirmed already', { ...held, confirmed: true }],
    ['told of to nobody', { confirmed: false }],
  ])('is not asked about where it is %s', (_, known) => {
    const [notice] = owedForReminder([stick('S-1', { held: known, stands: onHold })], asked).notices
    expect([notice?.answer, notice?.lines[0]?.about]).toEqual([undefined, undefined])
  })
})

describe('left out', () => {
  test('is what is not due, by its status', () => {
    const left = statuses.filter((status) => codes([stick('S-1', { stands: { status } })]).length > 0)
    expect(left).toEqual(['scrapped', 'in service'])
  })

  test.each([
    ['at the bench', { bench: 'DEP-1' }, true],
    ['in store', { store: 'DEP-1' }, true],
    ['nowhere that is known', null, true],
    ['lent out', { lentTo: 'Somebody', returnBy: day('2026-03-10') }, false],
    ['with its crew', { crewId: 'CR-1' }, false],
  ])('is a stick that must not be used and is %s', (_, custody, isLeftOut) => {
    const said = codes([stick('S-1', { stands: { status: 'on hold', custody } })])
    expect(said).toEqual(isLeftOut ? ['nobody-to-bring-it-in'] : [])
  })

  test('is a stick of which nobody can be told', () => {
    const nobody = { crew: crewOf(kai), people: [], depotId: 'DEP-1' }
    expect(codes([stick('S-1', { who: nobody })])).toEqual(['nobody-to-remind'])
    expect(told([stick('S-1', { who: nobody }), stick('S-2')]).flat()).not.toContain('S-1')
  })

  test('is one reminded of within the hour, by whom and when', () => {
    const ago = (seconds: number) => ({
      by: 'Max Holm',
      at: new Date(Date.parse(at) - seconds * 1000).toISOString() as Instant,
    })
    const { leftOut } = owedForReminder([stick('S-1', { reminded: ago(remindedForSeconds - 1) })], asked)
    expect(leftOut[0]?.reason.says).toMatchObject({ by: 'Max Holm', at: '13:05', stick: 'S-1' })
    expect(codes([stick('S-1', { reminded: ago(remindedForSeconds) })])).toEqual([])
  })
})

/** Small crews that share people, sticks in any standing. */
const people = ['ana', 'bo', 'cy', 'di', 'ANA']
const recipients = fc.uniqueArray(fc.constantFrom(...people), { maxLength: 4 }).map((names) =>
  names.map((name, i) => ({
    name,
    email: `${name}@crew.example`,
    role: i === 0 ? ('foreman' as const) : ('crew' as const),
  })),
)
const aStickOfAny = fc
  .record({
    id: fc.integer({ min: 1, max: 99 }),
    of: recipients,
    status: fc.constantFrom(...statuses),
    inHands: fc.boolean(),
  })
  .map(({ id, of, status, inHands }) =>
    stick(`S-${id}`, {
      who: { crew: crewOf(...of), people: of.length % 2 === 0 ? [mia] : [], depotId: null },
      held: { about: `hold|S-${id}|f`, confirmed: false },
      stands: { status, custody: inHands ? { crewId: 'CR-1' } : null },
    }),
  )
const chosenSticks = fc.uniqueArray(aStickOfAny, { maxLength: 12, selector: ({ belonging }) => belonging.stickId })

describe('whatever is chosen', () => {
  test('each stick is either left out or told of, to each of its readers in exactly one mail', () => {
    fc.assert(
      fc.property(chosenSticks, (chosen) => {
        const { notices, leftOut } = owedForReminder(chosen, asked)
        const out = new Set(leftOut.map(({ stickId }) => stickId))
        const mailboxes = notices.map(({ to }) => to.email.toLowerCase())
        expect(new Set(mailboxes).size).toBe(mailboxes.length)
        for (const { belonging, who } of chosen) {
          const { stickId } = belonging
          const readers = notices.filter(({ lines }) => lines.some((line) => line.stickId === stickId))
          const own = who.crew?.recipients.map(({ email }) => email?.toLowerCase() ?? '') ?? []
          const expected = own.length > 0 ? own : who.people.map(({ email }) => email)
          expect(readers.map(({ to }) => to.email.toLowerCase()).sort()).toEqual(
            out.has(stickId) ? [] : [...new Set(expected)].sort(),
          )
        }
      }),
    )
  })

  test('asked for again under the same id it owes notices of the same keys, and under another id none of them', () => {
    const keysOf = (chosen: readonly ChosenStick[], factId: string) =>
      owedForReminder(chosen, { ...asked, factId }).notices.map(({ key }) => key)
    fc.assert(
      fc.property(chosenSticks, (chosen) => {
        const keys = keysOf(chosen, 'f-1')
        expect(keysOf([...chosen].reverse(), 'f-1').sort()).toEqual([...keys].sort())
        expect(keysOf(chosen, 'f-2').filter((key) => keys.includes(key))).toEqual([])
        expect(new Set(keys).size).toBe(keys.length)
      }),
    )
  })

  test('readers are asked to confirm where a stick of theirs has a hold nobody confirmed, and only there', () => {
    fc.assert(
      fc.property(chosenSticks, (chosen) => {
        for (const { answer, lines } of owedForReminder(chosen, asked).notices)
          expect(answer !== undefined).toBe(lines.some(({ about }) => about !== undefined))
      }),
    )
  })

  test('keys differ only in the mailbox where all else is the same', () => {
    fc.assert(
      fc.property(chosenSticks, (chosen) => {
        const { notices } = owedForReminder(chosen, asked)
        for (const one of notices)
          for (const other of notices) {
            const without = ({ key, to }: typeof one) => key.slice(0, -to.email.length)
            const content = ({ to: _, key: __, ...rest }: typeof one) => rest
            if (without(one) === without(other)) expect(content(one)).toEqual(content(other))
          }
      }),
    )
  })
})
