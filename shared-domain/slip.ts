/** Something that was recorded and was wrong, as it is told of. */
import type { CalendarDate } from './calendar.ts'
import type { Happening } from './facts.ts'

/** The names of what can be a slip, as it is told of. */
export const slipNames = {
  registered: 'the entry on the register',
  tested: 'the bench test',
  'tested before': 'the test from before',
  'test before counted': 'the counting of a test from before',
  'corrective step': 'the work',
  used: 'the use',
  'defect reported': 'the report',
  moved: 'the move',
  released: 'the release',
  'certificate received': 'the certificate',
  'condition checked': 'the look',
  'judged again': 'the new verdict',
  corrected: 'the correction',
  removed: 'the removal',
  'label changed': 'the label',
  'records restored': 'the doubt about its records',
  'paper looked at': 'the look at the paper',
} as const satisfies { readonly [kind in Happening['kind']]: string }
/** The names of entries by which tests are judged. */
export const entrySlipNames = {
  instrument: 'the calibration of an instrument',
  procedure: 'the procedure',
  policy: 'the policy',
  demonstration: 'the demonstration',
} as const
export type SlipName = (typeof slipNames)[Happening['kind']] | (typeof entrySlipNames)[keyof typeof entrySlipNames]

/** Something that was recorded of a stick and was wrong, as it is told of. */
export interface Slip {
  readonly what: SlipName
  /** the day that the slip was recorded of */
  readonly on: CalendarDate
  readonly reason: string
  /** the name of whoever put the slip right */
  readonly by?: string
  /** the stick that it was recorded of and moved from; `to` is the stick that it was moved to */
  readonly from?: string
  readonly to?: string
}
