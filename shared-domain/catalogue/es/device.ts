/** Sentences of what a device keeps: reports that are not sent yet, and a list for no link. In Spanish. */
import type { device as english } from '../en/device.ts'
import { lines } from '../lines.ts'

export const deviceInSpanish = {
  'device banner': 'Guardado en este teléfono',
  'device waits': 'Sin enviar todavía, guardado en este teléfono: {$count}',
  'device waits for others': lines(
    'Guardado en este teléfono de otra persona: {$count}. Se envía cuando esa persona inicie sesión aquí con conexión.',
  ),
  'device send now': 'Enviar ahora',
  'device sign in': 'Iniciar sesión y enviar',
  'device no link': lines(
    'No hay conexión con el servicio. Se envía cuando vuelva la conexión y una de estas páginas esté abierta. Hasta',
    'entonces nadie lo sabe.',
  ),
  'device session over': 'Su sesión ha terminado. No se pierde nada: inicie sesión y se envía.',
  'device service trouble':
    'El servicio no pudo recibirlo ahora (respuesta {$status}). Queda en este teléfono y se intenta otra vez.',
  'device sent': 'Enviado y registrado: {$about}, anotado el {$when}.',
  'device not taken': 'No aceptado: {$about}, anotado el {$when}.',
  'device stays until': 'Queda en este teléfono hasta que se acepte o usted lo deseche. Hasta entonces nadie lo sabe.',
  'device send again': 'Enviar otra vez',
  'device throw away': 'Desechar',
  'device throw away surely': 'Sí, desechar. No se avisa a nadie.',
  'device answered': 'El servicio no dijo por qué.',

  'device sending': 'Guardado en este teléfono. Enviando …',
  'device kept': 'Guardado, sin enviar todavía',
  'device kept what': '{$about}, anotado el {$when}.',
  'device nobody knows': lines(
    'Nadie lo sabe todavía. Si se trata de un peligro, ponga la pértiga fuera de uso y avise ahora a su capataz, de',
    'viva voz o por radio.',
  ),
  'device sent later': lines(
    'Este teléfono lo envía con la hora en que lo anotó, cuando vuelva la conexión y una de estas páginas esté',
    'abierta.',
  ),
  'device sent by the next': lines(
    'Nadie ha iniciado sesión en este teléfono. Se envía a nombre de quien inicie sesión aquí la próxima vez, con la',
    'hora en que lo anotó.',
  ),
  'device may be lost': lines(
    'Este navegador puede borrarlo por sí mismo, pasados unos días, o en cuanto se cierre una ventana privada. Envíelo',
    'en cuanto pueda.',
  ),
  'device go on': 'Seguir',
  'device not kept': 'Ni enviado ni guardado',
  'device not kept, do': lines(
    'Deje esta página abierta y pulse el botón otra vez cuando haya conexión. Si se trata de un peligro, ponga la',
    'pértiga fuera de uso y avise ahora a su capataz, de viva voz o por radio.',
  ),
  'device full': lines(
    'El almacenamiento de este teléfono está lleno. Lo guardado antes sigue guardado. No se guarda nada nuevo hasta',
    'que haya sitio.',
  ),
  'device keeps nothing': lines(
    'Este navegador no guarda nada de estas páginas, como puede ocurrir en una ventana privada. Lo que anote sin',
    'conexión se pierde al salir de la página.',
  ),
  'device later build': lines(
    'Esta página es más antigua que lo que guarda este teléfono. Lo guardado sigue guardado; no se guarda nada nuevo.',
    'Cargue la página otra vez con conexión.',
  ),
  'device older pages': lines(
    'Las páginas que se abren sin conexión son de una versión anterior en este teléfono. Lo guardado sigue guardado.',
    'Cargue esta página otra vez con buena conexión.',
  ),
  'device no pages': lines(
    'En este navegador no se abre ninguna página sin conexión. Los reportes se guardan de todos modos mientras esta',
    'página esté abierta.',
  ),
  'device clock ahead': lines(
    'El reloj de este teléfono va adelantado unos {$minutes} min. Las horas que dejó vacías se corrigieron; la hora',
    'que escribió queda como la escribió.',
  ),
  'device clock behind': lines(
    'El reloj de este teléfono va atrasado unos {$minutes} min. Las horas que dejó vacías se corrigieron; la hora que',
    'escribió queda como la escribió.',
  ),

  'device without link': 'Sin conexión',
  'device without link, do': lines(
    'La página que pidió no se pudo obtener. Abajo está lo que guarda este teléfono, y un formulario para reportar lo',
    'que va mal.',
  ),
  'device try again': 'Intentar la página otra vez',
  'device report': 'Reporte en cuanto algo vaya mal',
  'device which stick': 'Número de la pértiga',
  'device keep it': 'Guardar, y enviar con la conexión',
  'device list as of':
    'Según se sabía el {$when}, hace {$hours} h {$minutes} min. Lo ocurrido desde entonces no consta.',
  'device list too old': lines(
    'La lista es del {$when}, de hace más de un día. No se sabe cómo están las pértigas: pregunte al banco de pruebas.',
  ),
  'device no list':
    'Este teléfono no guarda ninguna lista de sus pértigas. Pregunte al banco de pruebas antes de usar una.',
  'device unknown': 'no se sabe: pregunte al banco de pruebas',
  'device not on list': 'Una pértiga que no está en esta lista: pregunte al banco de pruebas antes de usarla.',
  'device reported here': 'NO LA USE. Se reportó algo de ella en este teléfono.',
  'device leaving': lines(
    'Sin enviar todavía, guardado en este teléfono: {$count}. Si cierra la sesión ahora, queda aquí y se envía cuando',
    'quien lo anotó vuelva a iniciar sesión en este teléfono. Hasta entonces nadie lo sabe.',
  ),
  'device leave anyway': 'Cerrar la sesión de todos modos',
} as const satisfies { readonly [name in keyof typeof english]: string }
