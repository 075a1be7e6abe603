/** The look of the day: a stick was wiped clean and looked over before use, and is sound. */
import { nameOf } from '../../questions/crew.ts'
import { seenStick } from '../../questions/sticks.ts'
import { beginsWith } from '../../questions/told-of.ts'
import type { Act } from './act.ts'
import { backToStick, noteField } from './parts.ts'
import { onward, saidPage } from './said.ts'

export const lookOver: Act = {
  route: { method: 'POST', path: '/v1/sticks/:id/condition-checks' },
  isFact: true,
  form: async ({ by, params, wording: { say } }) => {
    const { id: stick = '' } = params
    await seenStick(by, stick)
    const [{ day, hour }, name] = await Promise.all([beginsWith(by, stick), nameOf(by)])
    return {
      act: 'look',
      title: say('look over', { stick }),
      lead: say('look follows'),
      fields: [
        {
          kind: 'group',
          folded: true,
          legend: say('another day or note'),
          fields: [
            { name: '/occurredOn', kind: 'date', label: say('day of it'), value: day },
            // without its hour a look stands before whatever else that day brought
            { name: '/at', kind: 'time', label: say('hour'), hint: say('hour hint'), value: hour, optional: true },
            noteField(say),
          ],
        },
      ],
      fixed: { by: name, sound: true },
      send: say('it is sound'),
      back: backToStick(stick, say),
    }
  },
  goTo: onward('look'),
  done: (acting, way) =>
    saidPage(acting, {
      way,
      isQuiet: true,
      title: acting.wording.say('looked over', { stick: acting.params.id ?? '' }),
    }),
}
