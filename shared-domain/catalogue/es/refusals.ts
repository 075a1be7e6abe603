/** Sentences on what is refused, to whoever sent it. In Spanish. */

import type { refusing as english } from '../en/refusals.ts'
import { lines } from '../lines.ts'

export const refusingInSpanish = {
  'title malformed': 'El contenido no es JSON',
  'title not signed in': 'Sin iniciar sesión',
  'title not allowed': 'No está permitido',
  'title not found': 'No existe nada con este nombre',
  'title refused': 'Las reglas no admiten este paso',
  'title too large': 'El contenido es demasiado grande',
  'title invalid': 'Lo enviado tiene errores',
  'title invalid, path': 'La dirección tiene errores',
  'title invalid, query': 'La consulta tiene errores',
  'title invalid, body': 'El contenido tiene errores',
  'title try again': 'Otras personas escribían al mismo tiempo',
  'title too many': 'Demasiado a la vez',

  'malformed: not UTF-8': 'No es UTF-8, o se perdieron letras por el camino (U+FFFD).',
  'malformed: not JSON': 'No es JSON.',
  'too large: body': 'Como mucho {$most :figure} bytes.',
  'too large: entry': 'La inscripción ocupa {$bytes :figure} bytes; se pueden guardar como mucho {$most :figure}.',
  'too large: record':
    'Con su veredicto el registro ocupa {$bytes :figure} bytes; se pueden guardar como mucho {$most :figure}.',
  'try again: nothing written': 'No se escribió nada. Envíe lo mismo otra vez.',
  'too many: wait': lines(
    'No se escribió nada: su organización envía ahora tanto que a otras no les llegaría el turno. Envíe lo mismo otra',
    'vez dentro de {$seconds :figure} s.',
  ),

  'not signed in: other token':
    'Este token no es para esta API: envíe un token de acceso emitido para un cliente de este servicio.',
  'not signed in: signed out': 'Esta persona cerró después la sesión en todas partes: inicie sesión otra vez.',
  'not signed in: ended': 'Esta persona ya no está en el registro de personas: su último día fue el {$until :date}.',

  'not allowed: not bound': lines(
    'Todavía no se conoce a nadie por este inicio de sesión. Inicie sesión una vez en una página de este servicio,',
    'con la dirección de correo de su inscripción en el registro de personas; un responsable puede inscribirle allí.',
  ),
  'not allowed: no entry': 'Esta persona no está en el registro de personas.',
  'not allowed: own rights':
    'Nadie amplía sus propios derechos: esto lo tiene que inscribir otra persona que pueda hacerlo.',
  'not allowed: own sign-in': 'Nadie se libera a sí mismo: lo hace otra persona que pueda darle de alta.',
  'not allowed: role': 'Esto no corresponde a la función de {$role :word of=role}.',
  'not allowed: stick': 'Esta pértiga es de otra cuadrilla o de otra base.',
  'not allowed: crew': 'Esta cuadrilla no es la suya.',
  'not allowed: bench': 'Este banco de pruebas es de una base que no es suya.',
  'not allowed: notice': 'Este aviso es sobre otra cuadrilla u otra base.',
  'not allowed: move by a crew': lines(
    'Cualquiera puede informar de que una pértiga se perdió o se halló. Un capataz puede entregar una pértiga que está',
    'con su cuadrilla a otra de la misma base. Los demás traslados los anota el banco de pruebas.',
  ),
  'not allowed: entry of no depot':
    'Esto no pertenece a ninguna base: lo inscribe un titular, o un responsable de todas las bases.',
  'not allowed: entry of a depot':
    'Esta base no es la suya. Una nueva la inscribe un titular, o un responsable de todas las bases.',
  'not allowed: entry of a crew': 'Esta cuadrilla pertenece, o pertenecería, a una base que no es la suya.',
  'not allowed: entry of a person': 'Esta persona tiene, o tendría, una base o una cuadrilla que no es la suya.',
  'not allowed: entry of a stick': 'Esta pértiga pertenece a una base que no es la suya.',
  'not allowed: such an entry': 'Usted no puede anotar esto: pida a un responsable o a un titular que lo haga.',
  'not allowed: entry of an owner': 'Solo un titular puede inscribir o cambiar a un titular.',
  'not allowed: own proposal': 'Aprueba o rechaza alguien distinto de quien propuso.',
  'not allowed: hand in the proof':
    'Quien probó esta pértiga, o la inscribió después, no aprueba que sea la misma pértiga.',
  'not allowed: hand in the edition': 'Quien inscribió o aprobó lo que se va a corregir no aprueba su corrección.',
  'not allowed: hand in the tests': 'Quien hizo o anotó una de estas pruebas no aprueba que cuente.',
  'not allowed: hand in the slip': 'Quien hizo, anotó o aprobó lo que se va a corregir no aprueba su corrección.',

  'none: stick': 'No hay ninguna pértiga {$stick}.',
  'none: stick known on': 'No hay ninguna pértiga {$stick} que se conociera el {$on :date}.',
  'none: stick of a report': 'No hay todavía ninguna pértiga a la que se asignara el informe {$report}.',
  'none: bench test': 'No hay ninguna prueba en banco {$test} de la pértiga {$stick}.',
  'none: fact': 'No hay ningún hecho {$fact}.',
  'none: report': 'No hay ningún informe {$report} sobre un número que no lleva ninguna pértiga.',
  'none: notice': 'No hay ningún aviso {$notice}.',
  'none: recall': 'No hay ninguna llamada a revisión {$recall}.',
  'none: proposal': 'No hay ninguna propuesta {$proposal}.',
  'none: edition': 'No hay ninguna edición {$edition} de {$entry :word of=register} {$id}.',
  'none: entry on': 'No hay {$entry :word of=register} {$id} el {$on :date}.',
  'none: entry': 'No hay {$entry :word of=register} {$id}.',
  'none: depot to read': 'No hay ninguna base {$depot} que usted pueda ver.',
  'none: organisation': 'No hay ninguna organización {$organisation} que sea la suya.',
  'none: policy': 'No hay ninguna política {$policy}: una organización tiene una, y se llama {$named}.',
  'none: feed': 'No hay ningún calendario {$feed} de la cuadrilla {$crew}.',
  'none: register': 'No existe el registro {$register}.',
  'none: mark': 'No hay ninguna marca en {$address}.',
  'none: name': 'No hay ningún nombre {$name} entre {$things :word of=things}.',

  'refused: fact id used': 'El factId {$fact} ya es de otro hecho. No se cambió nada.',
  'refused: same test':
    'Esta prueba ya consta, con el factId {$fact}. Una prueba que se repitió tiene su propia hora. No se cambió nada.',
  'refused: fact corrected': 'Este hecho ya no vale: alguien lo corrigió. No se cambió nada.',
  'refused: edition taken back': 'Esta edición ya no vale: se retiró antes.',
  'refused: only edition': 'Es la única edición de esta inscripción: ponga otra en su lugar.',
  'refused: only entry':
    'Es la única inscripción de esta pértiga: ponga otra en su lugar, o anote la pértiga como desechada.',
  'refused: no fact yet': 'No es un hecho: espera a que se indique una pértiga o a una segunda persona, o se rechazó.',
  'refused: a correction':
    'Una corrección no se corrige: corrija lo que está en lugar del error, o anote de nuevo lo que se retiró.',
  'refused: unknown fact':
    'Esta versión del servicio no sabe leer ese hecho y no corrige nada de él. Pregunte a quien lleva el servicio.',
  'refused: too many tests': lines(
    'Con esto, {$tests :figure} pruebas de la pértiga se leerían de otro modo, y se juzgan de nuevo como mucho {$most',
    ':figure} a la vez: ponga una inscripción nueva.',
  ),
  'refused: no room for recall': lines(
    'No hay sitio para otra llamada a revisión que nombre tantas pértigas: ábrala para menos, o por su lote.',
  ),
  'refused: recall closed': 'Esta llamada a revisión ya está cerrada.',
  'refused: recall under way':
    'Aún no están en sus listas todas las pértigas de esta llamada, o no se avisó a todos sus lectores.',
  'refused: stick of recall':
    'La pértiga {$stick} sigue retenida por esta llamada: se prueba, se retira, o se nombra como no encontrada.',
  'refused: more of recall': 'Y {$sticks :integer} pértigas más siguen retenidas por esta llamada.',
  'refused: nothing to count': lines(
    'La pértiga {$stick} no tiene una prueba anterior que pueda contar: una que haya pasado, sin nada en contra de la',
    'pértiga y sin una prueba completa posterior en este servicio.',
  ),
  'refused: other edition': 'La inscripción tiene otra edición desde que se propuso esto: propóngalo de nuevo.',
  'refused: changed since': lines(
    'Lo que esto retiraría ha cambiado desde que se propuso, así que no es lo que se le dijo: rechácelo y propóngalo',
    'de nuevo.',
  ),
  'refused: approved already': 'Esta propuesta ya se aprobó.',
  'refused: declined already': 'Esta propuesta ya se rechazó.',
  'refused: placed already': 'Este informe se asignó a la pértiga {$stick}.',
  'refused: no room for editions': lines(
    'Su inscripción se cambió tantas veces que no caben más ediciones con la pértiga; inscríbala con un número nuevo:',
    '{$bytes :figure} bytes de {$most :figure}. No se cambió nada.',
  ),
  'refused: no room before a test': lines(
    'Desde su última prueba en banco completa se anotó tanto que no cabe más de esta clase antes de la siguiente:',
    '{$bytes :figure} bytes de {$most :figure}. No se cambió nada.',
  ),
  'refused: too many feeds': lines(
    'Esta cuadrilla tiene {$most :figure} calendarios en uso. Anule uno que nadie necesite y haga otro. No se cambió',
    'nada.',
  ),
  'refused: test does not fit':
    'Tal como están ahora los registros, la prueba no se puede juzgar: {$pointer} tiene que ser {$right :said}',

  'right: nothing known': 'nada: este nombre no se conoce aquí',
  'right: none of the others': 'ninguno; se indican los primeros {$most :figure}',
  'right: each name once': 'cada nombre una sola vez',
  'right: less deep': 'listas y objetos unos dentro de otros hasta {$most :figure} niveles como mucho',

  'right: a string': 'un texto',
  'right: a number': 'un número',
  'right: a whole number': 'un número entero',
  'right: true or false': 'sí o no',
  'right: an object': 'un objeto',
  'right: an array': 'una lista',
  'right: a tuple': 'una lista de tantos elementos',
  'right: a record': 'un objeto con nombres conocidos',
  'right: a nonoptional': 'algo: aquí falta',
  'right: value': '{$value}',
  'right: one of': 'uno de {$values}',
  'right: at least': 'al menos {$least :figure}',
  'right: at most': 'como mucho {$most :figure}',
  'right: more than': 'más de {$least :figure}',
  'right: less than': 'menos de {$most :figure}',
  'right: letters at least': 'una longitud de al menos {$least :figure}',
  'right: letters at most': 'una longitud de como mucho {$most :figure}',
  'right: entries at least': 'un número de elementos de al menos {$least :figure}',
  'right: so many sticks': 'de 1 a {$most :figure} pértigas',
  'right: entries at most': 'un número de elementos de como mucho {$most :figure}',
  'right: a share': 'una parte entre {$least :figure} y {$most :figure}',
  'right: a whole number from': 'un número entero de {$from :figure} a {$to :figure}',
  'right: no nearer to nought': '0, o una cifra no más próxima a 0 que {$finest}',

  'right: an identifier': lines(
    'un identificador de 1 a 64 letras, cifras, puntos, guiones o guiones bajos, que empiece y termine con una letra',
    'o cifra',
  ),
  'right: a UUID': 'un UUID',
  'right: a UUID of its own': 'un UUID propio, o nada',
  'right: an id of its own': 'un identificador propio',
  'right: a line':
    'texto en una línea de 1 a {$most :figure} caracteres, con alguna letra o cifra y nada que no se pueda ver',
  'right: text that shows':
    'texto sin caracteres de control, cambios del sentido de la escritura ni letras que no se puedan mostrar',
  'right: a mail address': 'una dirección de correo en ASCII como ana@crew.example',
  'right: an address for here': 'una dirección que se pueda usar aquí: esta no se puede',
  'right: a mail address of fewer letters':
    'una dirección de correo cuya parte anterior a la @ tenga como mucho 64 caracteres',
  'right: a way to tell': 'un correo o un teléfono, para poder avisar a esta persona',
  'right: every depot or one': '"*" o el identificador de una base',
  'right: a tester': 'un nombre, o {$shape} de alguien del registro de personas',

  'right: a date': 'una fecha real del calendario escrita AAAA-MM-DD',
  'right: a date as written': 'una fecha del calendario escrita AAAA-MM-DD',
  'right: an hour': 'una hora local escrita HH:MM',
  'right: a time zone': 'una zona horaria IANA como America/Chicago',
  'right: from the day that binds': lines(
    'una fecha desde el {$first :date}:',
    'rige la edición de ese día, y una anterior no quita nada',
  ),
  'right: another day first': lines(
    'primero el {$first :date}, luego este día:',
    'la edición de ese día volvería a dejar entrar a esta persona',
  ),
  'right: not after': 'una fecha no posterior al {$last :date}',
  'right: not after, at the stick': 'una fecha no posterior al {$last :date}, hoy en la base de la pértiga',
  'right: not after, at its depot': 'una fecha no posterior al {$last :date}, hoy en su base',
  'right: not after, check the year': 'una fecha no posterior al {$last :date}, hoy: compruebe el año',
  'right: so few days':
    'tan pocos días que el último de ellos no sea posterior al {$last :date}, hoy en la base de la pértiga',
  'right: an hour that has come':
    'una hora que ya haya llegado: como mucho diez minutos por delante del reloj de la base de la pértiga',
  'right: an hour of that day':
    'una hora que el {$on :date} tenga en la base de la pértiga; el reloj se adelantó por encima de esta',
  'right: hour of the work': 'la hora de este trabajo, HH:MM: se anota en un día posterior',
  'right: hour after what is against it':
    'su hora, HH:MM: ese día consta algo en contra de la pértiga, o una reparación',
  'right: hour after its test': 'su hora, HH:MM: la prueba que libera fue el mismo día',
  'right: before the year 3000': 'una fecha anterior al año 3000',
  'right: not before it is lent': 'una fecha no anterior al {$first :date}, el día en que se presta',
  'right: told between':
    'una fecha desde el {$first :date}, cuando se debía el aviso, hasta el {$last :date}, hoy en su base',
  'right: after lastGoodOn': 'una fecha posterior a lastGoodOn',
  'right: a Monday': 'un lunes',
  'right: on or after calibratedOn': 'una fecha igual o posterior a calibratedOn',
  'right: the full scale': 'el fondo de escala en µA si el error es un porcentaje de él, y nada en los demás casos',
  'right: found to have read wrong': 'true cuando `foundError` dice en cuánto leía mal',
  'right: soon after calibratedOn':
    'una fecha como mucho {$months :figure} meses posterior a calibratedOn: compruebe el año',

  'right: depot on the register': 'una base del registro',
  'right: crew on the register': 'una cuadrilla del registro',
  'right: person on the register': 'una persona del registro',
  'right: instrument on the register': 'un instrumento del registro',
  'right: procedure on the register': 'un procedimiento del registro',
  'right: demonstration on the register': 'una demostración del registro',
  'right: stick held by the recall': 'una pértiga que esta llamada aún retiene',
  'right: stick on the register': 'una pértiga del registro',
  'right: this': '{$one}',
  'right: this or': '{$one} o {$others :said}',
  'right: procedure that names it': '{$procedures :said}, que nombra la {$stick}',
  'right: procedure for it': 'un procedimiento para la {$stick}: este nombra las pértigas para las que es',
  'right: nobody': 'nadie: este aviso no pide avisar a nadie',
  'right: telephone': 'el teléfono de la persona a quien se avisó: {$phones :said}',
  'right: next': 'el `next` de una respuesta anterior a la misma pregunta',

  'right: something else': 'otra cosa que lo que dice el error',
  'right: no stick named': 'nada: esto pertenece a su propia pértiga',
  'right: another stick': 'otra pértiga, o nada: ya es de esta',
  'right: null for judged again': 'null: se retira, y se juzga de nuevo',
  'right: null for a verdict': 'null: un veredicto se retira, y se juzga de nuevo',
  'right: an edition': 'una edición tal como se respondió, como 2026-03-02#0001',
  'right: what is corrected': 'el factId de un hecho, o {$shape}',
  'right: forms': '{$forms} o {$last}',

  'right: a band': 'un intervalo escrito [desde, hasta] con desde no mayor que hasta',
  'right: a window': 'un margen escrito [desde, hasta] con desde no mayor que hasta',
  'right: millimetres': 'al menos {$least :figure}: milímetros, no pulgadas',
  'right: sections that differ': 'tramos con nombres distintos',
  'right: kilovolts per metre': lines(
    'kilovoltios por metro: los {$perFoot :figure} kV por pie de la norma son {$perMetre :figure} kV por metro, y',
    'esto parece una cifra por pie (comprobación propia, dentro del 5 %)',
  ),
  'right: demonstration': lines(
    'la demostración de la empresa: esto es, o puede ser, menos que los {$perFoot :figure} kV por pie durante',
    '{$seconds :figure} s de la propia norma',
  ),
  'right: no longer interval': 'un intervalo no más largo que el de la propia norma, {$own :said} ({$source})',
  'right: so many months': '{$count :figure} meses',
  'right: so many days': '{$count :figure} días',
  'right: so many days of use': '{$count :figure} días de uso',
  'right: once and for all': 'una vez para siempre',
  'right: a requirement': 'un requisito de un conjunto de reglas: {$names}',
  'right: optional': 'lo que un conjunto de reglas deja opcional: {$names}',
  'right: each requirement once': 'cada requisito no más de una vez',
  'right: a name of its own': 'un nombre que no tenga ningún otro requisito',
  'right: falling days': 'días que bajan, como [60, 30, 0]',
  'right: evidence that a test renews': lines(
    'constancia distinta de {$evidence :word of=evidence}, que una prueba completa no renueva: el uso y la clase de',
    'servicio se conocen desde esa prueba',
  ),
  'right: no maximum': 'nada en lo que es un máximo legal, o difiere por clase de servicio',
} as const satisfies { readonly [name in keyof typeof english]: string }
