/** Warnings about a procedure that is taken all the same. */
import { lines } from '../lines.ts'

export const warnings = {
  'limit above the check piece': lines(
    'The limit of {$microamps :figure} µA, {$state :word of=state}, is above the {$highest :figure} µA of the check',
    'piece: nothing shows that the instrument reads true so high',
  ),
  'no check piece': lines(
    'The procedure has limits for {$state :word of=state} readings and states no check reading for them: every',
    '{$state :word of=state} test by it will prove nothing',
  ),
} as const
