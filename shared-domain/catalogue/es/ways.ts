/** Sentences on how an edit or a correction would make something milder, and their phrases. In Spanish. */

import type { ways as english } from '../en/ways.ts'
import { lines } from '../lines.ts'

const limit = '{$microamps :figure} µA para {$construction :word of=construction}, {$state :word of=state} ({$source})'
const besideAnother = 'Junto al procedimiento “{$title}”:'
const ofWithstand = 'Para {$construction :word of=construction}, {$when :word of=age}:'
const counted = 'lo que se probó vuelve a contar'

export const waysInSpanish = {
  'ends removal': 'Dejaría de estar retirada del servicio: estaría {$status :word of=status}.',
  'ends end of service': 'Dejaría de estar desechada: estaría {$status :word of=status}.',
  'takes back': 'Lo que hablaba en su contra ya no valdría como antes: {$what :word of=what} del {$on :date}.',
  'judged milder': lines(
    '.input {$tests :integer} .match $tests',
    'one {{1 prueba se juzgaría con menos rigor.}}',
    '* {{{$tests} pruebas se juzgarían con menos rigor.}}',
  ),
  'counts before':
    'La pértiga {$stick} se contaría desde su prueba del {$on :date}, que pasó y cuyas lecturas nadie tiene.',
  'counts less': 'Un fallo anterior ya no contaría para retirarla del servicio.',
  'ends hold': 'Terminaría esta retención:',
  'reads fitter': 'Estaría {$becomes :word of=status} en lugar de {$was :word of=status}.',
  'due later': 'Vencería el {$to :date} en lugar del {$from :date}.',
  'too many to say': lines(
    'Más de {$sticks :integer} pértigas se probaron con ello, demasiadas para decir aquí que ninguna se juzga con',
    'menos rigor.',
  ),
  'judged milder on sticks': lines(
    '.input {$sticks :integer} .match $sticks',
    'one {{En 1 pértiga una prueba se juzgaría con menos rigor que antes.}}',
    '* {{En {$sticks} pértigas una prueba se juzgaría con menos rigor que antes.}}',
  ),
  'demonstration relied on, examination alone': lines(
    'La regla pide una prueba. Con este cambio bastaría la inspección sola. {$by} afirma que vale lo mismo, según:',
    '{$grounds}. Léalo antes de decidir.',
  ),
  'demonstration relied on, withstand': lines(
    'La regla pide una tensión soportada propia. Con este cambio bastaría una menor. {$by} afirma que vale lo mismo,',
    'según: {$grounds}. Léalo antes de decidir.',
  ),
  'demonstration relied on, readings for withstand': lines(
    'La regla pide una prueba de tensión soportada. Con este cambio bastarían en su lugar lecturas de fuga. {$by}',
    'afirma que valen lo mismo, según: {$grounds}. Léalo antes de decidir.',
  ),
  // as earlier builds said it
  'demonstration relied on': lines(
    'Bastaría otra prueba que la de la regla ({$kind :word of=demonstration}), como ha demostrado {$by}:',
    '{$grounds}.',
  ),
  'other demonstration': 'Demostraría {$to :word of=demonstration} en lugar de {$from :word of=demonstration}.',
  'other grounds': 'Se basa en “{$to}” en lugar de “{$from}”.',
  'demonstration lengthened': 'Vale hasta el {$to :date}; antes, hasta el {$from :date}.',
  'demonstration without an end': 'Vale sin fecha final; antes, hasta el {$from :date}.',
  'pack left': lines(
    'Se abandona el conjunto de reglas {$pack}, fijado al crear la organización: una política ya no tiene que',
    'incluirlo.',
  ),
  'pinned pack dropped': 'Se deja fuera el conjunto de reglas {$pack}, fijado al crear la organización.',
  'span changed':
    'Abarca {$to :length} en lugar de {$from :length}: rigen otros límites y cuentan lecturas más largas.',
  'uncertainty changed':
    'Su incertidumbre pasa de {$from :figure} % a {$to :figure} %: el margen de seguridad es otro.',
  'uncertainty filled in': 'Su incertidumbre pasa de desconocida a {$to :figure} %: el margen de seguridad es otro.',
  'uncertainty left out': 'Su incertidumbre pasa de {$from :figure} % a desconocida: el margen de seguridad es otro.',
  'voltage changed': 'Lo que aplica pasa de {$from :figure} kV a {$to :figure} kV: rigen otros límites.',
  'voltage filled in': 'Lo que aplica pasa de desconocido a {$to :figure} kV: rigen otros límites.',
  'voltage left out': 'Lo que aplica pasa de {$from :figure} kV a desconocido: rigen otros límites.',
  'frequency changed': 'Lo que aplica pasa de {$from :figure} Hz a {$to :figure} Hz: rigen otros límites.',
  'frequency filled in': 'Lo que aplica pasa de desconocido a {$to :figure} Hz: rigen otros límites.',
  'frequency left out': 'Lo que aplica pasa de {$from :figure} Hz a desconocido: rigen otros límites.',
  'in tolerance after all': 'De su calibración del {$on :date} ya no se dice que hubiera leído mal.',
  'found error changed': 'De su calibración del {$on :date} se dice que leía mal por otra cifra.',
  'found out of tolerance': 'Había leído mal cuando se calibró el {$on :date}; a partir de entonces volvería a contar.',
  'calibration too long':
    'La calibración del {$on :date} duraría hasta el {$to :date}, más de {$months :figure} meses.',
  'calibration lengthened': 'La calibración del {$on :date} duraría hasta el {$to :date} en lugar del {$from :date}.',
  'limit taken away': `Se quita el límite de ${limit}.`,
  'limit raised': `El límite de ${limit} pasa a {$to :figure} µA.`,
  'limit added': lines(
    `Regiría un límite de ${limit} donde el procedimiento no tenía ninguno,`,
    'y ninguna prueba podía ser satisfactoria.',
  ),
  'for all sticks': 'Vale para todas las pértigas, en lugar de las que nombraba.',
  'sticks named': 'Juzgaría también {$sticks}.',
  'sticks named, and more': 'Juzgaría también {$sticks} y {$more :figure} más.',
  'sticks not named': 'Otros procedimientos pueden volver a juzgar {$sticks}.',
  'sticks not named, and more': 'Otros procedimientos pueden volver a juzgar {$sticks} y {$more :figure} más.',
  'overlap lessened': 'Las lecturas se solapan al menos {$to :length} en lugar de {$from :length}.',
  'comparison widened': 'Una lectura igual a su límite es satisfactoria; antes tenía que ser menor.',
  'decision not guarded': 'Una lectura dentro de la incertidumbre de su límite es satisfactoria.',
  'water ceiling raised':
    'El agua rociada puede conducir {$to :figure} µS/cm como máximo; antes, {$from :figure} µS/cm como máximo.',
  'water ceiling dropped': 'El agua rociada puede conducir cualquier cosa; antes, {$from :figure} µS/cm como máximo.',
  'temperature widened': lines(
    'La temperatura en °C puede estar de {$from :figure} a {$to :figure} en lugar de {$wasFrom :figure} a {$wasTo',
    ':figure}.',
  ),
  'temperature not asked':
    'La temperatura en °C puede ser cualquiera en lugar de {$wasFrom :figure} a {$wasTo :figure}.',
  'humidity widened': lines(
    'La humedad relativa en % puede estar de {$from :figure} a {$to :figure} en lugar de {$wasFrom :figure} a',
    '{$wasTo :figure}.',
  ),
  'humidity not asked':
    'La humedad relativa en % puede ser cualquiera en lugar de {$wasFrom :figure} a {$wasTo :figure}.',
  'check figures changed': 'Los valores de comprobación {$state :word of=state} pasan de {$from} µA a {$to} µA.',
  'check figures dropped': 'Los valores de comprobación {$state :word of=state} pasan de {$from} µA a ninguno.',
  'check figures added': 'Los valores de comprobación {$state :word of=state} pasan de ninguno a {$to} µA.',
  'tolerance widened': lines(
    'La comprobación {$state :word of=state} de {$figure :figure} µA es correcta dentro de {$to :figure} % en lugar',
    'de {$from :figure} %.',
  ),
  'open reading raised': lines(
    'La comprobación {$state :word of=state} de {$figure :figure} µA permite que el instrumento vacío lea {$to',
    ':figure} µA en lugar de {$from :figure} µA.',
  ),
  'check after not asked': lines(
    'La comprobación {$state :word of=state} de {$figure :figure} µA ya no se pide otra vez después de la última',
    'lectura.',
  ),
  'beside another: limit raised': `${besideAnother} El límite de ${limit} pasa a {$to :figure} µA.`,
  'beside another: overlap lessened': lines(
    besideAnother,
    'Las lecturas se solapan al menos {$to :length} en lugar de {$from :length}.',
  ),
  'beside another: comparison widened': lines(
    besideAnother,
    'Una lectura igual a su límite es satisfactoria; antes tenía que ser menor.',
  ),
  'beside another: decision not guarded': lines(
    besideAnother,
    'Una lectura dentro de la incertidumbre de su límite es satisfactoria.',
  ),
  'beside another: tolerance widened': lines(
    `${besideAnother} Una comprobación {$state :word of=state} es correcta dentro de {$to :figure} % en lugar de`,
    `{$from :figure} %.`,
  ),
  'withstand lowered': `${ofWithstand} ya no se pide {$from :said}; pasa a ser {$to :said}.`,
  'withstand widened': `${ofWithstand} {$what :said} regiría para líneas de las que nada se había fijado.`,
  'withstand below rule': lines(
    `${ofWithstand} {$what :said} es, o puede ser, menos que los {$perFoot :figure} kV por pie durante {$seconds`,
    `:figure} s de la propia norma.`,
  ),
  'pack dropped': 'Se deja fuera el conjunto de reglas {$pack}.',
  'occasional use widened': 'El uso cuenta como ocasional {$to :said}; antes, {$from :said}.',
  'use weight lessened': lines(
    'Un día de uso en condiciones de {$condition :word of=condition} cuenta por {$to :figure} en lugar de por {$from',
    ':figure}.',
  ),
  'examination alone allowed': 'Un examen puede sustituir a una prueba periódica.',
  'examination winds less': lines(
    'Un examen ya no pone a cero un requisito que cuenta el uso o el tiempo de almacén, de modo que este cuenta de',
    'nuevo.',
  ),
  'release not asked':
    'Una pértiga que falló y después superó la prueba ya no necesita que una segunda persona la libere.',
  'fewer failures remove':
    'Una pértiga que vuelve a fallar después de que solo se limpió ya no se retira del servicio para siempre.',
  'wood allowed': 'Las pértigas de madera pueden usarse otra vez.',
  'calibration cap lengthened': 'Una calibración vale {$to :said} como máximo; antes, {$from :said} como máximo.',
  'calibration cap dropped': 'Una calibración vale lo que dice su certificado; antes, {$from :said} como máximo.',
  'requirement dropped': 'Se deja fuera el requisito {$id} ({$words}).',
  'uncovered sticks covered': lines(
    'Las pértigas de {$construction :word of=construction} están retenidas porque ninguna regla pide su prueba; por',
    '{$id} podrían usarse.',
  ),
  'waxed before is enough': lines(
    'Una pértiga de {$construction :word of=construction} que se enceró antes de su prueba, y no con ella, ya no',
    'queda retenida por eso.',
  ),
  'waxing not asked':
    'Una pértiga de {$construction :word of=construction} que supera la prueba ya no tiene que encerarse.',
  'evidence dropped': '{$id}: ya no se pide {$kinds :words of=evidence}.',
  'counted from earlier': '{$id}: el uso y el tiempo de almacén se cuentan desde pruebas más antiguas.',
  'examination alone widened':
    '{$id}: un examen puede sustituir a una prueba de {$constructions :words of=construction}.',
  'interval lengthened': '{$id}: su plazo es {$to :said} con uso {$use :word of=service} en lugar de {$from :said}.',
  'shelf limit changed':
    '{$id}: el tiempo que puede estar guardada antes de su primera entrega pasa de {$from :said} a {$to :said}.',
  'rest in store widened': '{$id}: el tiempo en almacén tras el cual descansa pasa de {$from :said} a {$to :said}.',
  'stop dropped': '{$id}: esto ya no detiene una pértiga: {$events :words of=stop}.',
  'not for constructions': '{$id}: ya no se aplica a {$constructions :words of=construction}.',
  'not without protection': '{$id}: ya no se aplica a pértigas que no sirven de protección.',
  'not for older sticks': '{$id}: ya no se aplica a pértigas puestas en servicio antes del {$since :date}.',
  'legal maximum dropped': '{$id}: su plazo ya no se llama máximo legal.',
  'construction changed':
    'Es {$to :word of=construction} en lugar de {$from :word of=construction}: rigen otras reglas y otros límites.',
  'working length shortened':
    'Su longitud de trabajo pasa de {$from :length} a {$to :length}: se prueba menos de ella.',
  'diameter changed': `Su diámetro pasa de {$from :small} a {$to :small}: puede regir otro límite, o ${counted}.`,
  'primary protection taken off':
    'Ya no sirve de protección principal de los trabajadores: lo que la ley pide de tales pértigas no se pide de ella.',
  'lot named again': 'Su lote vuelve a ser {$lot}: lo que se probó puede volver a contar.',
  'line voltage lowered': lines(
    'La tensión de la línea en que se usa pasa de {$from :figure} kV a {$to :figure} kV: puede pedirse de ella una',
    'tensión menor.',
  ),
  'line voltage filled in': lines(
    'La tensión de la línea en que se usa pasa de desconocida a {$to :figure} kV: puede pedirse de ella una tensión',
    'menor.',
  ),
  'put into service earlier':
    'Se puso en servicio el {$to :date} en lugar del {$from :date}: una regla para pértigas más nuevas no la obliga.',
  'first day filled in': lines(
    'Se puso en servicio el {$to :date} en lugar de un día desconocido: una regla para pértigas más nuevas no la',
    'obliga.',
  ),
  'first day named again':
    'Su primer día de servicio vuelve a ser el {$on :date}: lo que se probó puede volver a contar.',
  'sections changed': `Sus tramos son otros: puede leerse menos de ella, o ${counted}.`,
  'same stick': lines(
    'Se dice que es la pértiga que se probó, con otro lote u otro primer día de servicio: sus pruebas vuelven a',
    'contar.',
  ),
  'clock not known': 'Según el reloj de un depósito que no se conoce, un día puede terminar más tarde.',
  'day ends later':
    'Un día termina más tarde según el reloj de {$to} que según el de {$from}: por ejemplo, el {$day :date}.',
  months: '.input {$count :integer} .match $count one {{1 mes}} * {{{$count} meses}}',
  days: '.input {$count :integer} .match $count one {{1 día}} * {{{$count} días}}',
  'days of use': '.input {$count :integer} .match $count one {{1 día de uso}} * {{{$count} días de uso}}',
  'no months': 'ningún mes',
  'once and for all': 'una sola vez para siempre',
  'not at all': 'ninguno',
  never: 'nunca',
  'up to so many days': lines(
    '.input {$days :integer} .match $days',
    'one {{hasta 1 día de cada {$window :figure}}}',
    '* {{hasta {$days} días de cada {$window :figure}}}',
  ),
  'for so long': '{$voltage :said} durante {$seconds :figure} s',
  'for so long, on lines':
    '{$voltage :said} durante {$seconds :figure} s en líneas de {$from :figure} a {$to :figure} kV',
  'kilovolts per foot': '{$kilovolts :figure} kV por pie',
  'kilovolts per metre': '{$kilovolts :figure} kV por metro',
  kilovolts: 'tensión de {$kilovolts :figure} kV',
  'times a voltage': '{$times :figure} veces la {$of :word of=voltage}',
  'times a voltage, at least': '{$times :figure} veces la {$of :word of=voltage}, al menos {$kilovolts :figure} kV',

  'effect stick': 'Cuando se pidió, la pértiga estaba {$was :word of=status}; con esto estaría {$is :word of=status}.',
  'effect rules': lines(
    'Contado cuando se pidió, pértigas: {$sticks :integer}; aptas que ahora no deben usarse: {$newlyFit :integer};',
    'con vencimiento posterior: {$dueLater :integer}; que ya no podrían usarse: {$noLongerFit :integer}.',
  ),
  'effect tests': lines(
    'Contado cuando se pidió, pértigas probadas por última vez con ello: {$sticks :integer}; con resultado menos',
    'estricto: {$milder :integer}. Lo ya evaluado queda.',
  ),
  'effect sticks': 'Contado cuando se pidió, pértigas a las que afecta: {$sticks :integer}.',
  'effect counted in part': 'Solo se contaron las primeras pértigas; hay más.',
} as const satisfies { readonly [name in keyof typeof english]: string }
