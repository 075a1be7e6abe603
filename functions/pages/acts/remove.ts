/** A stick leaves service for good by decision. No test brings it back. */
import { checkRole } from '../../questions/rights.ts'
import { stickFor } from '../../questions/sticks.ts'
import type { Act } from './act.ts'
import { backToStick, donePage, noteField, toStick, whenFields } from './parts.ts'

export const removeStick: Act = {
  route: { method: 'POST', path: '/v1/sticks/:id/removals' },
  isFact: true,
  form: async ({ by, params, wording: { say } }) => {
    const { id: stick = '' } = params
    checkRole(by.caller, 'remove a stick')
    const { day } = await stickFor(by, stick)
    return {
      title: say('remove stick', { stick }),
      lead: say('remove follows'),
      fields: [
        { name: '/reason', kind: 'line', label: say('reason'), hint: say('remove reason hint') },
        ...whenFields(day, say),
        noteField(say),
      ],
      send: say('remove it'),
      back: backToStick(stick, say),
    }
  },
  done: async ({ params, wording }) => {
    const { id: stick = '' } = params
    const { say } = wording
    return donePage(
      { title: say('removed', { stick }), text: say('remove told'), onward: toStick(stick, say) },
      wording,
    )
  },
}
