/** Sentences of mails. In Spanish. */

import type { mails as english } from '../en/mails.ts'
import { lines } from '../lines.ts'

export const mailsInSpanish = {
  'subject overdue': lines(
    '.input {$overdue :integer} .match $overdue',
    'one {{1 pértiga vencida: no la use}}',
    '* {{{$overdue} pértigas vencidas: no las use}}',
  ),
  'subject due': lines(
    '.input {$soon :integer} .match $soon',
    'one {{1 pértiga debe ir al banco de pruebas}}',
    '* {{{$soon} pértigas deben ir al banco de pruebas}}',
  ),
  'subject overdue and due': lines(
    '.input {$overdue :integer} .match $overdue',
    'one {{1 pértiga vencida: no la use; al banco de pruebas: {$soon :integer}}}',
    '* {{{$overdue} pértigas vencidas: no las use; al banco de pruebas: {$soon :integer}}}',
  ),
  'subject lent': lines(
    '.input {$lent :integer} .match $lent',
    'one {{1 pértiga prestada no ha vuelto}}',
    '* {{{$lent} pértigas prestadas no han vuelto}}',
  ),
  'subject and lent': '{$subject}; prestadas y sin volver: {$lent :integer}',
  'subject labels': 'Etiquetas incorrectas por quitar o cambiar: {$labels :integer}',
  'subject and labels': '{$subject}; etiquetas incorrectas: {$labels :integer}',
  'subject look':
    '.input {$looks :integer} .match $looks one {{1 pértiga por revisar}} * {{{$looks} pértigas por revisar}}',
  'subject not looked over': lines(
    '.input {$late :integer} .match $late',
    'one {{1 pértiga sin revisar a tiempo: no la use}}',
    '* {{{$late} pértigas sin revisar a tiempo: no las use}}',
  ),
  'subject and looks': '{$subject}; por revisar: {$looks :integer}',
  'subject hold': 'La pértiga {$stick} está retenida: no la use',
  'subject hold since rules, one': 'La pértiga {$stick} está retenida desde que cambiaron las reglas: no la use',
  'subject hold since rules': '{$sticks :integer} pértigas están retenidas desde que cambiaron las reglas: no las use',
  'subject hold since day': '{$sticks :integer} pértigas están retenidas desde hoy: no las use',
  'subject return since rules, one': 'La pértiga {$stick} vuelve al servicio desde que cambiaron las reglas',
  'subject return since rules': '{$sticks :integer} pértigas vuelven al servicio desde que cambiaron las reglas',
  'subject return since day': '{$sticks :integer} pértigas vuelven al servicio desde hoy',
  'subject hold since correction':
    '{$sticks :integer} pértigas están retenidas, porque aquello con que se probaron estaba mal: no las use',
  'subject return since correction':
    '{$sticks :integer} pértigas vuelven al servicio: se corrigió aquello con que se probaron',
  'subject hold since import': '{$sticks :integer} pértigas están retenidas por registros anteriores: no las use',
  'subject return since import': '{$sticks :integer} pértigas vuelven al servicio por registros anteriores',
  'subject hold since recall': '{$sticks :integer} pértigas están llamadas a revisión: no las use',
  'subject return since recall': '{$sticks :integer} pértigas vuelven al servicio',
  'subject recall, instrument': lines(
    '.input {$sticks :integer} .match $sticks',
    'one {{Llamada a revisión: no use 1 pértiga, el instrumento {$named} leyó mal}}',
    '* {{Llamada a revisión: no use {$sticks} pértigas, el instrumento {$named} leyó mal}}',
  ),
  'subject recall, lot': lines(
    '.input {$sticks :integer} .match $sticks',
    'one {{Llamada a revisión: no use 1 pértiga del lote {$named}}}',
    '* {{Llamada a revisión: no use {$sticks} pértigas del lote {$named}}}',
  ),
  'subject recall, order': lines(
    '.input {$sticks :integer} .match $sticks',
    'one {{Llamada a revisión: no use 1 pértiga, orden {$named}}}',
    '* {{Llamada a revisión: no use {$sticks} pértigas, orden {$named}}}',
  ),
  'subject hold, untested': 'La pértiga {$stick} debe probarse antes de usarla: no la use',
  'subject removal': 'La pértiga {$stick} se retira del servicio para siempre: no la use',
  'subject return': 'La pértiga {$stick} vuelve al servicio',
  'subject put right': 'La pértiga {$stick} tenía un error en su registro, ya corregido',
  'subject used while unfit': 'La pértiga {$stick} se usó cuando no era apta para el uso',
  'subject report': 'La pértiga {$stick} tiene un informe que usted debe conocer',
  'subject report, unknown number': 'Peligro informado con el número “{$stick}”, que ninguna pértiga tiene',
  'subject proposal, open': 'Un cambio espera su aprobación: {$what}',
  'subject proposal, approved': 'Se aprobó un cambio: {$what}',
  'subject proposal, declined': 'Se rechazó un cambio: {$what}',
  'subject calibration': 'Instrumento {$id}: su calibración vale hasta el {$on :date}',
  'subject calibration, out': 'Instrumento {$id} sin calibración vigente: las pruebas con él no demuestran nada',
  'subject unanswered': 'La pértiga {$stick} no debe usarse y no todos lo han confirmado',
  'subject unanswered, several': '{$sticks :integer} pértigas no deben usarse y no todos lo han confirmado',
  'subject not delivered': 'La pértiga {$stick} está en un aviso que no se entregó',
  'subject date brought forward': 'La pértiga {$stick} vence antes de lo que dice su etiqueta',
  'do digest, all overdue, one':
    'No use esta pértiga: la validez de su prueba ha terminado. Llévela ya al banco de pruebas.',
  'do digest, all overdue':
    'No use estas pértigas: la validez de su prueba ha terminado. Llévelas ya al banco de pruebas.',
  'do digest, all overdue, of crews, one': lines(
    'La validez de la prueba de esta pértiga ha terminado. Asegúrese de que nadie la use y de que llegue ya al',
    'banco de pruebas.',
  ),
  'do digest, all overdue, of crews': lines(
    'La validez de la prueba de estas pértigas ha terminado. Asegúrese de que nadie las use y de que lleguen ya al',
    'banco de pruebas.',
  ),
  'do digest, some overdue, of crews': lines(
    'Vencida: asegúrese de que nadie la use y de que llegue ya al banco de pruebas. Próxima a vencer: asegúrese de que',
    'llegue al banco de pruebas a más tardar en la fecha indicada. Puede usarse hasta ese día inclusive y no después.',
  ),
  'do digest, of crews, one': lines(
    'Asegúrese de que esta pértiga llegue al banco de pruebas a más tardar en la fecha indicada: no debe usarse',
    'después.',
  ),
  'do digest, of crews': lines(
    'Asegúrese de que estas pértigas lleguen al banco de pruebas a más tardar en la fecha indicada en cada una:',
    'ninguna debe usarse después.',
  ),
  'do digest, some overdue': lines(
    'Vencida: no la use y llévela ya al banco de pruebas. Próxima a vencer: llévela al banco de pruebas a más tardar',
    'en la fecha indicada. Puede usarse hasta ese día inclusive y no después.',
  ),
  'do digest, one': lines(
    'Lleve esta pértiga al banco de pruebas a más tardar en la fecha indicada. Puede usarse hasta ese día',
    'inclusive, no después.',
  ),
  'do digest': lines(
    'Lleve estas pértigas al banco de pruebas a más tardar en la fecha indicada en cada una. Cada una puede usarse',
    'hasta ese día inclusive, no después.',
  ),
  'do digest, lent': lines(
    'Pértigas suyas que están prestadas no han vuelto en la fecha acordada. Pregunte a quien tiene cada una dónde y',
    'cómo está, recupérela o haga registrar una nueva fecha.',
  ),
  'do digest, label': lines(
    'Si una etiqueta muestra una fecha posterior, guíese por la de aquí, quite o cambie la etiqueta y hágalo',
    'registrar.',
  ),
  'do look': lines(
    'Revise estas pértigas donde se encuentran, a más tardar en la fecha indicada en cada una, y regístrelo. La que',
    'tenga la fecha pasada no debe usarse antes de hacerlo.',
  ),
  'do look too': 'Las que solo deben revisarse se revisan donde se encuentran y no tienen que ir al banco de pruebas.',
  'do hold': lines(
    'Deje de usar esta pértiga ahora, póngale etiqueta de fuera de servicio y llévela al banco de pruebas. No debe',
    'usarse hasta que lo indicado abajo esté hecho y registrado.',
  ),
  'do hold, missing': lines(
    'Esta pértiga está perdida: búsquela. Quien la encuentre no debe usarla; póngale etiqueta de fuera de servicio y',
    'llévela al banco de pruebas. No debe usarse hasta que se haga y registre lo indicado abajo.',
  ),
  'do hold, of a crew': lines(
    'Esta pértiga no debe usarse hasta que lo indicado abajo esté hecho y registrado. También se avisa a su cuadrilla:',
    'asegúrese de que deje de usarla ahora, le ponga etiqueta de fuera de servicio y la lleve al banco de pruebas.',
  ),
  'do hold, at the bench': lines(
    'No use esta pértiga. Está en el banco de pruebas y allí se queda, con su etiqueta de fuera de servicio. No debe',
    'usarse hasta que lo indicado abajo esté hecho y registrado.',
  ),
  'do hold, in store': lines(
    'No use esta pértiga. Está en almacén: póngale allí etiqueta de fuera de servicio, no la entregue a nadie y',
    'llévela al banco de pruebas. No debe usarse hasta que lo indicado abajo esté hecho y registrado.',
  ),
  'do hold, several, of crews': lines(
    'Ninguna de estas pértigas debe usarse hasta que lo indicado junto a ella esté hecho y registrado. También se',
    'avisa a sus cuadrillas: asegúrese de que dejen de usarlas ahora, pongan a cada una etiqueta de fuera de servicio',
    'y lleven al banco de pruebas las que estén fuera.',
  ),
  'do hold, several': lines(
    'Deje de usar estas pértigas ahora y póngale a cada una etiqueta de fuera de servicio. Lleve al banco de pruebas',
    'las que estén fuera y no entregue ninguna a nadie. Ninguna debe usarse hasta que lo indicado junto a ella esté',
    'hecho y registrado.',
  ),
  'do recall, one': lines(
    'Deje de usar esta pértiga ahora, póngale etiqueta de fuera de servicio y llévela hoy al banco de pruebas. No debe',
    'usarse hasta que pase una prueba completa en banco después de esta llamada y conste registrada.',
  ),
  'do recall': lines(
    'Deje de usar estas pértigas ahora, póngale a cada una etiqueta de fuera de servicio y llévelas hoy al banco de',
    'pruebas. Ninguna debe usarse hasta que pase una prueba completa en banco después de esta llamada y conste',
    'registrada.',
  ),
  'do recall, of crews, one': lines(
    'Esta pértiga no debe usarse hasta que pase una prueba completa en banco después de esta llamada y conste',
    'registrada. También se avisa a quien la tiene: asegúrese de que deje de usarla ahora, le ponga etiqueta de fuera',
    'de servicio y la lleve hoy al banco de pruebas.',
  ),
  'do recall, of crews': lines(
    'Ninguna de estas pértigas debe usarse hasta que pase una prueba completa en banco después de esta llamada y',
    'conste registrada. También se avisa a quienes las tienen: asegúrese de que dejen de usarlas ahora, pongan a cada',
    'una etiqueta de fuera de servicio y las lleven hoy al banco de pruebas.',
  ),
  'recall because, instrument': lines(
    'Se comprobó que el instrumento {$named} leía mal. La llamada la abrió {$by}: {$reason}',
  ),
  'recall because, lot':
    'Se llaman a revisión todas las pértigas del lote {$named}. La llamada la abrió {$by}: {$reason}',
  'recall because, order': 'La orden {$named} llama a revisión estas pértigas. La llamada la abrió {$by}: {$reason}',
  'recall page': 'La llamada a revisión y su avance',
  'do return, several': lines(
    'Se hizo lo que faltaba en estas pértigas y pueden usarse de nuevo. Quien las tenga les quita la etiqueta de fuera',
    'de servicio.',
  ),
  'do unanswered, several': lines(
    'Estas pértigas no deben usarse, y las personas nombradas abajo no han confirmado que lo saben. Asegúrese ahora',
    'de que lo sepan, por teléfono o en persona. Que usted lo confirme no vale por ellas.',
  ),
  'since rules, one': 'Las reglas en vigor han cambiado. A la pértiga misma no le pasó nada.',
  'since rules': 'Las reglas en vigor han cambiado. A las pértigas mismas no les pasó nada.',
  'since import, one':
    'Alguien trajo registros anteriores. Se le avisa una sola vez por todas las filas de su archivo.',
  'since import': 'Alguien trajo registros anteriores. Se le avisa una sola vez por todas las filas de su archivo.',
  'since recall, one': 'Una llamada a revisión retiene la pértiga. A la pértiga misma no le pasó nada.',
  'since recall': 'Una llamada a revisión retiene las pértigas. A las pértigas mismas no les pasó nada.',
  'since correction, one':
    'Aquello con que se probó esta pértiga estaba mal en los registros. Su prueba se juzgó de nuevo con lo correcto.',
  'since correction': lines(
    'Aquello con que se probaron estas pértigas estaba mal en los registros. Sus pruebas se juzgaron de nuevo con lo',
    'correcto.',
  ),
  'since day, one': 'Ha llegado un día que las reglas señalan. A la pértiga misma no le pasó nada.',
  'since day': 'Ha llegado un día que las reglas señalan. A las pértigas mismas no les pasó nada.',
  'do removal': lines(
    'Deje de usar esta pértiga ahora, póngale etiqueta de fuera de servicio y entréguela. No vuelve al servicio.',
  ),
  'do removal, of a crew': lines(
    'Esta pértiga no vuelve al servicio. También se avisa a su cuadrilla: asegúrese de que deje de usarla ahora, le',
    'ponga etiqueta de fuera de servicio y la entregue.',
  ),
  'do removal, at the bench': lines(
    'No use esta pértiga. Está en el banco de pruebas: póngale etiqueta de fuera de servicio y no deje que nadie se',
    'la lleve. No vuelve al servicio.',
  ),
  'do return by full test': lines(
    'Esta pértiga pasó la prueba completa y puede usarse de nuevo. Quien la tenga le quita la etiqueta de fuera de',
    'servicio.',
  ),
  'do return by release': lines(
    'Una segunda persona ha liberado esta pértiga y puede usarse de nuevo. Quien la tenga le quita la etiqueta de',
    'fuera de servicio.',
  ),
  'do return by waxing': lines(
    'Esta pértiga se ha encerado, nada más pesaba sobre ella y puede usarse de nuevo. Quien la tenga le quita la',
    'etiqueta de fuera de servicio.',
  ),
  'do return by entry put right': lines(
    'La inscripción de esta pértiga en el registro se ha corregido, nada más pesaba sobre ella y puede usarse de',
    'nuevo. Quien la tenga le quita la etiqueta de fuera de servicio.',
  ),
  'do return by record put right': lines(
    'Lo que pesaba sobre esta pértiga era un error en su registro. Se ha corregido y la pértiga puede usarse de nuevo.',
    'Quien la tenga le quita la etiqueta de fuera de servicio.',
  ),
  'do put right': lines(
    'El registro de esta pértiga estaba mal y se ha corregido. Guíese por lo que dice abajo y cambie su etiqueta si',
    'dice otra cosa.',
  ),
  'do return by other': lines(
    'Se hizo lo que faltaba en esta pértiga y puede usarse de nuevo. Quien la tenga le quita la etiqueta de fuera de',
    'servicio.',
  ),
  'do used while unfit': lines(
    'Deje de usar esta pértiga ahora, póngale etiqueta de fuera de servicio y llévela al banco de pruebas. Se registró',
    'un uso en un día en que no era apta para el uso.',
  ),
  'do used while unfit, of a crew': lines(
    'Se registró un uso de esta pértiga en un día en que no era apta para el uso. También se avisa a su cuadrilla:',
    'asegúrese de que deje de usarla ahora, le ponga etiqueta de fuera de servicio y la lleve al banco de pruebas.',
    'Averigüe cómo llegó a usarse.',
  ),
  'do used while unfit, at the bench': lines(
    'No use esta pértiga. Está en el banco de pruebas: déjela allí. Se registró un uso en un día en que no era apta',
    'para el uso.',
  ),
  'do used while unfit, fit since': lines(
    'Se registró un uso de esta pértiga en un día en que no era apta para el uso. Ahora puede usarse. Averigüe cómo se',
    'llegó a usar y asegúrese de que no se repita.',
  ),
  'do report': lines(
    'Alguien informó de lo indicado abajo. No retiene esta pértiga. Léalo y pregunte a quien lo informó si algo no',
    'está claro. En caso de duda, retire la pértiga del uso y hágala probar.',
  ),
  'do report, tested since': lines(
    'Alguien informó de lo indicado abajo. La pértiga pasó una prueba completa después, por eso sigue en uso.',
    'Asegúrese de que el informe no trate de algo ocurrido después de esa prueba. En caso de duda, no la use.',
  ),
  'do report, out of use': lines(
    'Alguien informó de lo indicado abajo sobre una pértiga que no debe usarse. Quizá alguien la tenga en la mano:',
    'búsquela y manténgala fuera de uso.',
  ),
  'do report, unknown number': lines(
    'Se informó de un peligro con un número que ninguna pértiga tiene. Averigüe ahora de qué pértiga se trata,',
    'manténgala fuera de uso y asígnele el informe. Hasta entonces nada retiene esa pértiga.',
  ),
  'do calibration': lines(
    'Haga calibrar el instrumento {$id} y registre su nueva calibración antes de que termine el {$on :date}. Ninguna',
    'prueba con él en un día posterior cuenta, y toda pértiga probada así queda retenida.',
  ),
  'do calibration, out': lines(
    'No pruebe con el instrumento {$id}: su calibración terminó el {$on :date}. Márquelo y hágalo calibrar. Ninguna',
    'prueba con él en un día posterior cuenta. El servicio retiene toda pértiga probada así y avisa a su cuadrilla;',
    'queda retenida hasta que pase la prueba con un instrumento calibrado, o se registre una calibración que cubra ese',
    'día y se juzgue de nuevo la prueba.',
  ),
  'do proposal, open': lines(
    '{$by} pidió un cambio de {$what}. Sería menos estricto que lo vigente, por eso hace falta una segunda persona.',
    'Nada cambia hasta que alguien lo apruebe. Lea qué sería menos estricto, pregunte a {$by} lo que no quede claro, y',
    'apruébelo o rechácelo.',
  ),
  'do proposal, approved': '{$decidedBy} aprobó el cambio de {$what} que pidió {$by}. Rige desde su día.',
  'do proposal, declined': '{$decidedBy} rechazó el cambio de {$what} que pidió {$by}. No ha cambiado nada.',
  'do unanswered': lines(
    'Esta pértiga no debe usarse, y las personas nombradas abajo no han confirmado que lo saben. Asegúrese ahora de',
    'que lo sepan, por teléfono o en persona. Que usted lo confirme no vale por ellas.',
  ),
  'do not delivered': lines(
    'Un aviso sobre lo indicado abajo no llegó a la persona nombrada aquí. Asegúrese ahora de que esa persona lo',
    'sepa, por teléfono o en persona.',
  ),
  'do not delivered, stop': lines(
    'Esta pértiga no debe usarse, y a la persona nombrada aquí no le llegó el aviso. Dígaselo ahora, por teléfono o',
    'en persona: que deje de usarla, le ponga etiqueta de fuera de servicio y la lleve al banco de pruebas.',
  ),
  'do not delivered, stop, several': lines(
    'Las pértigas de abajo no deben usarse, y a la persona nombrada aquí no le llegó el aviso. Dígaselo ahora, por',
    'teléfono o en persona: que deje de usarlas, les ponga etiqueta de fuera de servicio y las lleve al banco de',
    'pruebas.',
  ),
  'do date brought forward, past': lines(
    'La fecha de vencimiento de esta pértiga se adelantó y ya pasó. Deje de usarla ahora y llévela al banco de',
    'pruebas. Quite la etiqueta que lleve la fecha anterior.',
  ),
  'do date brought forward': lines(
    'La fecha de vencimiento de esta pértiga se adelantó. Llévela al banco de pruebas a más tardar en la fecha',
    'indicada abajo y guíese por ella: quite la etiqueta que lleve la anterior, o cámbiela.',
  ),
  greeting: '{$name}:',
  stick: 'Pértiga',
  status: 'Estado',
  crew: 'Cuadrilla',
  due: 'Vence',
  label: 'Etiqueta',
  loan: 'Prestada',
  'lent, back days ago': lines(
    '.input {$days :integer} .match $days',
    'one {{a {$to}; debía volver el {$on :date}, hace 1 día}}',
    '* {{a {$to}; debía volver el {$on :date}, hace {$days} días}}',
  ),
  'bring to': 'Llevar a',
  'bring when': 'Llevarla',
  'bring in the week': 'en la semana del {$week :date}, a más tardar el {$by :date}',
  'once found': 'Si aparece, llevar a',
  where: 'Dónde está',
  'how it stands': 'Cómo está',
  'at the bench already': 'ya está en el banco de pruebas',
  'to fetch at the bench': 'en el banco de pruebas, donde su cuadrilla puede recogerla',
  'in store again': 'en almacén, para entregarla desde allí',
  why: 'Motivo',
  'cleared by': 'Debe hacerse antes',
  rule: 'Regla',
  'label wrong': 'Se adelantó desde el {$on :date}: una etiqueta con esa fecha es incorrecta',
  'label too late': 'Muestra el {$on :date}, posterior al vencimiento: quítela o cámbiela',
  'label still on': 'Muestra todavía el {$on :date}: quítela',
  'due some day': '{$on :date}',
  'due today': '{$on :date}, hoy',
  'due in days':
    '.input {$days :integer} .match $days one {{{$on :date}, en 1 día}} * {{{$on :date}, en {$days} días}}',
  'due days ago':
    '.input {$days :integer} .match $days one {{{$on :date}, hace 1 día}} * {{{$on :date}, hace {$days} días}}',
  'report defect': 'Informado durante el uso: {$defect :word of=defect}, el {$on}, por {$by}.',
  'report unsound look': 'Revisada y no hallada en buen estado, el {$on}, por {$by}.',
  'report missing': 'Informada como perdida, el {$on}, por {$by}.',
  'report found': 'Informada como hallada, el {$on}, por {$by}.',
  'report bench test': 'Una prueba en banco del {$on} que no pasó, registrada por {$by}.',
  'report unknown number': 'El número tal como se dio: {$number}',
  'proposal way': 'Lo que sería menos estricto: {$way}',
  'proposal because': 'Se pide por este motivo: {$because}',
  'proposal reason': 'Por qué se rechazó: {$reason}',
  'proposal number': 'Número de la propuesta, como lo muestra su página: {$id}',
  proposals: 'Todos los cambios que necesitan dos personas',
  'proposals, open': 'Apruébelo o rechácelo aquí',
  'of policy': 'la política',
  'of organisation': 'la organización {$id}',
  'of demonstration': 'la demostración {$id}',
  'of procedure': 'el procedimiento {$id}',
  'of instrument': 'el instrumento {$id}',
  'of depot': 'la base {$id}',
  'of crew': 'la cuadrilla {$id}',
  'of person': 'la persona {$id}',
  'of stick': 'la pértiga {$id}',
  'of tests before': 'qué pruebas anteriores cuentan, la pértiga {$id} primero',
  'of correction': 'el registro de la pértiga {$id}',
  'put right': 'Se corrigió un error: {$what :word of=what} que consta con fecha de {$on :date} estaba mal.',
  'put right, belongs to': 'Corresponde a la pértiga {$stick}.',
  'put right, came from': 'Constaba en la pértiga {$stick} y corresponde a esta.',
  'put right by': 'Lo corrigió {$by}. Motivo: {$reason}',
  'put right because': 'Se corrigió por este motivo: {$reason}',
  'report note': 'En palabras del informe: {$note}',
  'report passed since': 'Pasó una prueba completa después, el {$on :date}.',
  'used on':
    'El uso registrado empezó el {$on :date}. El {$unfit :date} la pértiga ya estaba {$status :word of=status}.',
  'tell in person': 'Estas personas de la cuadrilla no tienen correo. Avíseles ahora, por teléfono o en persona:',
  'not confirmed by': 'Sin confirmar por: {$names}.',
  'passed on': lines(
    'Este aviso no pudo entregarse a {$names}, por eso se le pasa a usted. Asegúrese ahora de que lo sepan, por',
    'teléfono o en persona.',
  ),
  'missed bounced': lines(
    '{$name}, {$email}: el correo a esta dirección fue devuelto. No se envía nada más allí hasta que un responsable',
    'confirme que la dirección es correcta.',
  ),
  'missed not taken': lines(
    '{$name}, {$email}: este correo fue devuelto sin entregarse. El buzón puede estar lleno, o su servidor puede no',
    'aceptar correo en este momento.',
  ),
  'missed complained': lines(
    '{$name}, {$email}: el correo fue denunciado como no deseado. No se envía nada más allí hasta que un responsable',
    'confirme que allí se desea recibirlo.',
  ),
  'missed marked':
    '{$name}, {$email}: no se envía nada a esta dirección, porque el correo ya fue devuelto o denunciado antes.',
  'missed rejected': '{$name}, {$email}: el servicio de correo no quiso transmitir este correo.',
  'missed not rendered': '{$name}, {$email}: el servicio de correo no pudo componer este correo.',
  'missed refused': '{$name}, {$email}: este correo no pudo enviarse.',
  'missed left': lines(
    '{$name}, {$email}: no figura ya en el registro de personas, así que no se le envía nada. Si una cuadrilla aún',
    'nombra esta dirección, quítela.',
  ),
  confirm: 'Confirme que ha leído esto',
  'confirm within': lines(
    '.input {$hours :integer} .match $hours',
    'one {{El enlace abre una página con un botón. Si nadie lo confirma en 1 hora, se avisa al capataz o a un',
    'responsable. Las retenciones, retiradas y llamadas a revisión son avisos de seguridad: nadie puede darse de baja',
    'de ellos.}}',
    '* {{El enlace abre una página con un botón. Si nadie lo confirma en {$hours} horas, se avisa al capataz o a un',
    'responsable. Las retenciones, retiradas y llamadas a revisión son avisos de seguridad: nadie puede darse de baja',
    'de ellos.}}',
  ),
  'confirm at all': lines(
    'El enlace abre una página con un botón. Las retenciones, retiradas y llamadas a revisión son avisos de',
    'seguridad: nadie puede darse de baja de ellos.',
  ),
  'more people': lines(
    '.input {$more :integer} .match $more',
    'one {{y 1 persona más: el registro de cuadrillas las nombra a todas}}',
    '* {{y {$more} personas más: el registro de cuadrillas las nombra a todas}}',
  ),
  totals: 'Pértigas: {$sticks :integer} ({$counts})',
  'more sticks': 'y {$more :integer} más en la lista de pértigas',
  'more holds': lines(
    '.input {$more :integer} .match $more',
    'one {{y 1 motivo más, que su página indica}}',
    '* {{y {$more} motivos más, que su página indica}}',
  ),
  roster: 'La lista de pértigas',
  number: 'Aviso {$number}, del {$day :date}. Un segundo correo con este número es el mismo aviso.',
} as const satisfies { readonly [name in keyof typeof english]: string }
