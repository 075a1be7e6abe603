/** Sentences on why a stick stands as it does, by its status. In Spanish. */
import type { whys as english } from '../en/whys.ts'

export const whysInSpanish = {
  'why scrapped': 'Fue desechada.',
  'why overdue': 'Su prueba venció el {$dueOn :date}.',
  'why overdue, look': 'No se revisó a más tardar el {$dueOn :date}: revísela antes de usarla.',
  'why due soon, look': 'Debe revisarse a más tardar el {$dueOn :date}; puede usarse hasta ese día inclusive.',
  'why due soon': 'Su prueba vence el {$dueOn :date}; puede usarse hasta ese día inclusive.',
  'why in service': 'Puede usarse hasta el {$dueOn :date} inclusive.',
  'why in service without a date': 'No se le aplica ninguna regla con plazo.',
  'why never tested': 'Nadie la ha probado todavía y ningún certificado del fabricante la ampara.',
  'why not tested yet': 'Aún no ha tenido su primera prueba completa.',
  'why not looked over yet': 'Aún no ha sido revisada.',
  'why removed from service': 'Volvió a fallar después de limpieza, acabado renovado o reparación: {$what}.',
  'why removed by decision': 'Retirada por decisión: {$reason}.',
  'why held': 'Está retenida.',
  'why removed': 'Está retirada del servicio para siempre.',
  'not primary': '{$status :word of=status}, no es para protección principal',
  'why unknown': 'Pregunte al banco de pruebas cómo está.',
} as const satisfies { readonly [name in keyof typeof english]: string }
