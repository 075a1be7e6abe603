/** Sentences of the folder by which a stranger checks the records of a stick. In Spanish. */

import type { proof as english } from '../en/proof.ts'
import { lines } from '../lines.ts'

export const proofInSpanish = {
  'offer proof': 'Prueba de sus registros, en una carpeta para guardar',
  'proof title': 'Prueba de los registros de la pértiga {$stick}',
  'proof of': 'Lo que {$organisation} ha registrado de la pértiga {$stick}. Obtenida {$when}.',
  'proof on': 'Muestra la pértiga como estaba el {$on :date}.',
  'proof as known': 'Muestra lo que se sabía el {$on :date}. Lo registrado después no figura.',
  'proof how it stood': 'Cómo estaba el {$on :date}',
  'proof due': 'Vence el {$on :date}.',
  'proof what it shows': lines(
    'Muestra que estos registros son los que se hicieron en su momento, y que ninguno se alteró ni se quitó desde',
    'entonces. No muestra que lo que alguien registró fuera cierto.',
  ),
  'proof all records': 'Todo lo registrado',
  'proof number': 'Número',
  'proof place in tree': 'Lugar en el árbol',
  'proof none yet': 'ninguno todavía: demasiado reciente',
  'proof test of': 'Prueba de banco del {$on :date}',
  'proof place': 'Lugar',
  'proof reading': 'Lectura',
  'proof microamps': '{$read :figure} µA',
  'proof fingerprints': 'Huellas de todos los registros',
  'proof mailed': lines(
    'Los titulares reciben por correo la huella de cada día en que se registró algo. Aquí están las de los últimos',
    'días y, de cada mes anterior, la última.',
  ),
  'proof records then': lines(
    '.input {$records :integer} .match $records',
    'one {{{$on :date}, de 1 registro}}',
    '* {{{$on :date}, de {$records} registros}}',
  ),
  'proof how to check': 'Cómo comprobarla',
  'proof check': lines(
    'Descomprima esta carpeta en una computadora que tenga Node, versión 20 o posterior. En la carpeta, escriba la',
    'línea de abajo. No necesita red ni nada del servicio que hizo la carpeta.',
  ),
  'proof compare': lines(
    'Pida después a un titular un correo con una huella, mejor una antigua, y escríbala tras la línea, entre comillas.',
    'Solo esto muestra que no se inventó todo después.',
  ),
} as const satisfies { readonly [name in keyof typeof english]: string }
