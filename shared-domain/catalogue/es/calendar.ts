/** Sentences of due dates in calendars. In Spanish. */

import type { calendar as english } from '../en/calendar.ts'
import { lines } from '../lines.ts'

export const calendarInSpanish = {
  'calendar name': 'Vencimiento de pértigas',
  'entry to bench': 'Pértiga {$stick}: llévela al banco de pruebas ({$status :word of=status})',
  'entry overdue': 'Pértiga {$stick}: no la use, llévela al banco de pruebas ({$status :word of=status})',
  'entry to look over': 'Pértiga {$stick}: revísela ({$status :word of=status})',
  'entry not looked over': 'Pértiga {$stick}: no la use antes de revisarla ({$status :word of=status})',
  'entry called off': 'Pértiga {$stick}: no la use ({$status :word of=status})',
  'entry status': 'Estado: {$status :word of=status}.',
  'entry not primary': 'No es para protección principal.',
  'entry planned': 'Llevarla en la semana del {$week :date}, a más tardar el {$by :date}.',
  'entry bring to': 'Llevar a: {$place}.',
  'entry rule': 'Regla: {$source}.',
  'entry known': lines(
    'Según lo sabido el {$day :date}. Los calendarios se actualizan con retraso: antes de usar la pértiga, consulte',
    'cómo está.',
  ),
  safety: lines(
    'Este servicio apoya y nunca sustituye los procedimientos de su empresa, las reglas locales ni a las personas',
    'calificadas. En caso de duda, no use la pértiga.',
  ),
  'calendar of crew': 'Pértigas de {$crew}',
} as const satisfies { readonly [name in keyof typeof english]: string }
