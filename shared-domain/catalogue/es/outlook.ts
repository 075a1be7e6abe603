/** Sentences of the page of the weeks ahead. In Spanish. */

import type { outlook as english } from '../en/outlook.ts'
import { lines } from '../lines.ts'
import type { Translated } from '../say.ts'

export const outlookInSpanish = {
  'outlook as of': 'A fecha de {$on :date}, cada base según su propio reloj.',
  'overdue now': 'Vencidas ahora',
  'on hold now': 'Retenidas ahora',
  'untested now': 'A la espera de su primera prueba',
  'due within weeks': 'Vencen en {$weeks :figure} semanas',
  week: 'Semana',
  'from day to day': 'del {$from :date} al {$to :date}',
  'month begins': '{$on :month}',
  'all depots': 'Todas las bases',
  'no depot known': 'Lugar sin registrar',
  'due each week': 'Pértigas que vencen cada semana',
  'due each week at depot': 'Pértigas que vencen cada semana, {$depot}',
  'most in a week': 'Del {$from :date} al {$to :date}. Lo máximo en una semana: {$most}, desde el {$on :date}.',
  'none in these weeks': 'Del {$from :date} al {$to :date} no vence ninguna pértiga.',
  'sticks in a week': 'pértigas',
  'outlook caption': lines(
    'Pértigas según la semana en que vencen; pueden usarse hasta ese día inclusive. Una pértiga retenida, o que',
    'nunca se probó, no tiene vencimiento; esas se cuentan encima de las semanas.',
  ),
  'minutes unknown': lines(
    'Ningún procedimiento ni política indica cuántos minutos requiere una pértiga en el banco de pruebas; por eso',
    'solo se cuentan pértigas.',
  ),
  'counting ends':
    'Vencen más pértigas de las que una página cuenta. La página siguiente continúa con las semanas posteriores.',
  'next weeks': 'Semanas siguientes',
  'previous weeks': 'Semanas anteriores',
  'first weeks': 'Primeras semanas',
} as const satisfies Translated<typeof english>
