/** Sentences of the roster and its head. In Spanish. */

import type { morning as english } from '../en/morning.ts'
import { lines } from '../lines.ts'
import type { Translated } from '../say.ts'

export const morningInSpanish = {
  'find stick': 'Buscar una pértiga por cualquier parte de su número',
  'find hint': 'Número',
  find: 'Buscar',

  'band name': 'Lo pendiente',
  'as of': 'Situación: {$when}',
  'over a thousand': 'más de 1000',
  'band overdue': 'vencidas',
  'band held': 'retenidas',
  'band urgent': '{$count} aún en manos, sin confirmar',
  'band soon': '.input {$days :integer} .match $days one {{vencen en 1 día}} * {{vencen en {$days} días}}',
  'band untested': 'sin primera prueba',
  'band proposals': 'cambios por aprobar',

  'any status': 'todas: en uso o retenidas',
  choose: 'Elegir qué se muestra',
  'more choices': 'Lote, almacén, préstamos',
  'fit in store': 'Aptas, en el almacén de',
  'no store': 'cualquier sitio',
  loans: 'Prestadas',
  'loans or not': 'prestadas o no',
  'loans only': 'solo prestadas',
  grouped: 'Agrupadas',
  'not grouped': 'sin agrupar',
  'grouped by crew': 'por cuadrilla',

  shown: 'Se muestran',
  'all worst first': 'todas las que están en uso o retenidas, lo peor primero',
  'rows of': '{$from :integer}–{$to :integer} de {$total}',
  rows: '{$from :integer}–{$to :integer}',
  'take off': 'Quitar esto',
  'chosen number': 'número con “{$part}”',
  'chosen lot': 'lote {$lot}',
  'chosen store': 'aptas, en el almacén de {$depot}',
  'show all': 'Mostrar todas',
  'as file': 'Guardar como archivo (CSV)',
  'group by crew': 'Agrupar por cuadrilla',
  'previous sticks': 'Anteriores',
  'first sticks': 'Primera página',

  'roster list': 'Pértigas',
  'where and crew': 'Dónde, y de quién',
  'why and note': 'Motivo, y qué más',
  'of crew': 'de {$crew}',
  'of no crew': 'De ninguna cuadrilla',
  'loan late': '.input {$days :integer} .match $days one {{1 día de retraso}} * {{{$days} días de retraso}}',
  'in group': '.input {$sticks :integer} .match $sticks one {{1 pértiga}} * {{{$sticks} pértigas}}',
  'groups go on': 'En la página siguiente puede haber más pértigas de estas cuadrillas.',

  'nothing listed': 'Todavía no hay ninguna pértiga en la lista.',
  'nothing found': 'No hay ninguna pértiga de lo que se pide: {$asked}.',
  'gone too': 'Fuera de uso para siempre:',
  'gone removed': lines(
    '.input {$sticks :integer} .match $sticks one {{1 pértiga retirada del servicio}} * {{{$sticks} pértigas',
    'retiradas del servicio}}',
  ),
  'gone scrapped':
    '.input {$sticks :integer} .match $sticks one {{1 pértiga desechada}} * {{{$sticks} pértigas desechadas}}',
  'searched so far': lines(
    'No se encontró todo: se miraron {$looked :integer} números, y se muestran como mucho {$most :integer} pértigas.',
    'Elija una base o una cuadrilla, o escriba más del número.',
  ),
  'looked so far': 'Puede haber más. Por ahora se miró solo una parte de las pértigas que hay allí.',
  'no such lot': 'No se conoce tal lote',

  'file stick': 'Pértiga',
  'file use': 'Puede usarse',
  'file yes': 'sí',
  'file no': 'no, no la use',
  'file due': 'Vence el',
  'file days': 'Días que quedan',
  'file depot': 'Base',
  'file back': 'Devolver antes del',
  'file not confirmed': 'Sin confirmar por',
  'file note': 'Etiqueta',
} as const satisfies Translated<typeof english>
