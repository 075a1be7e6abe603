/** Spanish, with the figures and dates of the Americas. */
import type { Spoken } from '../languages.ts'
import { holdsInSpanish } from './holds.ts'
import { misfitsInSpanish } from './misfits.ts'
import { placesInSpanish } from './places.ts'
import { reasonsInSpanish } from './reasons.ts'
import { vocabulary } from './vocabulary.ts'
import { whysInSpanish } from './whys.ts'

export const spanish: Spoken = {
  language: 'es',
  locale: 'es-419',
  unitNames: { foot: 'pie', feet: 'pies', inches: 'pulg' },
  until: 'a',
  vocabulary,
  core: { ...placesInSpanish, ...reasonsInSpanish, ...holdsInSpanish, ...whysInSpanish, ...misfitsInSpanish },
}
