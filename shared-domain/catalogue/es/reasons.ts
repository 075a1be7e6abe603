/** Sentences on what a bench test says against a stick. In Spanish. */

import type { reasons as english } from '../en/reasons.ts'
import { lines } from '../lines.ts'

export const reasonsInSpanish = {
  'open defect on a section, at': lines(
    'Defecto abierto: {$defect :word of=defect} en el tramo {$section} a {$at :length}; se repara y la pértiga se',
    'prueba de nuevo',
  ),
  'open defect at': 'Defecto abierto: {$defect :word of=defect} a {$at :length}; hay que repararla y probarla de nuevo',
  'open defect on a section':
    'Defecto abierto: {$defect :word of=defect} en el tramo {$section}; hay que repararla y probarla de nuevo',
  'open defect': 'Defecto abierto: {$defect :word of=defect}; hay que repararla y probarla de nuevo',
  'gloss lost': 'La superficie ha perdido el brillo; se renueva el acabado y la pértiga se prueba de nuevo',
  'not cleaned': 'No consta que la pértiga se limpiara; se limpia antes de probarla',
  'examined only': 'examinada y no probada',
  'examination not allowed': 'La política vigente no permite que un examen sustituya a una prueba',
  'examination not enough for its construction':
    'Una pértiga de {$construction :word of=construction} se prueba después de cada examen',
  'examination not periodic':
    'A un examen por {$reason :word of=reason} le sigue una prueba; solo uno periódico puede bastar',
  'examination with a mended defect':
    'Se corrigió un defecto en el banco, y una pértiga se prueba después de cada reparación',
  'withstand failed': '{$outcome :word of=outcome} a {$kilovolts :figure} kV; el tramo tiene que soportarlo',
  'withstand too low':
    'probada a {$kilovolts :figure} kV; se piden {$required :figure} kV ({$perFoot :figure} kV por pie)',
  'withstand too low for the procedure':
    'probada a {$kilovolts :figure} kV; se piden {$required :figure} kV ({$source})',
  'line voltage missing': lines(
    'el registro no dice en qué tensión de línea se usa la pértiga; el procedimiento fija por ella la tensión',
    'soportada',
  ),
  'reading longer than the span': 'la lectura es más larga que los {$span :length} que abarca el instrumento',
  'no withstand voltage covers':
    'el procedimiento no fija ninguna tensión soportada para pértigas usadas en esta tensión de línea',
  'withstand not demonstrated': lines(
    'el procedimiento pide menos que los {$kilovolts :figure} kV durante {$seconds :figure} s de la propia norma, y',
    'la prueba no nombra ninguna demostración de la empresa que lo respalde',
  ),
  'examination not demonstrated':
    '{$id} no es una demostración, vigente el día de la prueba, de que baste la inspección sola',
  'withstand too short': 'probada durante {$seconds :figure} s; se piden {$required :figure} s',
  'gap in withstand tests': 'sin prueba de tensión soportada; las pruebas cubren los {$whole :length} enteros',
  gap: 'sin lectura ahí; las lecturas deben cubrir los {$whole :length} enteros',
  'turn missing': 'sin lectura; se leen los cuatro cuartos de vuelta',
  'overlap too small':
    'las lecturas se solapan {$shared :small}; cada una se solapa con la siguiente al menos {$least :small}',
  'sections too short':
    'Los tramos del registro suman {$together :length}; tienen que sumar la longitud de trabajo, {$working :length}',
  'never calibrated': lines(
    'El instrumento no tenía calibración vigente el {$on :date} (no consta ninguna calibración); una prueba cuenta',
    'dentro de tal periodo',
  ),
  'out of calibration by a rule': lines(
    'El instrumento no tenía calibración vigente el {$on :date} (calibrado para {$periods :periods}, {$months',
    ':figure} meses como máximo según {$source}); una prueba cuenta dentro de tal periodo',
  ),
  'out of calibration': lines(
    'El instrumento no tenía calibración vigente el {$on :date} (calibrado para {$periods :periods}); una prueba',
    'cuenta dentro de tal periodo',
  ),
  'no check stated':
    'el procedimiento no indica lectura de comprobación, así que nada muestra que el instrumento leyera bien',
  'no check before':
    'falta la lectura de comprobación de {$expected :figure} µA antes de la primera lectura; el procedimiento la pide',
  'no check after':
    'falta la lectura de comprobación de {$expected :figure} µA después de la última lectura; el procedimiento la pide',
  'check out of tolerance': lines(
    'la pieza de comprobación leyó {$read :figure} µA {$when :word of=when} las lecturas; lo correcto es {$expected',
    ':figure} µA con un margen de {$percent :figure} %',
  ),
  'empty instrument out of tolerance': lines(
    'el instrumento vacío leyó {$read :figure} µA {$when :word of=when} las lecturas; lo correcto es {$most :figure}',
    'µA como máximo',
  ),
  'all nought': lines(
    'todas las lecturas son de 0 µA; una comprobación después de la última lectura, dentro de su tolerancia, tiene',
    'que mostrar que el instrumento funcionaba',
  ),
  'all alike': lines(
    'todas las lecturas, en seco y en húmedo, son de los mismos {$figure :figure} µA; una comprobación después de la',
    'última lectura, dentro de su tolerancia, tiene que mostrar que el instrumento funcionaba',
  ),
  'temperature outside':
    'La temperatura era de {$came :figure} °C; el procedimiento pide de {$from :figure} a {$to :figure} °C',
  'humidity outside':
    'La humedad relativa era de {$came :figure} %; el procedimiento pide de {$from :figure} a {$to :figure} %',
  'temperature missing': 'No se registró la temperatura; el procedimiento la pide',
  'humidity missing': 'No se registró la humedad relativa; el procedimiento la pide',
  'conductivity missing':
    'no se registró la conductividad del agua; el procedimiento pide {$most :figure} µS/cm como máximo',
  'conductivity too high':
    'el agua conducía {$came :figure} µS/cm; el procedimiento pide {$most :figure} µS/cm como máximo',
  'water not allowed': 'rociada con agua {$water :word of=water}; lo correcto es agua destilada o desmineralizada',
  'wet appearance': 'el agua formaba {$appearance :word of=appearance}; lo correcto son gotas separadas',
  'not settled': 'no consta que la lectura se estabilizara; cuenta cuando ha llegado al reposo con la tensión aplicada',
  'state missing': 'sin probar; una prueba de {$construction :word of=construction} lo incluye',
  'in the guard band': lines(
    'corriente de fuga de {$microamps :figure} µA; el límite es {$comparison :word of=comparison} {$limit :figure}',
    'µA ({$source}), menos {$percent :figure} % por la incertidumbre del instrumento',
  ),
  'over the limit': lines(
    'corriente de fuga de {$microamps :figure} µA; el límite es {$comparison :word of=comparison} {$limit :figure}',
    'µA ({$source})',
  ),
  'limit for what is not known to be applied': lines(
    'el límite de {$limit :figure} µA ({$source}) es para {$applied}, y el registro no dice qué aplica el',
    'instrumento; su ficha tiene que decirlo',
  ),
  'no limit for what is applied too': lines(
    'el procedimiento no tiene límite para {$construction :word of=construction} de {$diameter :small} leída en',
    '{$over :length}, {$applied}; necesita uno con su fuente',
  ),
  'no limit': lines(
    'el procedimiento no tiene límite para {$construction :word of=construction} de {$diameter :small} leída en',
    '{$over :length}; necesita uno con su fuente',
  ),
  'uncertainty missing':
    'una decisión con margen de seguridad necesita la incertidumbre expandida del instrumento, y no consta ninguna',
  'withstand too low for a procedure without a source':
    'probada a {$kilovolts :figure} kV; se piden {$required :figure} kV (el procedimiento)',
  'test of another stick': lines(
    'Según lo que ahora dice el registro, la prueba era de otra pértiga: {$pointer} tendría que ser “{$expected}”',
    '(texto original en inglés)',
  ),
  'test that does not fit':
    'Según lo que ahora dice el registro, la prueba era de otra pértiga: {$pointer} tendría que ser {$right :said}',
  'failure stands': lines(
    'La prueba falló, y juzgarla de nuevo no lo quita ni lo atenúa; la pértiga se limpia, se le renueva el acabado o',
    'se repara, y se prueba de nuevo',
  ),
  'nothing new': 'No se sabe nada que no se supiera antes: el veredicto y sus motivos son los mismos',
  'likely contamination or moisture':
    'casi toda sobresale, y en medida parecida; probable, no demostrado: contaminación, o humedad en toda ella',
  'likely contamination, moisture or too much water': lines(
    'casi toda sobresale, y en medida parecida; probable, no demostrado: contaminación, humedad en toda ella o',
    'demasiada agua',
  ),
  'likely inside or at a joint':
    'sobresale en los cuatro cuartos de vuelta; probable, no demostrado: algo dentro de la pértiga, o en una unión',
  'likely on the surface': lines(
    'sobresale solo en este cuarto de vuelta; probable, no demostrado: suciedad, una rayadura o una huella de',
    'descarga en la superficie',
  ),
  'likely holding water': lines(
    'tiene demasiada fuga en húmedo y no en seco; probable, no demostrado: una superficie que retiene agua, o un',
    'acabado que ha perdido el brillo',
  ),
  'likely getting worse': lines(
    'subió a {$microamps :figure} µA desde {$was :figure} µA en la última prueba; probable, no demostrado: allí está',
    'empeorando',
  ),
  verdict: '{$verdict :word of=verdict}',
  'nothing to release': 'No ha superado una prueba después de un fallo desde su última liberación',
  'no records restored': 'No le falta nada: sus registros no se recuperaron de una copia',
  'same person':
    'Quien hizo o registró la prueba que superó, o la juzgó de nuevo, no puede liberarla; una segunda persona sí',
  'not to be issued': 'Está {$status :word of=status} y no puede entregarse.',
  'not to be issued, in use': 'En uso estaría {$status :word of=status} y no puede entregarse.',
  'nothing to remind of': 'La pértiga {$stick} está {$status :word of=status}: no hay nada que recordarle a nadie.',
  'nobody to bring it in':
    'La pértiga {$stick} está {$status :word of=status} y nadie la tiene fuera: no hay quien deba traerla.',
  'nobody to remind':
    'La pértiga {$stick}: nadie de su cuadrilla ni por encima de ella tiene una dirección de correo en los registros.',
  'reminded already': 'La pértiga {$stick}: {$by} hizo recordarla hace menos de una hora, a las {$at}.',
  unknown: 'un motivo que esta versión del servicio no sabe expresar ({$code})',
} as const satisfies { readonly [name in keyof typeof english]: string }
