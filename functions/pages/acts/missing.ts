/** A stick is missing, or was found: anybody may say so, of any stick. */
import { dayAtStick } from '../../questions/today.ts'
import type { Act } from './act.ts'
import { backToStick, donePage, noteField, toStick, whenFields } from './parts.ts'

export const reportMissing: Act = {
  route: { method: 'POST', path: '/v1/sticks/:id/moves' },
  isFact: true,
  form: async ({ by, params, wording: { say } }) => {
    const { id: stick = '' } = params
    return {
      title: say('missing or found', { stick }),
      lead: say('missing follows'),
      fields: [
        {
          name: '/to',
          kind: 'choice',
          label: say('what happened to it'),
          options: [
            ['missing', say('it is missing')],
            ['found', say('it was found')],
          ],
        },
        ...whenFields(await dayAtStick(by, stick), say),
        noteField(say),
      ],
      send: say('report it'),
      back: backToStick(stick, say),
    }
  },
  done: async ({ params, wording }) => {
    const { id: stick = '' } = params
    const { say } = wording
    return donePage(
      { title: say('reported', { stick }), text: say('missing told'), onward: toStick(stick, say) },
      wording,
    )
  },
}
