/** Warnings about a procedure that is taken all the same. In Spanish. */

import type { warnings as english } from '../en/warnings.ts'
import { lines } from '../lines.ts'

export const warningsInSpanish = {
  'limit above the check piece': lines(
    'El límite de {$microamps :figure} µA, {$state :word of=state}, está por encima de los {$highest :figure} µA de',
    'la pieza de comprobación: nada muestra que el instrumento lea bien tan alto',
  ),
  'no check piece': lines(
    'El procedimiento tiene límites para lecturas {$state :word of=state} y no indica ninguna lectura de',
    'comprobación para ellas: ninguna prueba {$state :word of=state} según él demostrará nada',
  ),
} as const satisfies { readonly [name in keyof typeof english]: string }
