/** What is said of a fleet's year: the advice on intervals, and the lots that stand out. */
import { lines } from '../lines.ts'

export const fleet = {
  'advice too few': lines(
    'Too few to tell. Intervals that came to their end: {$tested :figure}; a word takes {$needed :figure} and all of',
    'them passed, or failures enough.',
  ),
  'advice fits': 'Nothing speaks against the interval.',
  'advice shorten': 'Fewer pass than wanted: {$months :figure} months would fit.',
  'advice none passed': 'None passed. No interval follows from that: look at these sticks now.',
  'advice lengthen': 'More pass than wanted: {$months :figure} months would still fit. No due date moves by this.',
  'advice lengthen, capped': lines(
    'More pass than wanted: {$months :figure} months, the most that the rules allow, would still fit. No due date moves',
    'by this.',
  ),
  'advice all passed': 'All passed, so that how much longer the interval could be does not follow.',
  'advice at its longest': 'More pass than wanted, and the rules allow no longer interval.',
  'advice no longest stated': lines(
    'More pass than wanted. No rule says of all of them how long the interval may be, so none is named.',
  ),
  'lot stands out': lines(
    'Lot {$lot}: {$failed :figure} of {$tested :figure} sticks failed; of all others {$others :figure} of',
    '{$rest :figure}. Chance alone does that in at most {$percent :figure} % of fleets, with {$looked :figure} lots',
    'looked at.',
  ),
  'lots none stand out': 'No lot fails more often than chance would have it. Lots looked at: {$looked :figure}.',
  'lots none to look at': 'No tested stick has a lot on the register, so no lot can be looked at.',
} as const
