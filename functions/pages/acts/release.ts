/** A second person lets a stick go back that failed and passed since. */
import { checkRole } from '../../questions/rights.ts'
import { stickFor } from '../../questions/sticks.ts'
import type { Act } from './act.ts'
import { backToStick, donePage, noteField, toStick, whenFields } from './parts.ts'

export const releaseStick: Act = {
  route: { method: 'POST', path: '/v1/sticks/:id/releases' },
  isFact: true,
  form: async ({ by, params, wording: { say } }) => {
    const { id: stick = '' } = params
    checkRole(by.caller, 'release a stick')
    const { day } = await stickFor(by, stick)
    return {
      title: say('release stick', { stick }),
      lead: say('release follows'),
      fields: [...whenFields(day, say), noteField(say)],
      send: say('release it'),
      back: backToStick(stick, say),
    }
  },
  done: async ({ params, wording }) => {
    const { id: stick = '' } = params
    const { say } = wording
    return donePage(
      { title: say('released', { stick }), text: say('release told'), onward: toStick(stick, say) },
      wording,
    )
  },
}
