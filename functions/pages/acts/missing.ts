/** A stick is missing, or was found: anybody may say so, of any stick. */
import { beginsWith } from '../../questions/told-of.ts'
import type { Act } from './act.ts'
import { backToStick, noteField, whenFields } from './parts.ts'
import { picture, whatHappened } from './pictures.ts'
import { onward, saidPage } from './said.ts'

export const reportMissing: Act = {
  route: { method: 'POST', path: '/v1/sticks/:id/moves' },
  isFact: true,
  takesHourOfEntering: true,
  form: async ({ by, params, query, wording: { say } }) => {
    const { id: stick = '' } = params
    const { day } = await beginsWith(by, stick)
    const said = (['missing', 'found'] as const).find((one) => one === query.to)
    return {
      act: 'missing',
      title: say('missing or found', { stick }),
      lead: say('missing follows'),
      fields: [
        {
          name: '/to',
          kind: 'pick',
          looks: 'tiles',
          label: say('what happened to it'),
          options: [
            ['missing', say('it is missing'), undefined, picture(whatHappened.missing)],
            ['found', say('it was found'), undefined, picture(whatHappened.found)],
          ],
          ...(said === undefined ? {} : { value: said }),
        },
        noteField(say),
        { kind: 'group', folded: true, legend: say('another day'), fields: whenFields(day, say) },
      ],
      send: say('report it'),
      back: backToStick(stick, say),
    }
  },
  goTo: onward('missing'),
  done: (acting, way) =>
    saidPage(acting, { way, title: acting.wording.say('reported', { stick: acting.params.id ?? '' }) }),
}
