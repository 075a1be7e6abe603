/** A manager says that the paper of a stick was looked at, after its records were brought back from a backup. */
import { checkRole } from '../../questions/rights.ts'
import { stickFor } from '../../questions/sticks.ts'
import type { Act } from './act.ts'
import { backToStick, donePage, noteField, toStick, whenFields } from './parts.ts'

export const lookAtPaper: Act = {
  route: { method: 'POST', path: '/v1/sticks/:id/paper-looks' },
  isFact: true,
  form: async ({ by, params, wording: { say } }) => {
    const { id: stick = '' } = params
    checkRole(by.caller, 'look at the paper')
    const { day } = await stickFor(by, stick)
    return {
      title: say('paper of stick', { stick }),
      lead: say('paper follows'),
      fields: [...whenFields(day, say), noteField(say)],
      send: say('paper looked at'),
      back: backToStick(stick, say),
    }
  },
  done: async ({ params, wording }) => {
    const { id: stick = '' } = params
    const { say } = wording
    return donePage(
      { title: say('paper done', { stick }), text: say('paper told'), onward: toStick(stick, say) },
      wording,
    )
  },
}
