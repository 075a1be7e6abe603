/** What mails say of many sticks at once, of a calibration, and of what no fact brought: in both languages. */
import { describe, expect, test } from 'vitest'
import type { Notice } from '../../functions/store/notices.ts'
import type { StickLine } from '../../shared-domain/notices/notice.ts'
import { holdFor } from '../../shared-domain/state/hold.ts'
import { messageOf } from '../support/mails.ts'
import { day } from '../support/trade.ts'

const held = (stickId: string): StickLine => ({
  stickId,
  crewId: 'CR-1',
  crewName: 'Crew one',
  status: 'on hold',
  dueOn: null,
  daysLeft: null,
  bringTo: 'North yard',
  why: '',
  source: null,
  holds: [holdFor.woodForbidden()],
})

const mail = (over: Partial<Notice>, language: 'en' | 'es' = 'en') =>
  messageOf(
    {
      kind: 'hold',
      key: 'hold',
      to: { name: 'Bo Lind', email: 'bo@crew-one.example', role: 'foreman', tellInPerson: [], language },
      day: day('2026-03-02'),
      lines: [held('W-1')],
      number: 'AB12-CD34-EF56',
      organisation: 'demo-utility',
      owedAt: '2026-03-02T15:00:00.000Z',
      state: 'owed',
      ...over,
    } as Notice,
    'https://pages.example',
  )

/** Without addresses, which are the same in each language. */
const spanish = (over: Partial<Notice>) => mail(over, 'es').text.replace(/https?:\S+/g, '')

describe('a mail about many sticks', () => {
  test.each([
    ['hold', 'rules', 2, 3, '5 sticks are on hold since the rules changed: do not use them'],
    ['hold', 'rules', 1, 0, 'Stick W-1 is on hold since the rules changed: do not use it'],
    ['hold', 'day', 2, 0, '2 sticks are on hold from today: do not use them'],
    ['hold', 'day', 1, 0, 'Stick W-1 is on hold: do not use it'],
    ['return', 'rules', 2, 0, '2 sticks are back in service since the rules changed'],
    ['return', 'rules', 1, 0, 'Stick W-1 is back in service since the rules changed'],
    ['return', 'day', 2, 0, '2 sticks are back in service from today'],
    ['unanswered', undefined, 2, 0, '2 sticks must not be used, and not all have confirmed it'],
  ] as const)('of the kind %s, by %s, names %i and counts %i more: %s', (kind, cause, named, more, subject) => {
    const lines = ['W-1', 'W-2'].slice(0, named).map(held)
    const over = { kind, lines, ...(cause && { cause }), ...(more > 0 && { more }) }
    const said = mail(over)
    expect(said.subject).toBe(`${subject} [AB12-CD34-EF56]`)
    for (const { stickId } of lines) expect(said.text).toContain(`Stick ${stickId}`)
    if (more > 0) expect(said.text).toContain('and 3 more on the roster')
    if (cause !== undefined)
      expect(said.text).toContain(`Nothing happened to the ${named === 1 ? 'stick itself' : 'sticks themselves'}.`)
    expect(spanish(over)).not.toMatch(/\b(the|stick|sticks|rules|changed|nobody)\b/i)
  })

  test('of a calibration names the instrument and its last day', () => {
    const calibration = { instrumentId: 'INS-1', through: day('2026-03-09'), daysLeft: 7 }
    const over = { kind: 'calibration' as const, lines: [], calibration }
    expect(mail(over).subject).toContain('Instrument INS-1: its calibration runs out on 9 March 2026')
    expect(mail({ ...over, calibration: { ...calibration, daysLeft: -1 } }).text).toContain(
      'Do not test with instrument INS-1',
    )
    expect(spanish(over)).not.toMatch(/\b(the|stick|instrument|calibration|test)\b/i)
  })
})
