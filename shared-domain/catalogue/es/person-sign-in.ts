/** Sentences of how a person signs in, on the page of their entry, in Spanish. */
import type { personSignIn as english } from '../en/person-sign-in.ts'
import { lines } from '../lines.ts'

export const personSignInInSpanish = {
  'their sign-in': 'Acceso',
  'not bound': 'Aún sin vincular: el primer acceso en una página con la dirección de arriba es suyo.',
  'bound since': 'Vinculado a la cuenta con la que entró por primera vez, {$when}.',
  'was set free': '{$when}: {$who} hizo que se vincule a un acceso nuevo.',
  'was signed out': '{$when}: {$who} cerró todas sus sesiones.',
  'bind anew': 'Vincular a un acceso nuevo',
  'bind anew whom': 'Vincular a {$name} a un acceso nuevo',
  'bind anew follows': lines(
    'Hágalo cuando tenga otra cuenta en el servicio de acceso, o no haya usado su primera contraseña. Se cierran todas',
    'sus sesiones y sus tokens dejan de valer. Quien entre después con la dirección de su ficha queda vinculado a esta',
    'persona: compruebe antes que el buzón es suyo. Una primera contraseña sin usar se vuelve a enviar.',
  ),
  'bound anew': 'Puede entrar de nuevo',
  'bind anew told': 'Cuenta su próximo acceso en una página con la dirección de su ficha. Avísele.',
  'sign them out': 'Cerrar todas las sesiones',
  'sign out whom': 'Cerrar todas las sesiones de {$name}',
  'sign out follows': lines(
    'Cierra todas sus sesiones, en todo teléfono y ordenador, y deja sin valor todo token que un programa tenga a su',
    'nombre. Hágalo cuando se pierda un teléfono. Puede volver a entrar enseguida: para impedirlo, ponga un último día',
    'en su ficha.',
  ),
  'they are signed out': 'Todas sus sesiones están cerradas',
  'sign out told': 'Lo que tenga abierto pide el acceso en la página siguiente. Los programas necesitan otro token.',
  'to their entry': 'A su ficha',
} as const satisfies { readonly [name in keyof typeof english]: string }
