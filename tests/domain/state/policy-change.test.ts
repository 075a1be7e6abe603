/** What another policy would make of a fleet, before it is in force. */
import { describe, expect, test } from 'vitest'
import { noRules } from '../../../shared-domain/policy/rules.ts'
import { replay } from '../../../shared-domain/state/fold.ts'
import { holdFor } from '../../../shared-domain/state/hold.ts'
import { changes, type Effect, effectOf, type Stands, tallyOf } from '../../../shared-domain/state/policy-change.ts'
import { inEnglish } from '../../support/english.ts'
import { aStick, day, happened, history, usPolicy } from '../../support/trade.ts'

const wood = replay(
  history(
    ['2026-03-01', happened.registered({ ...aStick, construction: 'wood' })],
    ['2026-03-02', happened.tested('pass')],
  ),
)

test('a stick is shown as it stands under the rules in force and under those proposed', () => {
  const read = ({ status, dueOn, ...stands }: Stands) => ({ status, dueOn, why: inEnglish.why(stands) })
  const { inForce, proposed } = effectOf(wood, day('2026-03-20'), {
    inForce: usPolicy,
    proposed: { ...usPolicy, woodForbidden: true },
  })
  expect({ inForce: read(inForce), proposed: read(proposed) }).toEqual({
    inForce: { status: 'in service', dueOn: '2028-03-02', why: 'It may be used through 2 March 2028.' },
    proposed: { status: 'on hold', dueOn: '2028-03-02', why: 'The policy in force allows no stick of wood.' },
  })
  expect([inForce.holds, proposed.holds]).toEqual([[], [{ code: 'wood-forbidden' }]])
  expect(effectOf(wood, day('2026-03-20'), { inForce: noRules, proposed: usPolicy }).inForce.status).toBe('on hold')
})

const effect = (
  [status, dueOn]: [Effect['inForce']['status'], string | null],
  [thenStatus, thenDueOn]: [Effect['inForce']['status'], string | null],
): Effect => ({
  inForce: {
    status,
    dueOn: dueOn === null ? null : day(dueOn),
    why: { is: 'why overdue', dueOn: '2026-01-01' },
    holds: [],
  },
  proposed: {
    status: thenStatus,
    dueOn: thenDueOn === null ? null : day(thenDueOn),
    why: { is: 'why held' },
    holds: [holdFor.policyMissing()],
  },
})
const unchanged = effect(['in service', '2027-03-02'], ['in service', '2027-03-02'])
const earlier = effect(['in service', '2027-03-31'], ['in service', '2027-01-01'])
const later = effect(['in service', '2027-01-01'], ['in service', '2027-04-01'])
const runOut = effect(['due soon', '2027-03-02'], ['overdue', '2026-03-02'])
const held = effect(['in service', '2027-03-02'], ['on hold', '2027-03-02'])
const brought = effect(['on hold', null], ['due soon', '2027-03-02'])
const undated = effect(['in service', '2027-03-02'], ['in service', null])

describe('how many sticks it changes', () => {
  test('by status or by date, and not by words alone', () => {
    expect([unchanged, earlier, held, undated].map(changes)).toEqual([false, true, true, true])
  })

  test.each<[string, Effect[], Partial<ReturnType<typeof tallyOf>>]>([
    ['of none', [], { sticks: 0, changed: 0, dueEarlier: 0, dueLater: 0, noLongerFit: 0 }],
    ['one that stays', [unchanged], { sticks: 1, changed: 0, dueEarlier: 0, dueLater: 0, noLongerFit: 0 }],
    ['due earlier', [earlier, unchanged], { sticks: 2, changed: 1, dueEarlier: 1, dueLater: 0, noLongerFit: 0 }],
    ['due later', [later], { changed: 1, dueEarlier: 0, dueLater: 1, noLongerFit: 0 }],
    ['run out', [runOut], { changed: 1, dueEarlier: 1, dueLater: 0, noLongerFit: 1 }],
    ['held', [held], { changed: 1, dueEarlier: 0, dueLater: 0, noLongerFit: 1 }],
    ['brought back', [brought], { changed: 1, dueEarlier: 0, dueLater: 0, noLongerFit: 0 }],
    ['without a date', [undated], { changed: 1, dueEarlier: 0, dueLater: 0, noLongerFit: 0 }],
  ])('%s', (_, effects, tally) => {
    expect(tallyOf(effects)).toMatchObject(tally)
  })

  test('and how many run out in which month, in the order of the months', () => {
    const { dueInMonth } = tallyOf([unchanged, later, earlier, brought])
    expect(Object.entries(dueInMonth)).toEqual([
      ['2027-01', { inForce: 1, proposed: 1 }],
      ['2027-03', { inForce: 2, proposed: 2 }],
      ['2027-04', { inForce: 0, proposed: 1 }],
    ])
  })
})
