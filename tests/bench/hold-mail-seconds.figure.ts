/** How long somebody may go on holding a stick that was reported: from the report to the mail being accepted. */
import type { Figure } from './figure.ts'
import { holdMail } from './hold-mail.ts'

export const figure: Figure = {
  unit: 'seconds from a reported defect to its mail being accepted, median',
  better: 'lower',
  goal: 0.5,
  floorIn: 's',
  async measure(rounds) {
    const { seconds, floorSeconds } = await holdMail(rounds)
    return { value: seconds, floor: floorSeconds }
  },
}
