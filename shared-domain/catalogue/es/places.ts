/** Phrases on where something is on a stick, and how much else there is. In Spanish. */
import type { places as english } from '../en/places.ts'
import { lines } from '../lines.ts'

export const placesInSpanish = {
  'and more': lines(
    '.input {$more :integer} .match $more',
    'one {{{$what} (y 1 hallazgo más)}}',
    '* {{{$what} (y {$more} hallazgos más)}}',
  ),
  at: '{$place}: {$what}',
  dry: 'en seco',
  wet: 'en húmedo',
  section: 'tramo {$section}',
  'quarter turn': 'cuarto de vuelta {$turn :figure}°',
  span: 'de {$from :length unit=after} a {$to :length}',
  'span from the working end': 'de {$from :length unit=after} a {$to :length} desde el extremo de trabajo',
  'span of a section': 'tramo {$section}, de {$from :length unit=after} a {$to :length} desde su extremo de trabajo',
  recorded: '“{$text}” (texto original en inglés)',
} as const satisfies { readonly [name in keyof typeof english]: string }
