import { everyStick, type RulePack } from './rule-pack.ts'

/**
 * Ordinance on Industrial Safety and Health, Art. 351:
 * - The insulation of insulating protective gear, live-line working tools among it, is inspected once within every 6
 *   months.
 * - The proviso lifts that during a period of non-use exceeding 6 months.
 * - The next paragraph asks for the inspection when use is taken up again.
 */
export const jpOrdinance351: RulePack = {
  id: 'jp-ordinance-351',
  title: 'Insulating gear for live-line work, Ordinance on Industrial Safety and Health (Japan), Art. 351',
  caveat:
    'The 6 months were read in a reprint of the article, the proviso on non-use in a secondary copy; the inspection ' +
    'on resumption is from memory. Non-use counts here only as recorded storage. Whether a bench test like that of ' +
    'this product is the inspection meant, and the edition in force, were not verified. Local codes and the current ' +
    'edition decide.',
  requirements: [
    {
      id: 'jp-ordinance-351-insulation',
      words: 'inspected for its insulation at most every 6 months',
      source: {
        cited: 'Ordinance on Industrial Safety and Health, Art. 351(1), (2)',
        jurisdiction: 'Japan',
        confidence: 'read in a secondary copy',
      },
      evidence: ['dry test'],
      interval: { months: 6 },
      suspendedInStorageAfterMonths: 6,
      appliesTo: everyStick,
      legalMaximum: true,
    },
  ],
}
