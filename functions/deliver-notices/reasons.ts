/**
 * What a bench test says against a stick, English beside Spanish. A verdict is kept word for word as it was judged and its
 * sentences carry no values of their own: the English of this catalogue is also how their values are read back.
 */
import type { Entry } from './catalogue.ts'

/** Sentences that begin alike stand with the longer one first. */
export const reasons = {
  'open defect on a section, at': {
    en: 'Open defect: {defect:defect} on section {section} at {at:length}; it is repaired and the stick tested again',
    es: 'Defecto abierto: {defect:defect} en el tramo {section} a {at:length}; se repara y la pértiga se prueba de nuevo',
  },
  'open defect at': {
    en: 'Open defect: {defect:defect} at {at:length}; it is repaired and the stick tested again',
    es: 'Defecto abierto: {defect:defect} a {at:length}; se repara y la pértiga se prueba de nuevo',
  },
  'open defect on a section': {
    en: 'Open defect: {defect:defect} on section {section}; it is repaired and the stick tested again',
    es: 'Defecto abierto: {defect:defect} en el tramo {section}; se repara y la pértiga se prueba de nuevo',
  },
  'open defect': {
    en: 'Open defect: {defect:defect}; it is repaired and the stick tested again',
    es: 'Defecto abierto: {defect:defect}; se repara y la pértiga se prueba de nuevo',
  },
  'gloss lost': {
    en: 'The surface has lost its gloss; it is refinished and the stick tested again',
    es: 'La superficie ha perdido el brillo; se renueva el acabado y la pértiga se prueba de nuevo',
  },
  'not cleaned': {
    en: 'The stick was not recorded as cleaned; it is cleaned before it is tested',
    es: 'No consta que la pértiga se limpiara; se limpia antes de probarla',
  },
  'examined only': { en: 'examined, and not tested', es: 'examinada y no probada' },
  'examination not allowed': {
    en: 'The policy in force does not let an examination stand in place of a test',
    es: 'La política vigente no permite que un examen sustituya a una prueba',
  },
  'examination not enough for its construction': {
    en: 'A stick of {construction:construction} is tested after every examination',
    es: 'Una pértiga de {construction:construction} se prueba después de cada examen',
  },
  'examination not periodic': {
    en: 'An examination for {reason:reason} is followed by a test; only a periodic one can stand alone',
    es: 'A un examen por {reason:reason} le sigue una prueba; solo uno periódico puede bastar',
  },
  'examination with a mended defect': {
    en: 'A defect was mended at the bench, and a stick is tested after every repair',
    es: 'Se corrigió un defecto en el banco, y una pértiga se prueba después de cada reparación',
  },
  'withstand failed': {
    en: '{outcome:outcome} at {kilovolts:number} kV; the span has to withstand it',
    es: '{outcome:outcome} a {kilovolts:number} kV; el tramo tiene que soportarlo',
  },
  'withstand too low': {
    en: 'tested at {kilovolts:number} kV; {required:number} kV ({perFoot:number} kV per foot) is asked for',
    es: 'probada a {kilovolts:number} kV; se piden {required:number} kV ({perFoot:number} kV por pie)',
  },
  'withstand too low for the procedure': {
    en: 'tested at {kilovolts:number} kV; {required:number} kV ({source}) is asked for',
    es: 'probada a {kilovolts:number} kV; se piden {required:number} kV ({source})',
  },
  'line voltage missing': {
    en: 'the register does not say on what line voltage the stick is used; the procedure states the withstand voltage by it',
    es: 'el registro no dice en qué tensión de línea se usa la pértiga; el procedimiento fija por ella la tensión soportada',
  },
  'reading longer than the span': {
    en: 'the reading is longer than the {span:length} that the instrument spans',
    es: 'la lectura es más larga que los {span:length} que abarca el instrumento',
  },
  'no withstand voltage covers': {
    en: 'the procedure states no withstand voltage for sticks used on this line voltage',
    es: 'el procedimiento no fija ninguna tensión soportada para pértigas usadas en esta tensión de línea',
  },
  'withstand not demonstrated': {
    en: 'the procedure asks for less than the rule’s own {kilovolts:number} kV for {seconds:number} s, and the test names no demonstration of the employer’s for that',
    es: 'el procedimiento pide menos que los {kilovolts:number} kV durante {seconds:number} s de la propia norma, y la prueba no nombra ninguna demostración de la empresa que lo respalde',
  },
  'examination not demonstrated': {
    en: '{id} is no demonstration, in force on the day of the test, that an examination alone is enough',
    es: '{id} no es una demostración, vigente el día de la prueba, de que baste la inspección sola',
  },
  'withstand too short': {
    en: 'tested for {seconds:number} s; {required:number} s is asked for',
    es: 'probada durante {seconds:number} s; se piden {required:number} s',
  },
  'gap in withstand tests': {
    en: 'no withstand test; the tests cover the whole {whole:length}',
    es: 'sin prueba de tensión soportada; las pruebas cubren los {whole:length} enteros',
  },
  gap: {
    en: 'no reading; readings cover the whole {whole:length}',
    es: 'sin lectura; las lecturas cubren los {whole:length} enteros',
  },
  'turn missing': {
    en: 'no reading; all four quarter turns are read',
    es: 'sin lectura; se leen los cuatro cuartos de vuelta',
  },
  'overlap too small': {
    en: 'readings overlap by {shared:small}; each overlaps the next by at least {least:small}',
    es: 'las lecturas se solapan {shared:small}; cada una se solapa con la siguiente al menos {least:small}',
  },
  'sections too short': {
    en: 'The sections on the register add up to {together:length}; they have to make up the working length, {working:length}',
    es: 'Los tramos del registro suman {together:length}; tienen que sumar la longitud de trabajo, {working:length}',
  },
  'never calibrated': {
    en: 'The instrument was out of calibration on {on:date} (no calibration is recorded); a test counts inside such a period',
    es: 'El instrumento no tenía calibración vigente el {on:date} (no consta ninguna calibración); una prueba cuenta dentro de tal periodo',
  },
  'out of calibration by a rule': {
    en: 'The instrument was out of calibration on {on:date} (calibrated for {periods:periods}, {months:number} months at most by {source}); a test counts inside such a period',
    es: 'El instrumento no tenía calibración vigente el {on:date} (calibrado para {periods:periods}, {months:number} meses como máximo según {source}); una prueba cuenta dentro de tal periodo',
  },
  'out of calibration': {
    en: 'The instrument was out of calibration on {on:date} (calibrated for {periods:periods}); a test counts inside such a period',
    es: 'El instrumento no tenía calibración vigente el {on:date} (calibrado para {periods:periods}); una prueba cuenta dentro de tal periodo',
  },
  'no check stated': {
    en: 'the procedure states no check reading, so nothing shows that the instrument read true',
    es: 'el procedimiento no indica lectura de comprobación, así que nada muestra que el instrumento leyera bien',
  },
  'no check before': {
    en: 'no check reading of {expected:number} µA before the first reading; the procedure asks for one',
    es: 'falta la lectura de comprobación de {expected:number} µA antes de la primera lectura; el procedimiento la pide',
  },
  'no check after': {
    en: 'no check reading of {expected:number} µA after the last reading; the procedure asks for one',
    es: 'falta la lectura de comprobación de {expected:number} µA después de la última lectura; el procedimiento la pide',
  },
  'check out of tolerance': {
    en: 'the check piece read {read:number} µA {when:when} the readings; {expected:number} µA within {percent:number} % is right',
    es: 'la pieza de comprobación leyó {read:number} µA {when:when} las lecturas; lo correcto es {expected:number} µA con un margen de {percent:number} %',
  },
  'empty instrument out of tolerance': {
    en: 'the empty instrument read {read:number} µA {when:when} the readings; at most {most:number} µA is right',
    es: 'el instrumento vacío leyó {read:number} µA {when:when} las lecturas; lo correcto es {most:number} µA como máximo',
  },
  'all nought': {
    en: 'every reading is 0 µA; a check after the last reading, within its tolerance, has to show that the instrument was alive',
    es: 'todas las lecturas son de 0 µA; una comprobación después de la última lectura, dentro de su tolerancia, tiene que mostrar que el instrumento funcionaba',
  },
  'all alike': {
    en: 'every reading, dry and wet, is the same {figure:number} µA; a check after the last reading, within its tolerance, has to show that the instrument was alive',
    es: 'todas las lecturas, en seco y en húmedo, son de los mismos {figure:number} µA; una comprobación después de la última lectura, dentro de su tolerancia, tiene que mostrar que el instrumento funcionaba',
  },
  'temperature outside': {
    en: 'The temperature was {came:number} °C; the procedure asks for {from:number} to {to:number} °C',
    es: 'La temperatura era de {came:number} °C; el procedimiento pide de {from:number} a {to:number} °C',
  },
  'humidity outside': {
    en: 'The relative humidity was {came:number} %; the procedure asks for {from:number} to {to:number} %',
    es: 'La humedad relativa era de {came:number} %; el procedimiento pide de {from:number} a {to:number} %',
  },
  'temperature missing': {
    en: 'The temperature was not recorded; the procedure asks for it',
    es: 'No se registró la temperatura; el procedimiento la pide',
  },
  'humidity missing': {
    en: 'The relative humidity was not recorded; the procedure asks for it',
    es: 'No se registró la humedad relativa; el procedimiento la pide',
  },
  'conductivity missing': {
    en: 'the conductivity of the water was not recorded; the procedure asks for at most {most:number} µS/cm',
    es: 'no se registró la conductividad del agua; el procedimiento pide {most:number} µS/cm como máximo',
  },
  'conductivity too high': {
    en: 'the water conducted {came:number} µS/cm; the procedure asks for at most {most:number} µS/cm',
    es: 'el agua conducía {came:number} µS/cm; el procedimiento pide {most:number} µS/cm como máximo',
  },
  'water not allowed': {
    en: 'misted with {water:water} water; distilled or demineralised water is right',
    es: 'rociada con agua {water:water}; lo correcto es agua destilada o desmineralizada',
  },
  'wet appearance': {
    en: 'the water stood as a {appearance:appearance}; separate beads are right',
    es: 'el agua formaba {appearance:appearance}; lo correcto son gotas separadas',
  },
  'not settled': {
    en: 'the reading is not recorded as settled; it counts once it has come to rest with the voltage on',
    es: 'no consta que la lectura se estabilizara; cuenta cuando ha llegado al reposo con la tensión aplicada',
  },
  'state missing': {
    en: 'not tested; a test of {construction:construction} includes it',
    es: 'sin probar; una prueba de {construction:construction} lo incluye',
  },
  'in the guard band': {
    en: "{microamps:number} µA; the limit is {comparison:comparison} {limit:number} µA ({source}), less {percent:number} % for the instrument's uncertainty",
    es: 'corriente de fuga de {microamps:number} µA; el límite es {comparison:comparison} {limit:number} µA ({source}), menos {percent:number} % por la incertidumbre del instrumento',
  },
  'over the limit': {
    en: '{microamps:number} µA; the limit is {comparison:comparison} {limit:number} µA ({source})',
    es: 'corriente de fuga de {microamps:number} µA; el límite es {comparison:comparison} {limit:number} µA ({source})',
  },
  'limit for what is not known to be applied': {
    en: 'the limit of {limit:number} µA ({source}) is for {applied}, and the register does not say what the instrument applies; its entry has to say so',
    es: 'el límite de {limit:number} µA ({source}) es para {applied}, y el registro no dice qué aplica el instrumento; su ficha tiene que decirlo',
  },
  'no limit for what is applied too': {
    en: 'the procedure has no limit for {construction:construction} of {diameter:small} read over {over:length}, {applied}; it needs one with its source',
    es: 'el procedimiento no tiene límite para {construction:construction} de {diameter:small} leída en {over:length}, {applied}; necesita uno con su fuente',
  },
  'no limit': {
    en: 'the procedure has no limit for {construction:construction} of {diameter:small} read over {over:length}; it needs one with its source',
    es: 'el procedimiento no tiene límite para {construction:construction} de {diameter:small} leída en {over:length}; necesita uno con su fuente',
  },
  'uncertainty missing': {
    en: 'a guarded decision needs the expanded uncertainty of the instrument, and none is recorded',
    es: 'una decisión con margen de seguridad necesita la incertidumbre expandida del instrumento, y no consta ninguna',
  },
} as const satisfies Record<string, Entry>
