/**
 * Sentences of mails that somebody asked for: a reminder; word to people of what they may do; and the fingerprint of
 * all records. In Spanish.
 */

import type { telling as english } from '../en/telling.ts'
import { lines } from '../lines.ts'

export const tellingInSpanish = {
  'subject reminder': '{$by} le recuerda: {$subject}',
  'subject held':
    '.input {$held :integer} .match $held one {{1 pértiga no debe usarse}} * {{{$held} pértigas no deben usarse}}',
  'subject and held': '{$subject}; retenidas o fuera de servicio: {$held :integer}',
  'reminder asked': '{$by} pidió este recordatorio el {$on :date}, {$at}.',
  'reminder note': 'En palabras de {$by}: {$note}',
  'do reminder, held': lines(
    'Una pértiga retenida, a la espera de su primera prueba o retirada del servicio no debe usarse, sea cual sea su',
    'fecha: deje de usarla ahora, póngale etiqueta de fuera de servicio y llévela al banco de pruebas.',
  ),

  'subject invitation, entered': 'Ya puede iniciar sesión y atender las pértigas de {$organisation}',
  'subject invitation, more': 'Puede hacer más con las pértigas de {$organisation}',
  'subject invitation, new address': 'Su correo sobre las pértigas de {$organisation} llega ahora aquí',
  'subject not delivered, invitation': '{$name} no ha sabido qué puede hacer aquí',
  'subject not delivered, no stick': 'Un aviso a {$name} no se entregó',
  'do invitation, entered':
    'Usted figura en el registro de personas de {$organisation}. Inicie sesión y podrá hacer lo indicado abajo.',
  'do invitation, more':
    'Su inscripción en el registro de personas de {$organisation} ha cambiado. Puede hacer lo indicado abajo.',
  'do invitation, new address': lines(
    'Su dirección de correo en el registro de personas de {$organisation} ha cambiado. Desde ahora los avisos para',
    'usted llegan aquí. Puede hacer lo indicado abajo.',
  ),
  'do not delivered, invitation': lines(
    'Un correo que le dice a la persona nombrada aquí qué puede hacer no le llegó. Corrija su dirección en el',
    'registro de personas o dígaselo usted.',
  ),
  'subject fingerprint': 'Huella de los registros de {$organisation}: guarde este correo',
  'do fingerprint': lines(
    'Guarde este correo: contiene la huella de todo lo que {$organisation} ha registrado de sus pértigas. Si alguien',
    'altera o quita después un registro, esta huella lo muestra. No hace falta nada más.',
  ),
  'fingerprint records': lines(
    '.input {$records :integer} .match $records',
    'one {{Tomada el {$on :date}, de 1 registro.}}',
    '* {{Tomada el {$on :date}, de {$records} registros.}}',
  ),
  fingerprint: 'Huella: {$groups}',
  'fingerprint check': lines(
    'La prueba de una pértiga, que se obtiene en su página, nombra las huellas de los últimos días y, de cada mes',
    'anterior, la última. Quien la comprueba compara: las de un mismo día deben ser iguales.',
  ),
  'invited by': 'La inscripción es de {$by}.',
  'may as crew': 'Como integrante de una cuadrilla usted puede:',
  'may as bench': 'Como responsable de pruebas en el banco usted puede:',
  'may as manager': 'Como responsable usted puede:',
  'may as owner': 'Como titular usted puede:',
  'may report danger': lines(
    'informar de un peligro en cualquier pértiga: daños, un hormigueo, una caída, una descarga disruptiva, una',
    'perdida o hallada',
  ),
  'may see sticks': 'ver cómo está cada pértiga, cuándo vence y por qué, y a quién se avisó de qué',
  'may write down uses and looks': 'registrar dónde se usó una pértiga y que usted la revisó',
  'may put dates in a calendar': 'tener en un calendario los vencimientos de las pértigas de una cuadrilla',
  'may mark people told': 'registrar que se avisó en persona a alguien sin dirección de correo',
  'may test': lines(
    'registrar pruebas en banco, certificados, limpiezas, encerados y reparaciones, y liberar una pértiga después de',
    'una falla',
  ),
  'may move sticks':
    'entregar pértigas, recibirlas de vuelta, prestarlas, ponerlas en almacén y registrar sus etiquetas',
  'may remind crews': 'hacer que se le recuerde una pértiga a su cuadrilla',
  'may keep sticks':
    'inscribir pértigas, corregir un error en su registro y retirar una pértiga del servicio para siempre',
  'may recall sticks':
    'llamar pértigas a revisión: las de un lote, de una orden, o probadas con un instrumento que leyó mal',
  'may keep people': 'inscribir bases, cuadrillas y personas',
  'may keep instruments': 'inscribir instrumentos y sus calibraciones',
  'may keep rules': lines(
    'inscribir procedimientos de prueba, la política y lo que su empresa demostró; lo que sería menos estricto espera',
    'a una segunda persona',
  ),
  'may decide changes': 'aprobar o rechazar un cambio que pidió otra persona',
  'may place reports':
    'decir de qué pértiga se trata cuando se informa de un peligro con un número que ninguna pértiga tiene',
  'may clear addresses': 'hacer que se envíe correo de nuevo a una dirección que lo devolvió',
  'may enter owners': 'inscribir titulares',
  'reach crew': 'Esto vale para las pértigas de su cuadrilla: {$crew}.',
  'reach depots': 'Esto vale para las pértigas de estas bases: {$depots}.',
  'reach every depot': 'Esto vale para las pértigas de todas las bases.',
  'may until': 'El último día es el {$on :date}.',
  'sign in': 'Iniciar sesión',
  'sign in first': lines(
    'Si este servicio lleva su cuenta, su primera contraseña llega en un correo aparte. Si su empresa le hace iniciar',
    'sesión de otra manera, use esa. En ambos casos la cuenta debe tener la dirección a la que llegó este correo.',
  ),
  'sign in as before': 'Inicie sesión como hasta ahora.',
  'ask somebody': 'Si esto no era para usted, o no es correcto, avise a {$name}, {$email}, y no inicie sesión.',
  'ask anybody': lines(
    'Si esto no era para usted, o no es correcto, avise a quien atiende este servicio en {$organisation}, y no inicie',
    'sesión.',
  ),
} as const satisfies { readonly [name in keyof typeof english]: string }
