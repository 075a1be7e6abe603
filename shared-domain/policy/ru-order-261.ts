import type { Requirement } from './requirement.ts'
import { everyStick, type RulePack } from './rule-pack.ts'

/**
 * Order 261 of the Ministry of Energy, SO 153-34.03.603-2003:
 * - Annex 7 has insulating sticks tested once in 24 months (measuring sticks stand apart).
 * - The responsible person looks at presence and condition of all protective means at least every 6 months.
 * Nothing that was read says how the months count. Months to the day, clamped, never end later than the anniversary.
 */
const order: Pick<Requirement['source'], 'edition' | 'jurisdiction'> = {
  edition: '30 June 2003',
  jurisdiction: 'Russia',
}

export const ruOrder261: RulePack = {
  id: 'ru-order-261',
  title: 'Insulating sticks, Ministry of Energy Order 261 of 30 June 2003 (Russia)',
  caveat:
    'The 24 months were read in a copy of Annex 7, the look every 6 months in a secondary copy. Measuring sticks ' +
    'have a line of their own, which was not read, and are not covered. Whether the order is still in force was not ' +
    'verified. Local codes and the current edition decide.',
  requirements: [
    {
      id: 'ru-order-261-electrical',
      words: 'tested electrically at most every 24 months',
      source: { ...order, cited: 'Order 261, Annex 7', confidence: 'read in a copy of the rule' },
      evidence: ['dry test'],
      interval: { months: 24 },
      appliesTo: everyStick,
      legalMaximum: true,
    },
    {
      id: 'ru-order-261-condition',
      words: 'looked over for presence and condition at most every 6 months',
      source: {
        ...order,
        cited: 'Order 261, register and periodic inspection of protective means',
        confidence: 'read in a secondary copy',
      },
      evidence: ['condition check'],
      interval: { months: 6 },
      appliesTo: everyStick,
      legalMaximum: true,
    },
  ],
}
