/** Sentences of control charts of checks. */
import { lines } from '../lines.ts'

export const charts = {
  'chart too few': lines(
    'Too few readings for limits. Days with a reading: {$days :figure}; limits take {$least :figure}. Until then look',
    'at what the procedure asks.',
  ),
  'chart reading-outside': 'On {$from :date} the reading left its limits.',
  'chart step-outside': 'On {$from :date} the reading jumped from the one before.',
  'chart above-the-mean': 'From {$from :date} to {$to :date} all readings lie above their mean: it may have drifted.',
  'chart below-the-mean': 'From {$from :date} to {$to :date} all readings lie below their mean: it may have drifted.',
  'chart rising': 'From {$from :date} to {$to :date} each reading is higher than the one before: it drifts.',
  'chart falling': 'From {$from :date} to {$to :date} each reading is lower than the one before: it drifts.',
} as const
