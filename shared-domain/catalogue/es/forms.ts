/** Sentences of acts on pages: forms, what is wrong in them, and what follows. In Spanish. */
import type { forms as english } from '../en/forms.ts'

export const formsInSpanish = {
  'may stay empty': '(puede quedar vacío)',
  'not recorded': 'Aún no está registrado. Corrija esto:',
  'field and fault': '{$field}: {$fault}',
  'send again': 'Otra persona escribía en el mismo momento. No se registró nada. Envíelo otra vez.',
  'back without': 'Volver sin registrar nada',
  'to the stick': 'A la pértiga {$stick}',
  note: 'Nota',

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
