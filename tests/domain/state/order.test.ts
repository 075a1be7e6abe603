/** The order on a stick: one line for each way in which it can stand and lie, worked out here by hand. */
import { describe, expect, test } from 'vitest'
import { english } from '../../../shared-domain/catalogue/en/language.ts'
import { orders } from '../../../shared-domain/catalogue/en/orders.ts'
import { ordersInSpanish } from '../../../shared-domain/catalogue/es/orders.ts'
import { orderOn, type ToOrder } from '../../../shared-domain/state/order.ts'
import { mayBeUsed } from '../../../shared-domain/state/use.ts'
import { wordingIn } from '../../../shared-domain/wording.ts'
import { statuses } from '../../../shared-domain/words.ts'
import { day } from '../../support/trade.ts'

const wording = wordingIn(english, 'metric', orders)
const places = ['in hands', 'lent', 'bench', 'store', 'missing'] as const
const stick = (over: Partial<ToOrder>): ToOrder => ({
  status: 'in service',
  dueOn: day('2028-03-02'),
  why: { is: 'why in service', dueOn: day('2028-03-02') },
  lies: 'in hands',
  lentTo: over.lies === 'lent' ? 'Neighbours' : undefined,
  place: 'North yard',
  ...over,
})

const saidBy = (one: ToOrder) => {
  const { line, errand } = orderOn(one)
  return [line, errand].map(({ is, ...values }) => wording.told({ code: is, says: { is, ...values } }))
}

test.each<[Partial<ToOrder>, string, string]>([
  [{}, 'Use it through 2 March 2028', 'Before each day of use wipe it clean and look it over.'],
  [
    { notPrimary: true },
    'Use it through 2 March 2028, not for primary protection',
    'Never rely on it for primary protection. Before each day of use wipe it clean and look it over.',
  ],
  [{ dueOn: null }, 'Use it: no rule sets it a date', 'Before each day of use wipe it clean and look it over.'],
  [
    { status: 'due soon' },
    'Use it through 2 March 2028, and bring it to North yard by then',
    'It may be used through that day. Before each day of use wipe it clean and look it over.',
  ],
  [
    { status: 'due soon', place: null },
    'Use it through 2 March 2028, and bring it to the bench by then',
    'It may be used through that day. Before each day of use wipe it clean and look it over.',
  ],
  [
    { status: 'due soon', duty: 'look' },
    'Look it over by 2 March 2028',
    'Look it over where it lies, and record that. Whatever is not sound is reported as a danger.',
  ],
  [
    { status: 'overdue' },
    'Do not use it',
    'Stop using it now, tag it, bring it to North yard, and give it to the bench there.',
  ],
  [
    { status: 'overdue', duty: 'look' },
    'Do not use it before it is looked over',
    'Look it over where it lies, and record that. Whatever is not sound is reported as a danger.',
  ],
  [
    { status: 'on hold' },
    'Do not use it',
    'Stop using it now, tag it, bring it to North yard, and give it to the bench there.',
  ],
  [
    { status: 'on hold', lies: 'bench' },
    'Do not use it',
    'It is at the bench, and stays there with its tag. You have nothing to bring.',
  ],
  [
    { status: 'on hold', lies: 'store' },
    'Do not use it',
    'It is in store: tag it there, give it to nobody, and bring it to the bench.',
  ],
  [
    { status: 'on hold', lies: 'lent' },
    'Do not use it',
    'It is lent to Neighbours: tell them now not to use it. Get it back, tag it, and give it to the bench at ' +
      'North yard.',
  ],
  [
    { status: 'on hold', lies: 'missing' },
    'Do not use it',
    'It is missing. If you have it: tag it, bring it to North yard, and give it to the bench there.',
  ],
  [
    { status: 'awaiting first test', dueOn: null },
    'Do not use it',
    'Tag it and bring it to North yard for its first test. Give it to the bench there.',
  ],
  [
    { status: 'awaiting first test', dueOn: null, why: { is: 'why not looked over yet' } },
    'Do not use it before it is looked over',
    'Look it over where it lies, and record that. Whatever is not sound is reported as a danger.',
  ],
  [
    { status: 'removed from service' },
    'Do not use it',
    'Stop using it now, tag it, and hand it in to the bench at North yard. No test brings it back.',
  ],
  [
    { status: 'scrapped', place: null },
    'Do not use it',
    'Stop using it now, tag it, and hand it in. No test brings it back.',
  ],
])('%j: %s', (over, line, errand) => {
  expect(saidBy(stick(over))).toEqual([line, errand])
})

describe.each(statuses)('whatever else is so of a stick %s', (status) => {
  const all = places.flatMap((lies) =>
    ([undefined, 'look'] as const).flatMap((duty) =>
      [null, 'North yard'].flatMap((place) =>
        [null, day('2028-03-02')].flatMap((dueOn) =>
          ([undefined, true] as const).map((notPrimary) => stick({ status, lies, duty, place, dueOn, notPrimary })),
        ),
      ),
    ),
  )

  test('its first line says not to use it, or says what to do, as it may be used', () => {
    for (const one of all) {
      const [line = ''] = saidBy(one)
      // whoever finds one that is missing does not use it, however it stands
      const stops = !mayBeUsed(status) || one.lies === 'missing'
      expect([line, line.startsWith('Do not use it')]).toEqual([line, stops])
      expect(line).not.toMatch(/[{}]|has no words/)
    }
  })

  test('what to do names nothing that is not known', () => {
    for (const one of all) {
      const said = saidBy(one).join(' ')
      expect(said).not.toMatch(/undefined|null|[{}]|has no words/)
      if (one.place === null) expect(said).not.toContain('North yard')
    }
  })
})

test('every sentence of orders is given by some stick, in either language', () => {
  const given = new Set(
    statuses.flatMap((status) =>
      places.flatMap((lies) =>
        ([undefined, 'look'] as const).flatMap((duty) =>
          [null, 'North yard'].flatMap((place) =>
            [null, day('2028-03-02')].flatMap((dueOn) =>
              ([undefined, true] as const).flatMap((notPrimary) => {
                const { line, errand } = orderOn(stick({ status, lies, duty, place, dueOn, notPrimary }))
                return [line.is, errand.is]
              }),
            ),
          ),
        ),
      ),
    ),
  )
  expect(Object.keys(orders).filter((name) => !given.has(name as keyof typeof orders))).toEqual([])
  expect(Object.keys(ordersInSpanish).sort()).toEqual(Object.keys(orders).sort())
})
