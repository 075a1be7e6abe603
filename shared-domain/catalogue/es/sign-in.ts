/** Sentences about who is signed in to the pages, and of the ways in and out. In Spanish. */

import type { signIn as english } from '../en/sign-in.ts'
import { lines } from '../lines.ts'

export const signInInSpanish = {
  'signed in as': '{$name}, {$organisation}',
  'sign in': 'Iniciar sesión',
  'sign out': 'Cerrar sesión',

  'signed out': 'Su sesión está cerrada',
  'signed out here': 'Nadie puede seguir con su nombre en este navegador.',
  'you are signed in as': 'Ha iniciado sesión como {$name}, de {$organisation}.',
  'out here': 'Cerrar la sesión de este navegador',
  'out here does':
    'Termina su sesión aquí y la del servicio de acceso. Hágalo en un equipo que también usan otras personas.',
  'out everywhere': 'Cerrar todas las sesiones',
  'out everywhere does': lines(
    'Termina toda sesión con su nombre, en todo teléfono y equipo, y toda clave de acceso que un programa guarda por',
    'usted. Hágalo si pierde un teléfono o si alguien puede saber su contraseña; luego cambie la contraseña en el',
    'servicio de acceso.',
  ),

  'typed is lost': 'Su sesión ya no estaba abierta',
  'typed is lost, do': 'No se registró nada y lo que escribió se perdió. Inicie sesión y escríbalo otra vez.',
  'not from here': 'Esto no se envió desde nuestro formulario',
  'not from here, do': 'No se registró nada. Abra la página otra vez y envíe el formulario desde ella.',

  'not signed in': 'No ha iniciado sesión',
  'sign-in no good': lines(
    'Este inicio de sesión no empezó en este navegador, ya se usó, tardó más de diez minutos o se interrumpió.',
    'Empiécelo otra vez.',
  ),
  'sign-in anew': 'Iniciar sesión otra vez',
  'as somebody else': 'Iniciar sesión como otra persona',

  'not let in': 'El servicio de acceso le conoce; este servicio, no',
  'in no address': 'El servicio de acceso no indica ninguna dirección de correo suya. Pregunte a quien lo administra.',
  'in address not verified':
    'El servicio de acceso no ha confirmado que {$email} sea su dirección. Confírmela allí y vuelva a iniciar sesión.',
  'in nobody has the address': lines(
    'No hay nadie registrado con la dirección {$email}. Pida a un responsable o propietario de su organización que le',
    'registre con ella.',
  ),
  'in several have the address': lines(
    'Hay más de una persona registrada con la dirección {$email}. Pida a un responsable o propietario que dé a cada',
    'una la suya.',
  ),
  'in not begun': lines(
    'El registro con la dirección {$email} aún no ha empezado. Pregunte a un responsable o propietario desde qué día',
    'vale.',
  ),
  'in ended': lines(
    'El registro con la dirección {$email} ha terminado. Pregunte a un responsable o propietario si aún debe tener',
    'acceso.',
  ),
  'in bound to another sign-in': lines(
    'Quien tiene la dirección {$email} inicia sesión con otra cuenta. Use esa cuenta o pida a un responsable o',
    'propietario que deshaga el vínculo con ella.',
  ),

  authenticator: 'Configure una aplicación de autenticación',
  'authenticator why': lines(
    'Los responsables y propietarios deciden sobre pértigas que tienen otras personas. Además de la contraseña',
    'escriben un código de una aplicación de su teléfono. Hasta que esté configurada no se abre ninguna página.',
  ),
  'authenticator step app': lines(
    'Abra en su teléfono una aplicación de autenticación. Sirve cualquiera que haga códigos de seis cifras según la',
    'hora; si no tiene ninguna, instale una.',
  ),
  'authenticator step secret': 'Añada allí una cuenta. Escriba este secreto, o abra el enlace en el propio teléfono:',
  'authenticator link': 'Abrir en la aplicación de este dispositivo',
  'authenticator step code': 'Escriba las seis cifras que la aplicación muestra ahora.',
  'authenticator code': 'Código de la aplicación',
  'authenticator send': 'Terminar y seguir',
  'authenticator wrong': lines(
    'Este código no es válido. Compruebe que el reloj del teléfono va bien, espere al siguiente código de la',
    'aplicación y escríbalo.',
  ),
  'authenticator lost': lines(
    'Si más adelante pierde el teléfono, un responsable o propietario hace de nuevo su cuenta en el servicio de',
    'acceso y usted vuelve a configurar esto. Guarde el secreto donde solo usted lo alcance y podrá configurar otro',
    'teléfono sin ayuda.',
  ),
} as const satisfies { readonly [name in keyof typeof english]: string }
