/** Phrases on where something is on a stick, and how much else there is. */
export const places = {
  'and more': '{$what} (and {$more :figure} more)',
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
