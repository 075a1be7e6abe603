/** Sentences of the page on which a notice is confirmed as read. In Spanish. */

import type { confirmation as english } from '../en/confirmation.ts'
import { lines } from '../lines.ts'
import { calendarInSpanish } from './calendar.ts'
import { ordersInSpanish } from './orders.ts'

export const confirmationInSpanish = {
  ...ordersInSpanish,
  safety: calendarInSpanish.safety,
  'what this is': 'Pruebas en banco, vencimientos y retenciones de pértigas aislantes',
  'which stick': 'Pértiga {$stick}',
  'order several': '{$sticks :integer} pértigas no deben usarse: no las use',
  'do several': lines(
    'Deje de usarlas ahora y póngale a cada una etiqueta de fuera de servicio. Lleve al banco de pruebas las que',
    'estén fuera y no entregue ninguna a nadie.',
  ),
  'do make sure': 'Asegúrese ahora, por teléfono o en persona, de que lo sepan quienes no lo han confirmado: {$names}.',
  'what else waits': 'Qué más le espera',
  'confirm each': 'Confirme cada una con el botón de su propio correo.',
  'depot hours': 'Horario: {$hours}',
  why: 'Motivo',
  'each stick': 'Las pértigas',
  'one stick': '{$stick}: {$why}',
  'more sticks': 'y {$sticks :integer} más, que nombran el correo o la lista de pértigas',
  'more reasons': lines(
    '.input {$more :integer} .match $more',
    'one {{y 1 motivo más, que el correo indica}}',
    '* {{y {$more} motivos más, que el correo indica}}',
  ),
  'i have read this': 'He leído esto',
  'not confirmed yet': lines(
    'Abrir esta página todavía no ha confirmado nada. Pulse el botón para que no haya que enviar a nadie más a',
    'buscarle.',
  ),
  number: 'Aviso {$number}, para {$name}.',
  'thank you': 'Gracias, {$name}',
  'it is recorded': 'Queda registrado que usted ha leído este aviso.',
  'ends nothing':
    'Esto solo no hace apta ninguna pértiga: no debe usarse hasta que lo indicado aquí esté hecho y registrado.',
  'you may close this': 'Puede cerrar esta página.',
  'link no good': 'Este enlace no sirve',
  'open it anew': lines(
    'No está como se envió, o era para otra cosa. Ábralo otra vez desde el correo mismo. Si eso no ayuda, diga a su',
    'responsable que ha leído el correo.',
  ),
  'go by the mail': 'Diga lo que diga esta página: la pértiga que el correo le dice que no use no debe usarse.',
  'link expired': 'Este enlace ha caducado',
  'time is over': lines(
    'El plazo para confirmar este aviso ha terminado; desde entonces se ha avisado a otras personas. Aquí no se le',
    'pide nada más.',
  ),
  'no longer yours': 'Este enlace ya no sirve',
  'has left': lines(
    '{$name} no figura ya en el registro de personas, así que este aviso lo confirman otras. No se registró nada. Si',
    'eso es un error, pida a un responsable que corrija el registro.',
  ),
  'used before': 'Este enlace ya se usó',
  'confirmed already': 'La lectura de este aviso ya está confirmada. No hace falta nada más.',
  'confirmed since': 'La lectura de este aviso ya está confirmada, desde el {$when}. No hace falta nada más.',
  failed: 'Algo falló de nuestro lado',
  'try again': 'No se registró nada. Inténtelo de nuevo en unos minutos.',
} as const satisfies { readonly [name in keyof typeof english]: string }
