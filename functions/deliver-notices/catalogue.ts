/**
 * What mails say, English beside Spanish. A place in braces names its value and, where it has one, its kind: a date, a
 * length, a number or one of the words in `words.ts`. Citations, names and what people typed stand as they were written.
 */
import { safetyWords } from '../../shared-domain/safety-words.ts'
import type { Language } from '../../shared-domain/words.ts'

export type Entry = { readonly [language in Language]: string }

const fullTest: Entry = {
  en: 'a full bench test that passes: examined, cleaned, all four quarter turns along the whole working length, dry and, for FRP, wet',
  es: 'una prueba completa en banco con resultado satisfactorio: examinada, limpia, los cuatro cuartos de vuelta en toda la longitud de trabajo, en seco y, si es de FRP, en húmedo',
}

const stepThenTest: Entry = {
  en: `cleaned, refinished or repaired (waxing alone hides leakage), then ${fullTest.en}`,
  es: `limpieza, acabado renovado o reparación (la cera sola oculta la fuga) y después ${fullTest.es}`,
}

const mendedThenTest: Entry = {
  en: `repaired or refinished, and that recorded as a step, then ${fullTest.en}`,
  es: `su reparación o renovación del acabado, registrada como paso, y después ${fullTest.es}`,
}

const cleanedThenTest: Entry = {
  en: `cleaned, and that recorded as a step, then ${fullTest.en}`,
  es: `su limpieza, registrada como paso, y después ${fullTest.es}`,
}

const waxedAsStep: Entry = {
  en: 'waxed, and that recorded as a step',
  es: 'su encerado, registrado como paso',
}

const notMended: Entry = {
  en: 'Passed a test, but nothing on record mended what its examination had found',
  es: 'Pasó una prueba, pero no consta nada que corrigiera lo que halló su examen',
}

const subjects = {
  'subject overdue, one': { en: '1 stick overdue: do not use', es: '1 pértiga vencida: no la use' },
  'subject overdue': {
    en: '{overdue:number} sticks overdue: do not use',
    es: '{overdue:number} pértigas vencidas: no las use',
  },
  'subject due, one': { en: '1 stick due for the bench', es: '1 pértiga debe ir al banco de pruebas' },
  'subject due': {
    en: '{soon:number} sticks due for the bench',
    es: '{soon:number} pértigas deben ir al banco de pruebas',
  },
  'subject overdue, one, and due': {
    en: '1 stick overdue: do not use; {soon:number} due for the bench',
    es: '1 pértiga vencida: no la use; al banco de pruebas: {soon:number}',
  },
  'subject overdue and due': {
    en: '{overdue:number} sticks overdue: do not use; {soon:number} due for the bench',
    es: '{overdue:number} pértigas vencidas: no las use; al banco de pruebas: {soon:number}',
  },
  'subject lent, one': { en: '1 stick lent out is not back', es: '1 pértiga prestada no ha vuelto' },
  'subject lent': {
    en: '{lent:number} sticks lent out are not back',
    es: '{lent:number} pértigas prestadas no han vuelto',
  },
  'subject and lent': {
    en: '{subject}; lent out and not back: {lent:number}',
    es: '{subject}; prestadas y sin volver: {lent:number}',
  },
  'subject labels': {
    en: 'Wrong labels to take off or change: {labels:number}',
    es: 'Etiquetas incorrectas por quitar o cambiar: {labels:number}',
  },
  'subject and labels': {
    en: '{subject}; wrong labels: {labels:number}',
    es: '{subject}; etiquetas incorrectas: {labels:number}',
  },
  'subject look, one': { en: '1 stick to be looked over', es: '1 pértiga por revisar' },
  'subject look': { en: '{looks:number} sticks to be looked over', es: '{looks:number} pértigas por revisar' },
  'subject not looked over, one': {
    en: '1 stick not looked over in time: do not use',
    es: '1 pértiga sin revisar a tiempo: no la use',
  },
  'subject not looked over': {
    en: '{late:number} sticks not looked over in time: do not use',
    es: '{late:number} pértigas sin revisar a tiempo: no las use',
  },
  'subject and looks': {
    en: '{subject}; to be looked over: {looks:number}',
    es: '{subject}; por revisar: {looks:number}',
  },
  'subject hold': { en: 'Stick {stick} is on hold: do not use it', es: 'La pértiga {stick} está retenida: no la use' },
  'subject hold since rules, one': {
    en: 'Stick {stick} is on hold since the rules changed: do not use it',
    es: 'La pértiga {stick} está retenida desde que cambiaron las reglas: no la use',
  },
  'subject hold since rules': {
    en: '{sticks:number} sticks are on hold since the rules changed: do not use them',
    es: '{sticks:number} pértigas están retenidas desde que cambiaron las reglas: no las use',
  },
  'subject hold since day': {
    en: '{sticks:number} sticks are on hold from today: do not use them',
    es: '{sticks:number} pértigas están retenidas desde hoy: no las use',
  },
  'subject return since rules, one': {
    en: 'Stick {stick} is back in service since the rules changed',
    es: 'La pértiga {stick} vuelve al servicio desde que cambiaron las reglas',
  },
  'subject return since rules': {
    en: '{sticks:number} sticks are back in service since the rules changed',
    es: '{sticks:number} pértigas vuelven al servicio desde que cambiaron las reglas',
  },
  'subject return since day': {
    en: '{sticks:number} sticks are back in service from today',
    es: '{sticks:number} pértigas vuelven al servicio desde hoy',
  },
  'subject hold since correction': {
    en: '{sticks:number} sticks are on hold, since what they were tested by was wrong: do not use them',
    es: '{sticks:number} pértigas están retenidas, porque aquello con que se probaron estaba mal: no las use',
  },
  'subject return since correction': {
    en: '{sticks:number} sticks are back in service: what they were tested by is put right',
    es: '{sticks:number} pértigas vuelven al servicio: se corrigió aquello con que se probaron',
  },
  'subject hold, untested': {
    en: 'Stick {stick} is to be tested before it is used: do not use it',
    es: 'La pértiga {stick} debe probarse antes de usarla: no la use',
  },
  'subject removal': {
    en: 'Stick {stick} is removed from service for good: do not use it',
    es: 'La pértiga {stick} se retira del servicio para siempre: no la use',
  },
  'subject return': { en: 'Stick {stick} is back in service', es: 'La pértiga {stick} vuelve al servicio' },
  'subject put right': {
    en: 'Stick {stick} had a slip in its record, which is put right',
    es: 'La pértiga {stick} tenía un error en su registro, ya corregido',
  },
  'subject used while unfit': {
    en: 'Stick {stick} was used while it was not fit for use',
    es: 'La pértiga {stick} se usó cuando no era apta para el uso',
  },
  'subject report': {
    en: 'Stick {stick} has a report that you should know of',
    es: 'La pértiga {stick} tiene un informe que usted debe conocer',
  },
  'subject report, unknown number': {
    en: 'Danger reported on “{stick}”, a number that no stick has',
    es: 'Peligro informado con el número “{stick}”, que ninguna pértiga tiene',
  },
  'subject proposal, open': {
    en: 'A change waits for your approval: {what}',
    es: 'Un cambio espera su aprobación: {what}',
  },
  'subject proposal, approved': { en: 'A change was approved: {what}', es: 'Se aprobó un cambio: {what}' },
  'subject proposal, declined': { en: 'A change was declined: {what}', es: 'Se rechazó un cambio: {what}' },
  'subject calibration': {
    en: 'Instrument {id}: its calibration counts through {on:date}',
    es: 'Instrumento {id}: su calibración vale hasta el {on:date}',
  },
  'subject calibration, out': {
    en: 'Instrument {id} is out of calibration: tests with it prove nothing',
    es: 'Instrumento {id} sin calibración vigente: las pruebas con él no demuestran nada',
  },
  'subject unanswered': {
    en: 'Stick {stick} must not be used, and not all have confirmed it',
    es: 'La pértiga {stick} no debe usarse y no todos lo han confirmado',
  },
  'subject unanswered, several': {
    en: '{sticks:number} sticks must not be used, and nobody has confirmed it',
    es: '{sticks:number} pértigas no deben usarse y nadie lo ha confirmado',
  },
  'subject not delivered': {
    en: 'Stick {stick} is in a notice that was not delivered',
    es: 'La pértiga {stick} está en un aviso que no se entregó',
  },
  'subject date brought forward': {
    en: 'Stick {stick} is due earlier than its label says',
    es: 'La pértiga {stick} vence antes de lo que dice su etiqueta',
  },
} as const satisfies Record<string, Entry>

const toDo = {
  'do digest, some overdue': {
    en: 'Sticks of yours are overdue or due soon. Do not use an overdue one and bring it to the bench now; bring the others by the date beside each.',
    es: 'Usted tiene pértigas vencidas o próximas a vencer. No use ninguna vencida y llévela ya al banco de pruebas; lleve las demás a más tardar en la fecha indicada en cada una.',
  },
  'do digest': {
    en: 'Bring these sticks to the bench by the date beside each. Each may be used through that day and not after it.',
    es: 'Lleve estas pértigas al banco de pruebas a más tardar en la fecha indicada en cada una. Cada una puede usarse hasta ese día inclusive, no después.',
  },
  'do digest, lent': {
    en: 'Sticks of yours that are lent out are not back by the day agreed. Ask whoever has each one where it is and how it stands, get it back, or have a new day recorded.',
    es: 'Pértigas suyas que están prestadas no han vuelto en la fecha acordada. Pregunte a quien tiene cada una dónde y cómo está, recupérela o haga registrar una nueva fecha.',
  },
  'do digest, label': {
    en: 'Where a label shows a later date, go by the date here, take the label off or change it, and have that recorded.',
    es: 'Si una etiqueta muestra una fecha posterior, guíese por la de aquí, quite o cambie la etiqueta y hágalo registrar.',
  },
  'do look': {
    en: 'Look these sticks over where they lie, by the date beside each, and record the look. One whose date is past must not be used before that is done.',
    es: 'Revise estas pértigas donde se encuentran, a más tardar en la fecha indicada en cada una, y regístrelo. La que tenga la fecha pasada no debe usarse antes de hacerlo.',
  },
  'do look too': {
    en: 'Those that are only to be looked over are looked over where they lie, and need not come to the bench.',
    es: 'Las que solo deben revisarse se revisan donde se encuentran y no tienen que ir al banco de pruebas.',
  },
  'do hold': {
    en: 'Stop using this stick now, tag it, and bring it to the bench. It must not be used until what is named below is done and recorded.',
    es: 'Deje de usar esta pértiga ahora, póngale etiqueta de fuera de servicio y llévela al banco de pruebas. No debe usarse hasta que lo indicado abajo esté hecho y registrado.',
  },
  'do hold, at the bench': {
    en: 'Do not use this stick. It is at the bench: tag it and leave it there. It must not be used until what is named below is done and recorded.',
    es: 'No use esta pértiga. Está en el banco de pruebas: póngale etiqueta de fuera de servicio y déjela allí. No debe usarse hasta que lo indicado abajo esté hecho y registrado.',
  },
  'do hold, in store': {
    en: 'Do not use this stick. It is in store: tag it there, give it to nobody, and bring it to the bench. It must not be used until what is named below is done and recorded.',
    es: 'No use esta pértiga. Está en almacén: póngale allí etiqueta de fuera de servicio, no la entregue a nadie y llévela al banco de pruebas. No debe usarse hasta que lo indicado abajo esté hecho y registrado.',
  },
  'do hold, several': {
    en: 'Stop using these sticks now and tag each. Bring those that are out to the bench, and give none of them to anybody. None may be used until what is named beside it is done and recorded.',
    es: 'Deje de usar estas pértigas ahora y póngale a cada una etiqueta de fuera de servicio. Lleve al banco de pruebas las que estén fuera y no entregue ninguna a nadie. Ninguna debe usarse hasta que lo indicado junto a ella esté hecho y registrado.',
  },
  'do return, several': {
    en: 'Nothing stands against these sticks any more, and they may be used again.',
    es: 'Nada pesa ya sobre estas pértigas y pueden usarse de nuevo.',
  },
  'do unanswered, several': {
    en: 'These sticks must not be used, and the people named below have not confirmed that they know. Make sure that they do, now, by telephone or in person.',
    es: 'Estas pértigas no deben usarse, y las personas nombradas abajo no han confirmado que lo saben. Asegúrese ahora de que lo sepan, por teléfono o en persona.',
  },
  'since rules, one': {
    en: 'The rules in force have changed. Nothing happened to the stick itself.',
    es: 'Las reglas en vigor han cambiado. A la pértiga misma no le pasó nada.',
  },
  'since rules': {
    en: 'The rules in force have changed. Nothing happened to the sticks themselves.',
    es: 'Las reglas en vigor han cambiado. A las pértigas mismas no les pasó nada.',
  },
  'since correction, one': {
    en: 'What this stick was tested by was wrong in the records. Its test was judged again by what is right.',
    es: 'Aquello con que se probó esta pértiga estaba mal en los registros. Su prueba se juzgó de nuevo con lo correcto.',
  },
  'since correction': {
    en: 'What these sticks were tested by was wrong in the records. Their tests were judged again by what is right.',
    es: 'Aquello con que se probaron estas pértigas estaba mal en los registros. Sus pruebas se juzgaron de nuevo con lo correcto.',
  },
  'since day, one': {
    en: 'A day that the rules name has come. Nothing happened to the stick itself.',
    es: 'Ha llegado un día que las reglas señalan. A la pértiga misma no le pasó nada.',
  },
  'since day': {
    en: 'A day that the rules name has come. Nothing happened to the sticks themselves.',
    es: 'Ha llegado un día que las reglas señalan. A las pértigas mismas no les pasó nada.',
  },
  'do removal': {
    en: 'Stop using this stick now and hand it in. It does not come back into service.',
    es: 'Deje de usar esta pértiga ahora y entréguela. No vuelve al servicio.',
  },
  'do removal, at the bench': {
    en: 'Do not use this stick. It is at the bench: tag it and let nobody take it away. It does not come back into service.',
    es: 'No use esta pértiga. Está en el banco de pruebas: póngale etiqueta de fuera de servicio y no deje que nadie se la lleve. No vuelve al servicio.',
  },
  'do return by full test': {
    en: 'This stick passed in full and may be used again.',
    es: 'Esta pértiga pasó la prueba completa y puede usarse de nuevo.',
  },
  'do return by release': {
    en: 'A second person has released this stick, and it may be used again.',
    es: 'Una segunda persona ha liberado esta pértiga y puede usarse de nuevo.',
  },
  'do return by waxing': {
    en: 'This stick has been waxed, nothing else stood against it, and it may be used again.',
    es: 'Esta pértiga se ha encerado, nada más pesaba sobre ella y puede usarse de nuevo.',
  },
  'do return by entry put right': {
    en: 'The entry of this stick on the register has been put right, nothing else stood against it, and it may be used again.',
    es: 'La inscripción de esta pértiga en el registro se ha corregido, nada más pesaba sobre ella y puede usarse de nuevo.',
  },
  'do return by record put right': {
    en: 'What stood against this stick was a slip in its record. It has been put right, and the stick may be used again.',
    es: 'Lo que pesaba sobre esta pértiga era un error en su registro. Se ha corregido y la pértiga puede usarse de nuevo.',
  },
  'do put right': {
    en: 'The record of this stick was wrong and has been put right. Go by what stands below, and change its label where it says otherwise.',
    es: 'El registro de esta pértiga estaba mal y se ha corregido. Guíese por lo que dice abajo y cambie su etiqueta si dice otra cosa.',
  },
  'do return by other': {
    en: 'The holds against this stick are cleared and it may be used again.',
    es: 'Las retenciones que pesaban sobre esta pértiga se han levantado y puede usarse de nuevo.',
  },
  'do used while unfit': {
    en: 'A use of this stick was recorded on a day when it was not fit for use. It must be out of use now: make sure that it is, and that its crew and foreman know.',
    es: 'Se registró un uso de esta pértiga en un día en que no era apta para el uso. Ahora debe estar fuera de uso: asegúrese de que lo está y de que su cuadrilla y su capataz lo saben.',
  },
  'do report': {
    en: 'Somebody reported what is named below. It puts no hold on this stick. Read it, and ask whoever reported it if anything is unclear. If in doubt, take the stick out of use and have it tested.',
    es: 'Alguien informó de lo indicado abajo. No retiene esta pértiga. Léalo y pregunte a quien lo informó si algo no está claro. En caso de duda, retire la pértiga del uso y hágala probar.',
  },
  'do report, tested since': {
    en: 'Somebody reported what is named below. The stick passed a full test since then, so it stays in use. Make sure that the report is not about something that happened after that test. If in doubt, do not use it.',
    es: 'Alguien informó de lo indicado abajo. La pértiga pasó una prueba completa después, por eso sigue en uso. Asegúrese de que el informe no trate de algo ocurrido después de esa prueba. En caso de duda, no la use.',
  },
  'do report, out of use': {
    en: 'Somebody reported what is named below of a stick that must not be used. Somebody may have it in hand: find it, and keep it out of use.',
    es: 'Alguien informó de lo indicado abajo sobre una pértiga que no debe usarse. Quizá alguien la tenga en la mano: búsquela y manténgala fuera de uso.',
  },
  'do report, unknown number': {
    en: 'Danger was reported on a number that no stick has. Find out now which stick is meant, keep it out of use, and place the report with it. Until then nothing holds that stick.',
    es: 'Se informó de un peligro con un número que ninguna pértiga tiene. Averigüe ahora de qué pértiga se trata, manténgala fuera de uso y asígnele el informe. Hasta entonces nada retiene esa pértiga.',
  },
  'do calibration': {
    en: 'Have instrument {id} calibrated, and its new calibration recorded, before {on:date} is over. A test with it on a later day proves nothing, and its stick stays on hold.',
    es: 'Haga calibrar el instrumento {id} y registre su nueva calibración antes de que termine el {on:date}. Una prueba con él en un día posterior no demuestra nada, y su pértiga queda retenida.',
  },
  'do calibration, out': {
    en: 'Do not test with instrument {id}: its calibration counted through {on:date}. A test with it proves nothing, and its stick stays on hold until it is tested with one that is calibrated, or the new calibration is recorded and the test judged again.',
    es: 'No pruebe con el instrumento {id}: su calibración valía hasta el {on:date}. Una prueba con él no demuestra nada, y su pértiga queda retenida hasta que se pruebe con uno calibrado, o se registre la nueva calibración y se juzgue de nuevo la prueba.',
  },
  'do proposal, open': {
    en: '{by} asked for a change of {what}. It would be milder than what binds now, so it needs a second person. Nothing has changed yet. Approve it or decline it.',
    es: '{by} pidió un cambio de {what}. Sería menos estricto que lo vigente, por eso hace falta una segunda persona. Todavía no ha cambiado nada. Apruébelo o rechácelo.',
  },
  'do proposal, approved': {
    en: '{decidedBy} approved the change of {what} that {by} asked for. It binds from its day on.',
    es: '{decidedBy} aprobó el cambio de {what} que pidió {by}. Rige desde su día.',
  },
  'do proposal, declined': {
    en: '{decidedBy} declined the change of {what} that {by} asked for. Nothing has changed.',
    es: '{decidedBy} rechazó el cambio de {what} que pidió {by}. No ha cambiado nada.',
  },
  'do unanswered': {
    en: 'This stick must not be used, and the people named below have not confirmed that they know. Make sure that they do, now, by telephone or in person.',
    es: 'Esta pértiga no debe usarse, y las personas nombradas abajo no han confirmado que lo saben. Asegúrese ahora de que lo sepan, por teléfono o en persona.',
  },
  'do not delivered': {
    en: 'A notice about what is named below did not reach the person named here. Make sure that this person knows it, now, by telephone or in person.',
    es: 'Un aviso sobre lo indicado abajo no llegó a la persona nombrada aquí. Asegúrese ahora de que esa persona lo sepa, por teléfono o en persona.',
  },
  'do date brought forward, past': {
    en: 'The due date of this stick has been brought forward and is past. Stop using it now and bring it to the bench; its label is wrong.',
    es: 'La fecha de vencimiento de esta pértiga se adelantó y ya pasó. Deje de usarla ahora y llévela al banco de pruebas; su etiqueta es incorrecta.',
  },
  'do date brought forward': {
    en: 'The due date of this stick has been brought forward: its label is wrong. Bring it to the bench by the date below.',
    es: 'La fecha de vencimiento de esta pértiga se adelantó: su etiqueta es incorrecta. Llévela al banco de pruebas a más tardar en la fecha indicada abajo.',
  },
} as const satisfies Record<string, Entry>

const frame = {
  greeting: { en: '{name},', es: '{name}:' },
  stick: { en: 'Stick', es: 'Pértiga' },
  status: { en: 'Status', es: 'Estado' },
  'not primary': {
    en: '{status:status}, not for primary protection',
    es: '{status:status}, no es para protección principal',
  },
  crew: { en: 'Crew', es: 'Cuadrilla' },
  due: { en: 'Due', es: 'Vence' },
  label: { en: 'Label', es: 'Etiqueta' },
  loan: { en: 'Lent out', es: 'Prestada' },
  'lent, back 1 day ago': {
    en: 'to {to}, to be back by {on:date}, 1 day ago',
    es: 'a {to}; debía volver el {on:date}, hace 1 día',
  },
  'lent, back days ago': {
    en: 'to {to}, to be back by {on:date}, {days:number} days ago',
    es: 'a {to}; debía volver el {on:date}, hace {days:number} días',
  },
  'bring to': { en: 'Bring to', es: 'Llevar a' },
  'at the bench already': { en: 'at the bench already', es: 'ya está en el banco de pruebas' },
  why: { en: 'Why', es: 'Motivo' },
  'cleared by': { en: 'Cleared by', es: 'Se libera con' },
  rule: { en: 'Rule', es: 'Regla' },
  'label wrong': {
    en: 'Brought forward from {on:date}: a label with that date is wrong',
    es: 'Se adelantó desde el {on:date}: una etiqueta con esa fecha es incorrecta',
  },
  'label too late': {
    en: 'Shows {on:date}, later than the stick is due: take it off or change it',
    es: 'Muestra el {on:date}, posterior al vencimiento: quítela o cámbiela',
  },
  'label still on': {
    en: 'Still shows {on:date}: take it off',
    es: 'Muestra todavía el {on:date}: quítela',
  },
  'due some day': { en: '{on:date}', es: '{on:date}' },
  'due today': { en: '{on:date}, today', es: '{on:date}, hoy' },
  'due in 1 day': { en: '{on:date}, in 1 day', es: '{on:date}, en 1 día' },
  'due in days': { en: '{on:date}, in {days:number} days', es: '{on:date}, en {days:number} días' },
  'due 1 day ago': { en: '{on:date}, 1 day ago', es: '{on:date}, hace 1 día' },
  'due days ago': { en: '{on:date}, {days:number} days ago', es: '{on:date}, hace {days:number} días' },
  'report defect': {
    en: 'Reported from use: {defect:defect}, on {on}, by {by}.',
    es: 'Informado durante el uso: {defect:defect}, el {on}, por {by}.',
  },
  'report unsound look': {
    en: 'Looked at and found not sound, on {on}, by {by}.',
    es: 'Revisada y no hallada en buen estado, el {on}, por {by}.',
  },
  'report missing': { en: 'Reported missing, on {on}, by {by}.', es: 'Informada como perdida, el {on}, por {by}.' },
  'report found': { en: 'Reported found, on {on}, by {by}.', es: 'Informada como hallada, el {on}, por {by}.' },
  'report bench test': {
    en: 'A bench test of {on} that did not pass, recorded by {by}.',
    es: 'Una prueba en banco del {on} que no pasó, registrada por {by}.',
  },
  'report unknown number': {
    en: 'The number as it was given: {number}',
    es: 'El número tal como se dio: {number}',
  },
  'proposal way': {
    en: 'What would be milder: {way}',
    es: 'Lo que sería menos estricto: “{way}” (texto original en inglés)',
  },
  'effect rules': {
    en: 'Counted when it was asked for, sticks: {sticks:number}; fit that must not be used now: {newlyFit:number}; due later: {dueLater:number}; not to be used any more: {noLongerFit:number}.',
    es: 'Contado cuando se pidió, pértigas: {sticks:number}; aptas que ahora no deben usarse: {newlyFit:number}; con vencimiento posterior: {dueLater:number}; que ya no podrían usarse: {noLongerFit:number}.',
  },
  'effect tests': {
    en: 'Counted when it was asked for, sticks last tested by it: {sticks:number}; judged more mildly by this: {milder:number}. What was judged stays.',
    es: 'Contado cuando se pidió, pértigas probadas por última vez con ello: {sticks:number}; con resultado menos estricto: {milder:number}. Lo ya evaluado queda.',
  },
  'effect sticks': {
    en: 'Counted when it was asked for, sticks that it bears on: {sticks:number}.',
    es: 'Contado cuando se pidió, pértigas a las que afecta: {sticks:number}.',
  },
  'effect stick': {
    en: 'When it was asked for the stick was {was:status}; by this it would be {is:status}.',
    es: 'Cuando se pidió, la pértiga estaba {was:status}; con esto estaría {is:status}.',
  },
  'effect counted in part': {
    en: 'Only the first sticks were counted; there are more.',
    es: 'Solo se contaron las primeras pértigas; hay más.',
  },
  'proposal because': { en: 'Asked for because: {because}', es: 'Se pide por este motivo: {because}' },
  'proposal reason': { en: 'Why it was declined: {reason}', es: 'Por qué se rechazó: {reason}' },
  'proposal number': {
    en: 'Number of the proposal, to approve or decline it: {id}',
    es: 'Número de la propuesta, para aprobarla o rechazarla: {id}',
  },
  proposals: { en: 'All changes that need two people', es: 'Todos los cambios que necesitan dos personas' },
  'of policy': { en: 'the policy', es: 'la política' },
  'of organisation': { en: 'the organisation {id}', es: 'la organización {id}' },
  'of demonstration': { en: 'demonstration {id}', es: 'la demostración {id}' },
  'of procedure': { en: 'procedure {id}', es: 'el procedimiento {id}' },
  'of instrument': { en: 'instrument {id}', es: 'el instrumento {id}' },
  'of depot': { en: 'depot {id}', es: 'la base {id}' },
  'of crew': { en: 'crew {id}', es: 'la cuadrilla {id}' },
  'of person': { en: 'person {id}', es: 'la persona {id}' },
  'of stick': { en: 'stick {id}', es: 'la pértiga {id}' },
  'of correction': { en: 'the record of stick {id}', es: 'el registro de la pértiga {id}' },
  'put right': {
    en: 'A slip was put right: {what:what} recorded of {on:date} was wrong.',
    es: 'Se corrigió un error: {what:what} que consta con fecha de {on:date} estaba mal.',
  },
  'put right, belongs to': { en: 'It belongs to stick {stick}.', es: 'Corresponde a la pértiga {stick}.' },
  'put right, came from': {
    en: 'It had been recorded of stick {stick} and belongs to this one.',
    es: 'Constaba en la pértiga {stick} y corresponde a esta.',
  },
  'put right by': { en: 'Put right by {by}, because: {reason}', es: 'Lo corrigió {by}. Motivo: {reason}' },
  'put right because': { en: 'It was put right because: {reason}', es: 'Se corrigió por este motivo: {reason}' },
  'report note': { en: 'In the words of the report: {note}', es: 'En palabras del informe: {note}' },
  'report passed since': {
    en: 'It passed a full test since, on {on:date}.',
    es: 'Pasó una prueba completa después, el {on:date}.',
  },
  'used on': {
    en: 'Used from {on:date}. On {unfit:date} it was {status:status}.',
    es: 'Usada desde el {on:date}. El {unfit:date} estaba {status:status}.',
  },
  'tell in person': {
    en: 'These people of the crew have no mail address. Please tell them in person:',
    es: 'Estas personas de la cuadrilla no tienen correo. Avíseles en persona, por favor:',
  },
  'not confirmed by': { en: 'Not confirmed by: {names}.', es: 'Sin confirmar por: {names}.' },
  'passed on': {
    en: 'This notice could not be delivered to {names}, so it is passed on to you. Make sure that they know it, now, by telephone or in person.',
    es: 'Este aviso no pudo entregarse a {names}, por eso se le pasa a usted. Asegúrese ahora de que lo sepan, por teléfono o en persona.',
  },
  'missed bounced': {
    en: '{name}, {email}: mail to this address came back. Nothing more is sent there until a manager clears the mark on it.',
    es: '{name}, {email}: el correo a esta dirección fue devuelto. No se envía nada más allí hasta que un responsable retire la marca.',
  },
  'missed not taken': {
    en: '{name}, {email}: this mail came back and was not delivered. The mailbox may be full, or its mail server may not take mail just now.',
    es: '{name}, {email}: este correo fue devuelto sin entregarse. El buzón puede estar lleno, o su servidor puede no aceptar correo en este momento.',
  },
  'missed complained': {
    en: '{name}, {email}: the mail was reported as unwanted. Nothing more is sent there until a manager clears the mark on it.',
    es: '{name}, {email}: el correo fue denunciado como no deseado. No se envía nada más allí hasta que un responsable retire la marca.',
  },
  'missed marked': {
    en: '{name}, {email}: nothing is sent to this address, since mail to it came back or was reported as unwanted before.',
    es: '{name}, {email}: no se envía nada a esta dirección, porque el correo ya fue devuelto o denunciado antes.',
  },
  'missed rejected': {
    en: '{name}, {email}: the mail service would not pass this mail on.',
    es: '{name}, {email}: el servicio de correo no quiso transmitir este correo.',
  },
  'missed not rendered': {
    en: '{name}, {email}: the mail service could not make this mail.',
    es: '{name}, {email}: el servicio de correo no pudo componer este correo.',
  },
  'missed refused': {
    en: '{name}, {email}: this mail could not be sent.',
    es: '{name}, {email}: este correo no pudo enviarse.',
  },
  'missed left': {
    en: '{name}, {email}: no longer on the register of people, so nothing is sent there. Where a crew still names this address, take it off.',
    es: '{name}, {email}: no figura ya en el registro de personas, así que no se le envía nada. Si una cuadrilla aún nombra esta dirección, quítela.',
  },
  confirm: { en: 'Confirm that you have read this', es: 'Confirme que ha leído esto' },
  'confirm within': {
    en: 'The link opens a page with a button. Unconfirmed after {hours:number} hours, the next person up is told. Holds, removals and recalls are safety notices: nobody can opt out of them.',
    es: 'El enlace abre una página con un botón. Sin confirmar después de {hours:number} horas, se avisa a la siguiente persona. Las retenciones, retiradas y llamadas a revisión son avisos de seguridad: nadie puede darse de baja de ellos.',
  },
  'confirm at all': {
    en: 'The link opens a page with a button. Holds, removals and recalls are safety notices: nobody can opt out of them.',
    es: 'El enlace abre una página con un botón. Las retenciones, retiradas y llamadas a revisión son avisos de seguridad: nadie puede darse de baja de ellos.',
  },
  'more people': {
    en: 'and {more:number} more people: the register of crews names them',
    es: 'y {more:number} personas más: el registro de cuadrillas las nombra',
  },
  totals: { en: 'Sticks: {sticks:number} ({counts})', es: 'Pértigas: {sticks:number} ({counts})' },
  'more sticks': { en: 'and {more:number} more on the roster', es: 'y {more:number} más en la lista de pértigas' },
  'more holds': {
    en: '{more:number} more holds stand against it; its page names them',
    es: '{more:number} retenciones más pesan sobre ella; su página las nombra',
  },
  roster: { en: 'The roster', es: 'La lista de pértigas' },
  number: {
    en: 'Notice {number}, owed on {day:date}. A second mail with this number is the same notice.',
    es: 'Aviso {number}, del {day:date}. Un segundo correo con este número es el mismo aviso.',
  },
  safety: {
    en: safetyWords,
    es: 'Este servicio apoya y nunca sustituye los procedimientos de su empresa, las reglas locales ni a las personas calificadas. En caso de duda, no use la pértiga.',
  },
} as const satisfies Record<string, Entry>

/** In the file of due dates that a mail carries; feeds say the same in English (`calendar-entry.ts`). */
const calendar = {
  'calendar name': { en: 'Sticks due', es: 'Vencimiento de pértigas' },
  'entry to bench': {
    en: 'Stick {stick}: bring it to the bench ({status:status})',
    es: 'Pértiga {stick}: llévela al banco de pruebas ({status:status})',
  },
  'entry overdue': {
    en: 'Stick {stick}: do not use it, bring it to the bench ({status:status})',
    es: 'Pértiga {stick}: no la use, llévela al banco de pruebas ({status:status})',
  },
  'entry to look over': {
    en: 'Stick {stick}: look it over ({status:status})',
    es: 'Pértiga {stick}: revísela ({status:status})',
  },
  'entry not looked over': {
    en: 'Stick {stick}: do not use it before it is looked over ({status:status})',
    es: 'Pértiga {stick}: no la use antes de revisarla ({status:status})',
  },
  'entry called off': {
    en: 'Stick {stick}: do not use it ({status:status})',
    es: 'Pértiga {stick}: no la use ({status:status})',
  },
  'entry status': { en: 'Status: {status:status}.', es: 'Estado: {status:status}.' },
  'entry not primary': {
    en: 'It is not for primary protection.',
    es: 'No es para protección principal.',
  },
  'entry bring to': { en: 'Bring to: {place}.', es: 'Llevar a: {place}.' },
  'entry rule': { en: 'Rule: {source}.', es: 'Regla: {source}.' },
  'entry known': {
    en: 'Known on {day:date}. Calendars follow late: before you use the stick, look up how it stands.',
    es: 'Según lo sabido el {day:date}. Los calendarios se actualizan con retraso: antes de usar la pértiga, consulte cómo está.',
  },
} as const satisfies Record<string, Entry>

/** Why a stick stands as it does, by its status; a hold's own words are below. */
const whys = {
  'why scrapped': { en: 'It was scrapped.', es: 'Fue desechada.' },
  'why overdue': { en: 'Its test ran out on {dueOn:date}.', es: 'Su prueba venció el {dueOn:date}.' },
  'why overdue, look': {
    en: 'It was not looked over by {dueOn:date}: look it over before it is used.',
    es: 'No se revisó a más tardar el {dueOn:date}: revísela antes de usarla.',
  },
  'why due soon, look': {
    en: 'It is to be looked over by {dueOn:date}; it may be used through that day.',
    es: 'Debe revisarse a más tardar el {dueOn:date}; puede usarse hasta ese día inclusive.',
  },
  'why due soon': {
    en: 'Its test runs out on {dueOn:date}; it may be used through that day.',
    es: 'Su prueba vence el {dueOn:date}; puede usarse hasta ese día inclusive.',
  },
  'why in service': { en: 'It may be used through {dueOn:date}.', es: 'Puede usarse hasta el {dueOn:date} inclusive.' },
  'why in service without a date': {
    en: 'No requirement with an interval applies to it.',
    es: 'No se le aplica ninguna regla con plazo.',
  },
  'why never tested': {
    en: 'Nobody has tested it yet, and no certificate of its maker covers it.',
    es: 'Nadie la ha probado todavía y ningún certificado del fabricante la ampara.',
  },
  /** the words are those of the rule */
  'why awaiting first test': {
    en: 'It was never {words}.',
    es: 'Aún no cumple lo que pide su regla, que dice en inglés “{words}”.',
  },
  'why removed from service': {
    en: 'Failed again after it had been cleaned, refinished or repaired: {what}.',
    es: 'Volvió a fallar después de limpieza, acabado renovado o reparación: {what}.',
  },
  /** the reason is in the words of whoever decided so */
  'why removed by decision': { en: 'Removed by decision: {reason}.', es: 'Retirada por decisión: {reason}.' },
} as const satisfies Record<string, Entry>

/** By the code of the hold. */
const holds = {
  /** of a reading, for those who carry the stick: what is wrong with it, where, and by how much */
  'hold reading-over-limit': {
    en: 'Leaks too much when {state}, {where}: {microamps:number} µA, the limit is {comparison:comparison} {limit:number} µA ({source})',
    es: 'Tiene demasiada fuga {state}, {where}: {microamps:number} µA, el límite es {comparison:comparison} {limit:number} µA ({source})',
  },
  'hold reading-in-guard-band': {
    en: "Leaks too near its limit when {state}, {where}: {microamps:number} µA, the limit is {comparison:comparison} {limit:number} µA ({source}), less {percent:number} % for the instrument's uncertainty",
    es: 'Tiene una fuga demasiado cercana a su límite {state}, {where}: {microamps:number} µA, el límite es {comparison:comparison} {limit:number} µA ({source}), menos {percent:number} % por la incertidumbre del instrumento',
  },
  'hold failed-test': { en: 'Failed its bench test: {what}', es: 'Falló su prueba en banco: {what}' },
  'hold open-defect': { en: 'Failed its examination: {what}', es: 'Falló su examen: {what}' },
  'hold open-defect, by cleaning': { en: 'Failed its examination: {what}', es: 'Falló su examen: {what}' },
  'hold not-mended': notMended,
  'hold not-mended, by cleaning': notMended,
  'hold not-waxed': {
    en: 'Passed its test but was not waxed ({source})',
    es: 'Pasó su prueba pero no se enceró ({source})',
  },
  'hold not-waxed, before the readings': {
    en: 'Passed its test but was not waxed ({source}); another rule asks for a test after waxing, so it is waxed before the readings',
    es: 'Pasó su prueba pero no se enceró ({source}); otra regla pide una prueba después de encerar, por eso se encera antes de las lecturas',
  },
  'hold test-invalid': {
    en: 'Its bench test proves nothing: {what}',
    es: 'Su prueba en banco no demuestra nada: {what}',
  },
  'hold test-incomplete': {
    en: 'Its bench test left something unmeasured: {what}',
    es: 'Su prueba en banco dejó algo sin medir: {what}',
  },
  'hold no-corrective-step': {
    en: 'Tested again after a failure without being cleaned, refinished or repaired first; the repeat clears nothing, whatever it reads',
    es: 'Se probó de nuevo tras un fallo sin antes limpiarla, renovar su acabado o repararla; la repetición no libera nada, lea lo que lea',
  },
  'hold test-after-repair': {
    en: 'Was {step:step} and not yet tested since',
    es: '{step:step} y aún no se ha probado desde entonces',
  },
  'hold defect-reported': { en: 'Reported from use: {defect:defect}', es: 'Informado durante el uso: {defect:defect}' },
  'hold defect-reported, again': {
    en: 'Reported from use: {defect:defect} ({times:number} times)',
    es: 'Informado durante el uso: {defect:defect} ({times:number} veces)',
  },
  'hold release-awaited': {
    en: 'Passed after a failure, and no second person has released it yet',
    es: 'Pasó la prueba después de un fallo y aún no la ha liberado una segunda persona',
  },
  'hold test-after-event': {
    en: 'Was {event:event} and not yet tested since ({source})',
    es: '{event:event}; aún no se ha probado desde entonces ({source})',
  },
  'hold shelf-limit': {
    en: 'Tested on {on:date} and not issued within {months:number} months ({source})',
    es: 'Probada el {on:date} y no entregada en {months:number} meses ({source})',
  },
  'hold resting-in-store': {
    en: 'Its interval ran out on {on:date} while it rests in store, where {source} asks for no test',
    es: 'Su plazo venció el {on:date} mientras está en almacén, donde {source} no pide prueba',
  },
  'hold removal-undone': {
    en: 'Its removal from service was a slip and is undone; it is not tested since',
    es: 'Su retirada del servicio fue un error y se ha anulado; aún no se ha probado desde entonces',
  },
  'hold removal-undone, scrapped': {
    en: 'Its being scrapped was a slip and is undone; it is not tested since',
    es: 'Su desecho fue un error y se ha anulado; aún no se ha probado desde entonces',
  },
  'hold reported-missing': { en: 'Reported missing', es: 'Informada como perdida' },
  'hold found-untested': {
    en: 'Was missing and has been found; nobody knows what happened to it meanwhile',
    es: 'Estuvo perdida y ha aparecido; nadie sabe qué le ocurrió mientras tanto',
  },
  'hold found-untested, not missed': {
    en: 'Was found, though nobody had reported it missing; nobody knows what happened to it meanwhile',
    es: 'Apareció aunque nadie la había informado como perdida; nadie sabe qué le ocurrió mientras tanto',
  },
  'hold entry-changed': {
    en: 'The register now gives another {entry:entry} than that with which it was tested',
    es: 'El registro da ahora otro dato de {entry:entry} que aquel con el que se probó',
  },
  'hold another-stick': {
    en: 'Its {identity:identity} was {was} when it was last tested, and the register now says {is}: it may be another stick under an old number',
    es: 'Su {identity:identity} era {was} cuando se probó por última vez y el registro dice ahora {is}: puede ser otra pértiga con un número antiguo',
  },
  'hold not-registered': {
    en: 'It is not on the register, so nobody knows what it is made of or which rules bind it',
    es: 'No está en el registro, así que nadie sabe de qué está hecha ni qué reglas se le aplican',
  },
  'hold policy-missing': {
    en: 'No policy is in force, so nothing says when this stick must be tested',
    es: 'No hay ninguna política vigente, así que nada dice cuándo debe probarse esta pértiga',
  },
  'hold wood-forbidden': {
    en: 'The policy in force allows no stick of wood',
    es: 'La política vigente no permite pértigas de madera',
  },
  'hold no-requirement-covers': {
    en: 'No requirement of the policy in force covers a stick of {construction:construction} relied on for primary protection',
    es: 'Ninguna regla de la política vigente cubre una pértiga de {construction:construction} usada como protección principal',
  },
} as const satisfies Record<string, Entry>

const cleared = {
  'cleared failed-test': stepThenTest,
  'cleared open-defect': mendedThenTest,
  'cleared open-defect, by cleaning': cleanedThenTest,
  'cleared not-mended': mendedThenTest,
  'cleared not-mended, by cleaning': cleanedThenTest,
  'cleared not-waxed': waxedAsStep,
  'cleared not-waxed, before the readings': {
    en: `${waxedAsStep.en}, then ${fullTest.en}`,
    es: `${waxedAsStep.es}, y después ${fullTest.es}`,
  },
  'cleared test-invalid': fullTest,
  'cleared test-incomplete': fullTest,
  'cleared no-corrective-step': stepThenTest,
  'cleared test-after-repair': fullTest,
  'cleared defect-reported': { en: `${fullTest.en}, after the report`, es: `${fullTest.es}, posterior al informe` },
  'cleared defect-reported, again': {
    en: `${fullTest.en}, after the report`,
    es: `${fullTest.es}, posterior al informe`,
  },
  'cleared release-awaited': {
    en: 'a release by somebody other than who did or recorded the test that it passed',
    es: 'la liberación por una persona distinta de quien hizo o registró la prueba que pasó',
  },
  'cleared test-after-event': fullTest,
  'cleared shelf-limit': fullTest,
  'cleared resting-in-store': {
    en: `${fullTest.en}, before it is used again`,
    es: `${fullTest.es}, antes de volver a usarla`,
  },
  'cleared reported-missing': { en: `found again, then ${fullTest.en}`, es: `su hallazgo y después ${fullTest.es}` },
  'cleared removal-undone': fullTest,
  'cleared removal-undone, scrapped': fullTest,
  'cleared found-untested': fullTest,
  'cleared found-untested, not missed': fullTest,
  'cleared entry-changed': {
    en: `${fullTest.en}, or the entry put right`,
    es: `${fullTest.es}, o la inscripción corregida`,
  },
  'cleared another-stick': {
    en: `${fullTest.en}, or a manager and a second person who enter that it is the same stick`,
    es: `${fullTest.es}, o un responsable y una segunda persona que inscriban que es la misma pértiga`,
  },
  'cleared not-registered': { en: 'its entry on the register', es: 'su inscripción en el registro' },
  'cleared policy-missing': {
    en: 'a manager putting a policy in force',
    es: 'la puesta en vigor de una política por un responsable',
  },
  'cleared wood-forbidden': {
    en: 'nothing but another policy; a stick of FRP takes its place',
    es: 'nada más que otra política; una pértiga de FRP ocupa su lugar',
  },
  'cleared no-requirement-covers': {
    en: 'a manager adding a rule that covers it to the policy',
    es: 'la inclusión en la política, por un responsable, de una regla que la cubra',
  },
} as const satisfies Record<string, Entry>

/** Where on the stick, and how much else. */
const places = {
  'and more': { en: '{what} (and {more:number} more)', es: '{what} (y {more:number} más)' },
  at: { en: '{place}: {what}', es: '{place}: {what}' },
  dry: { en: 'dry', es: 'en seco' },
  wet: { en: 'wet', es: 'en húmedo' },
  section: { en: 'section {section}', es: 'tramo {section}' },
  'quarter turn': { en: 'quarter turn {turn:number}°', es: 'cuarto de vuelta {turn:number}°' },
  span: { en: '{from:figure} to {to:length}', es: 'de {from:figure} a {to:length}' },
  'span from the working end': {
    en: '{from:figure} to {to:length} from the working end',
    es: 'de {from:figure} a {to:length} desde el extremo de trabajo',
  },
  'span of a section': {
    en: 'section {section}, {from:figure} to {to:length} from its working end',
    es: 'tramo {section}, de {from:figure} a {to:length} desde su extremo de trabajo',
  },
  recorded: { en: '{text}', es: '“{text}” (texto original en inglés)' },
} as const satisfies Record<string, Entry>

export const catalogue = { ...subjects, ...toDo, ...frame, ...calendar, ...whys, ...holds, ...cleared, ...places }
export type EntryName = keyof typeof catalogue
