/** What is said of a fleet's year: the advice on intervals, and the lots that stand out. In Spanish. */

import type { fleet as english } from '../en/fleet.ts'
import { lines } from '../lines.ts'
import type { Translated } from '../say.ts'

export const fleetInSpanish = {
  'advice too few': lines(
    'Muy pocos para decir algo. Intervalos que llegaron a su fin: {$tested :figure}; hacen falta {$needed :figure} y',
    'todos satisfactorios, o fallos bastantes.',
  ),
  'advice fits': 'Nada habla contra el intervalo.',
  'advice shorten': 'Pasan menos de los deseados: convendrían {$months :figure} meses.',
  'advice none passed': 'Ninguna pasó. De ahí no se sigue ningún intervalo: mire estas pértigas ahora.',
  'advice lengthen': lines(
    'Pasan más de los deseados: aún convendrían {$months :figure} meses. Ninguna fecha cambia por esto.',
  ),
  'advice lengthen, capped': lines(
    'Pasan más de los deseados: aún convendrían {$months :figure} meses, lo máximo que permiten las reglas. Ninguna',
    'fecha cambia por esto.',
  ),
  'advice all passed': 'Pasaron todas, así que no se sigue cuánto más largo podría ser el intervalo.',
  'advice at its longest': 'Pasan más de los deseados, y las reglas no permiten un intervalo más largo.',
  'advice no longest stated': lines(
    'Pasan más de los deseados. Ninguna regla dice de todas ellas cuánto puede durar el intervalo, así que no se',
    'nombra ninguno.',
  ),
  'lot stands out': lines(
    'Lote {$lot}: fallaron {$failed :figure} de {$tested :figure} pértigas; de las demás, {$others :figure} de',
    '{$rest :figure}. El azar solo hace eso en el {$percent :figure} % de los parques como mucho, con {$looked :figure}',
    'lotes mirados.',
  ),
  'lots none stand out': 'Ningún lote falla más de lo que haría el azar. Lotes mirados: {$looked :figure}.',
  'lots none to look at': 'Ninguna pértiga probada tiene lote en el registro, así que no se puede mirar ninguno.',
} as const satisfies Translated<typeof english>
