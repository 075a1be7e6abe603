/** The same beside a request, one transaction and one mail of the same bytes. */
import type { Figure } from './figure.ts'
import { holdMail } from './hold-mail.ts'

export const figure: Figure = {
  unit: 'ratio to the same bytes by one request, one transaction and one mail',
  better: 'lower',
  goal: 3,
  floorIn: 's',
  async measure(rounds) {
    const { ratio, floorSeconds } = await holdMail(rounds)
    return { value: ratio, floor: floorSeconds }
  },
}
