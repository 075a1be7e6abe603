/** Sentences of acts on pages: forms, what is wrong in them, and what follows. In Spanish. */
import type { forms as english } from '../en/forms.ts'

export const formsInSpanish = {
  'may stay empty': '(puede quedar vacío)',
  'not taken yet': 'Aún no está registrado. Corrija esto:',
  'field and fault': '{$field}: {$fault}',
  'send again': 'Otra persona escribía en el mismo momento. No se registró nada. Envíelo otra vez.',
  'back without': 'Volver sin registrar nada',
  'to the stick': 'A la pértiga {$stick}',
  note: 'Nota',

  'field within': '{$within}: {$field}',
  'label and unit': '{$label}, en {$unit}',
  'unit m': 'metros',
  'unit ft': 'pies',
  'unit mm': 'milímetros',
  'unit in': 'pulgadas',
  'more rows': 'Más filas',
  'changed meanwhile':
    'Otra persona cambió esta inscripción mientras usted llenaba el formulario. Mírela en otra ventana. Si envía otra vez este formulario, lo que contiene sustituye ese cambio desde su día.',
  'becomes metres': 'Queda en {$length :figure} m.',
  'becomes millimetres': 'Queda en {$length :figure} mm.',
  'to be filled in': 'Hay que llenarlo.',
  'at least': 'Al menos {$figure :figure}.',
  'at most': 'Como máximo {$figure :figure}.',
  'more than': 'Más de {$figure :figure}.',
  'less than': 'Menos de {$figure :figure}.',
  'a number': 'Un número, por ejemplo 4.1 o 4,1.',
  'an identifier':
    'Un identificador: de 1 a 64 letras, cifras, puntos, guiones o guiones bajos, con una letra o cifra al principio y al final.',
  'a whole number': 'Un número entero.',

  'report danger': 'Informar de la pértiga {$stick}: algo está mal en ella',
  'report it': 'Informar',
  'report follows':
    'La pértiga queda retenida enseguida. Se avisa a su cuadrilla, a su capataz y a los responsables. Etiquétela y no la entregue a nadie.',
  'what is wrong': 'Qué está mal',
  defect: '{$kind :word of=defect}',
  'day seen': 'Día en que se vio',
  'hour seen': 'Hora',
  'hour seen hint': 'Según el reloj del depósito donde está la pértiga',
  reported: 'Informado: pértiga {$stick}',
  'report told': 'Queda registrado, y se avisó a quienes deben saberlo.',
} as const satisfies { readonly [name in keyof typeof english]: string }
