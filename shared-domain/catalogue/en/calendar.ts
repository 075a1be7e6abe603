/** Sentences of due dates in calendars. */
import { lines } from '../lines.ts'

export const calendar = {
  'calendar name': 'Sticks due',
  'entry to bench': 'Stick {$stick}: bring it to the bench ({$status :word of=status})',
  'entry overdue': 'Stick {$stick}: do not use it, bring it to the bench ({$status :word of=status})',
  'entry to look over': 'Stick {$stick}: look it over ({$status :word of=status})',
  'entry not looked over': 'Stick {$stick}: do not use it before it is looked over ({$status :word of=status})',
  'entry called off': 'Stick {$stick}: do not use it ({$status :word of=status})',
  'entry status': 'Status: {$status :word of=status}.',
  'entry not primary': 'It is not for primary protection.',
  'entry planned': 'Bring it in the week of {$week :date}, at the latest by {$by :date}.',
  'entry bring to': 'Bring to: {$place}.',
  'entry rule': 'Rule: {$source}.',
  'entry known': 'Known on {$day :date}. Calendars follow late: before you use the stick, look up how it stands.',
  safety: lines(
    'This service supports and never replaces your employer’s procedures, local rules and qualified people. If in',
    'doubt, do not use the stick.',
  ),
  'calendar of crew': 'Sticks of {$crew}',
} as const
