/** Sentences of control charts of checks. In Spanish. */

import type { charts as english } from '../en/charts.ts'
import { lines } from '../lines.ts'
import type { Translated } from '../say.ts'

export const chartsInSpanish = {
  'chart too few': lines(
    'Muy pocas lecturas para unos límites. Días con lectura: {$days :figure}; hacen falta {$least :figure}. Hasta',
    'entonces, mire lo que pide el procedimiento.',
  ),
  'chart reading-outside': 'El {$from :date} la lectura salió de sus límites.',
  'chart step-outside': 'El {$from :date} la lectura saltó respecto a la anterior.',
  'chart above-the-mean': lines(
    'Del {$from :date} al {$to :date} todas las lecturas están por encima de su media: puede haberse desviado.',
  ),
  'chart below-the-mean': lines(
    'Del {$from :date} al {$to :date} todas las lecturas están por debajo de su media: puede haberse desviado.',
  ),
  'chart rising': 'Del {$from :date} al {$to :date} cada lectura es mayor que la anterior: se desvía.',
  'chart falling': 'Del {$from :date} al {$to :date} cada lectura es menor que la anterior: se desvía.',
} as const satisfies Translated<typeof english>
