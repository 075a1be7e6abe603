/** Orders on a stick that pages and the page behind the link of a mail give in the same words. In Spanish. */

import type { orders as english } from '../en/orders.ts'
import { lines } from '../lines.ts'

export const ordersInSpanish = {
  'do leave at the bench': 'Está en el banco de pruebas: póngale etiqueta de fuera de servicio y déjela allí.',
  'do bring from store': lines(
    'Está en almacén: póngale allí etiqueta de fuera de servicio, no la entregue a nadie y llévela al banco de',
    'pruebas.',
  ),
} as const satisfies { readonly [name in keyof typeof english]: string }
