/** Spanish, with the figures and dates of the Americas. */
import type { Spoken } from '../languages.ts'
import { holds } from './holds.ts'
import { places } from './places.ts'
import { reasons } from './reasons.ts'
import { vocabulary } from './vocabulary.ts'
import { ways } from './ways.ts'
import { whys } from './whys.ts'

export const spanish: Spoken = {
  language: 'es',
  locale: 'es-419',
  unitNames: { foot: 'pie', feet: 'pies', inches: 'pulg' },
  until: 'a',
  vocabulary,
  core: { ...places, ...reasons, ...holds, ...whys, ...ways },
}
