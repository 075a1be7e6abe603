/** Sentences of the page of notices, beside those that other pages say too. In Spanish. */

import type { noticeLog as english } from '../en/notice-log.ts'
import { lines } from '../lines.ts'
import type { Translated } from '../say.ts'

export const noticeLogInSpanish = {
  'no stick called': 'Ninguna pértiga se llama “{$name}”. Mire el número en la pértiga, o deje el campo vacío.',
  'not your stick': 'La pértiga {$name} es de otra cuadrilla o base: pregunte a su responsable.',
  'log caption': lines(
    'Los más recientes primero, una fila por aviso con todos sus lectores. Las horas son las del reloj de la base de',
    'la cuadrilla. El número de cada lector está en el asunto de su correo.',
  ),
  'log caption since': lines(
    'Desde el {$on :date}, los más recientes primero, una fila por aviso con todos sus lectores. Las horas son las',
    'del reloj de la base de la cuadrilla. El número de cada lector está en el asunto de su correo.',
  ),
  'log empty': 'Aquí no figura ningún aviso.',
  'show all notices': 'Mostrar todos los avisos',
  'told at': 'Cuándo',
  'readers and outcome': 'Lectores, y qué pasó con él',
  readers: '.input {$readers :integer} .match $readers one {{1 lector}} * {{{$readers} lectores}}',
  'sent to all': 'enviado a todos',
  'sent to some': 'enviado a {$sent :figure}',
  'confirmed by': 'confirmado por {$names}',
  'confirmed by nobody': 'nadie lo ha confirmado todavía',
  'each reader': 'Cada lector',
  'sent at': 'enviado {$when}',
  'next notices': 'Avisos más antiguos',
  'previous notices': 'Avisos más nuevos',
  'newest notices': 'Avisos más recientes',
  'more addresses': 'y {$more :integer} más',
} as const satisfies Translated<typeof english>
