/** Sentences on what would be right in a bench test that cannot be true of the stick it names. In Spanish. */
import type { misfits as english } from '../en/misfits.ts'

export const misfitsInSpanish = {
  'right: no wet test':
    'ninguna prueba en húmedo: la pértiga es de {$construction :word of=construction}, que se prueba solo en seco',
  'right: beyond its beginning': 'al menos {$least :small} más allá de donde empieza, {$from :length}',
  'right: a place given once': 'un lugar indicado una sola vez; {$earlier} es el mismo',
  'right: no section': 'ningún tramo: la pértiga del registro no tiene tramos',
  'right: a section of this stick': 'un tramo de esta pértiga: {$sections}',
  'right: within its length': 'como mucho {$length :length}, la longitud que hay',
  'right: within its length, in feet':
    'como mucho {$length :length}, la longitud que hay; {$feet :figure} pies son {$inMetres :length}',
} as const satisfies { readonly [name in keyof typeof english]: string }
