/** Phrases on where something is on a stick, and how much else there is. */
import { lines } from '../lines.ts'

export const places = {
  'and more': lines(
    '.input {$more :integer} .match $more',
    'one {{{$what} (and 1 more finding)}}',
    '* {{{$what} (and {$more} more findings)}}',
  ),
  at: '{$place}: {$what}',
  dry: 'dry',
  wet: 'wet',
  section: 'section {$section}',
  'quarter turn': 'quarter turn {$turn :figure}°',
  span: '{$from :length unit=after} to {$to :length}',
  'span from the working end': '{$from :length unit=after} to {$to :length} from the working end',
  'span of a section': 'section {$section}, {$from :length unit=after} to {$to :length} from its working end',
  recorded: '{$text}',
} as const
