/** Questions about what may be a slip of the keyboard. In Spanish. */

import type { questions as english } from '../en/questions.ts'
import { lines } from '../lines.ts'

export const questionsInSpanish = {
  'long before today': 'El {$on} es {$days :figure} días antes de hoy, {$today}. ¿Es ese el día?',
  'long before today, meant': 'El {$on} es {$days :figure} días antes de hoy, {$today}. ¿Es el {$meant}?',
  'long after today': 'El {$on} es {$days :figure} días después de hoy, {$today}. ¿Es ese el día?',
  'long after today, meant': 'El {$on} es {$days :figure} días después de hoy, {$today}. ¿Es el {$meant}?',
  'before service': 'El {$on} es anterior al {$since}, el primer día de servicio de {$stickId}. ¿Es ese el día?',
  'before service, meant':
    'El {$on} es anterior al {$since}, el primer día de servicio de {$stickId}. ¿Es el {$meant}?',
  'before the last test': 'El {$on} es {$days :figure} días antes de su última prueba, del {$last}. ¿Es ese el día?',
  'before the last test, meant':
    'El {$on} es {$days :figure} días antes de su última prueba, del {$last}. ¿Es el {$meant}?',
  'another is there': '{$stickId} no está en el banco de pruebas; {$other} sí. ¿Es esa?',
  'two others are there': '{$stickId} no está en el banco de pruebas; {$one} y {$two} sí. ¿Es una de ellas?',
  'three others are there':
    '{$stickId} no está en el banco de pruebas; {$one}, {$two} y {$three} sí. ¿Es una de ellas?',
  'length in feet': lines(
    'Las lecturas llegan a {$reached :length} de los {$length :length} del registro, y {$feet :figure} pies son',
    '{$inMetres :length}. ¿Está en pies en el registro?',
  ),
  'length of a section in feet': lines(
    'Las lecturas llegan a {$reached :length} de los {$length :length} del tramo {$section} en el registro, y {$feet',
    ':figure} pies son {$inMetres :length}. ¿Está en pies en el registro?',
  ),
  'check slipped': lines(
    'La comprobación {$state :word of=state} {$when :word of=when} las lecturas lee {$reads :figure} µA donde el',
    'procedimiento pide {$asked :figure} µA. ¿Son {$meant :figure}?',
  ),
  'water slipped': lines(
    'El agua conduce {$conducts :figure} µS/cm; el procedimiento permite {$most :figure} y la de la última prueba,',
    'del {$last}, conducía {$was :figure}. ¿Son {$meant :figure}?',
  ),
  'air slipped': lines(
    'El aire estaba a {$celsius :figure} °C; el procedimiento pide de {$from :figure} a {$to :figure} °C. ¿Son',
    '{$meant :figure}?',
  ),
  'kilovolts slipped':
    'Son {$kilovolts :figure} kV donde la última prueba, del {$last}, aplicó {$was :figure} kV. ¿Son {$meant :figure}?',
  'far from its neighbours':
    '{$place}: lee {$reads :figure} µA donde sus vecinas leen unos {$usual :figure} µA. ¿Es correcto?',
  'far from its neighbours, meant':
    '{$place}: lee {$reads :figure} µA donde sus vecinas leen unos {$usual :figure} µA. ¿Son {$meant :figure}?',
  'off from the last test': lines(
    '{$place}: lee {$reads :figure} µA donde la última prueba, del {$last}, leyó {$was :figure} µA. ¿Son {$meant',
    ':figure}?',
  ),
  'ten times the last test': lines(
    '{$place}: {$count :figure} de {$of :figure} lecturas son unas diez veces lo que la última prueba, del {$last},',
    'leyó allí. ¿Está bien el decimal?',
  ),
  'a tenth of the last test': lines(
    '{$place}: {$count :figure} de {$of :figure} lecturas son cerca de la décima parte de lo que la última prueba,',
    'del {$last}, leyó allí. ¿Está bien el decimal?',
  ),
} as const satisfies { readonly [name in keyof typeof english]: string }
