/** Orders on a stick that every page gives in the same words: the first line, and below it what to do. In Spanish. */

import type { orders as english } from '../en/orders.ts'
import { lines } from '../lines.ts'

export const ordersInSpanish = {
  'do not use': 'No la use',
  'order look first': 'No la use antes de revisarla',
  'order use': 'Úsela hasta el {$on :date} inclusive',
  'order use, not primary': 'Úsela hasta el {$on :date} inclusive, no para protección principal',
  'order use, no date': 'Úsela: ninguna regla le fija una fecha',
  'order use, no date, not primary': 'Úsela, no para protección principal: ninguna regla le fija una fecha',
  'order look': 'Revísela a más tardar el {$on :date}',
  'order bring': 'Úsela hasta el {$on :date} inclusive, y llévela para entonces al banco de pruebas',
  'order bring to': 'Úsela hasta el {$on :date} inclusive, y llévela para entonces a {$place}',
  'order bring from store':
    'Úsela hasta el {$on :date} inclusive, y llévela para entonces del almacén al banco de pruebas',
  'order get back': 'Puede usarse hasta el {$on :date} inclusive: pídala de vuelta para entonces',
  'order stays at the bench': 'Déjela en el banco de pruebas: su prueba vence el {$on :date}',

  'do clean and look': 'Antes de cada día de uso, límpiela con un paño y revísela.',
  'do clean and look, not primary':
    'No cuente nunca con ella para protección principal. Antes de cada día de uso, límpiela con un paño y revísela.',
  'do until then': 'Puede usarse hasta ese día inclusive. Antes de cada día de uso, límpiela con un paño y revísela.',
  'do until then, not primary': lines(
    'Puede usarse hasta ese día inclusive, pero nunca para protección principal. Antes de cada día de uso, límpiela',
    'con un paño y revísela.',
  ),
  'do look over': 'Revísela donde está y regístrelo. De lo que no esté en buen estado se informa como peligro.',
  'do bring': 'Deje de usarla ahora, póngale etiqueta de fuera de servicio y llévela al banco de pruebas.',
  'do bring to': lines(
    'Deje de usarla ahora, póngale etiqueta de fuera de servicio, llévela a {$place} y entréguela allí en el banco de',
    'pruebas.',
  ),
  'do get back': lines(
    'Está prestada a {$to}: avíseles ahora de que no la usen. Pídala de vuelta, póngale etiqueta de fuera de servicio',
    'y llévela al banco de pruebas.',
  ),
  'do get back to': lines(
    'Está prestada a {$to}: avíseles ahora de que no la usen. Pídala de vuelta, póngale etiqueta de fuera de servicio',
    'y entréguela en el banco de pruebas de {$place}.',
  ),
  'do get back soon': 'Está prestada a {$to}. Pídala de vuelta y llévela para ese día al banco de pruebas.',
  'do get back soon to': lines(
    'Está prestada a {$to}. Pídala de vuelta y entréguela para ese día en el banco de pruebas de {$place}.',
  ),
  'do find': 'Está perdida. Si la tiene usted: póngale etiqueta de fuera de servicio y llévela al banco de pruebas.',
  'do find to': lines(
    'Está perdida. Si la tiene usted: póngale etiqueta de fuera de servicio, llévela a {$place} y entréguela allí en',
    'el banco de pruebas.',
  ),
  'do first test': 'Póngale etiqueta de fuera de servicio y llévela al banco de pruebas para su primera prueba.',
  'do first test to': lines(
    'Póngale etiqueta de fuera de servicio y llévela a {$place} para su primera prueba. Entréguela allí en el banco',
    'de pruebas.',
  ),
  'do hand in': lines(
    'Deje de usarla ahora, póngale etiqueta de fuera de servicio y entréguela. Ninguna prueba la devuelve al',
    'servicio.',
  ),
  'do hand in to': lines(
    'Deje de usarla ahora, póngale etiqueta de fuera de servicio y entréguela en el banco de pruebas de {$place}.',
    'Ninguna prueba la devuelve al servicio.',
  ),
  'do leave at the bench':
    'Está en el banco de pruebas y allí se queda, con su etiqueta de fuera de servicio. No hay nada que llevar.',
  'do bring from store': lines(
    'Está en almacén: póngale allí etiqueta de fuera de servicio, no la entregue a nadie y llévela al banco de',
    'pruebas.',
  ),
} as const satisfies { readonly [name in keyof typeof english]: string }
