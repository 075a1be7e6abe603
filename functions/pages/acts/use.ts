/** A use of a stick with what it met: of one kind with one tap, else as it was. */
import { useConditions } from '../../../shared-domain/words.ts'
import { seenStick } from '../../questions/sticks.ts'
import { beginsWith } from '../../questions/told-of.ts'
import type { Act } from './act.ts'
import type { Option, Send } from './form.ts'
import { backToStick, noteField, whenFields } from './parts.ts'
import { conditionsOfUse, picture } from './pictures.ts'
import { onward, saidPage } from './said.ts'

const name = '/conditions'

export const logUse: Act = {
  route: { method: 'POST', path: '/v1/sticks/:id/uses' },
  isFact: true,
  takesHourOfEntering: true,
  form: async ({ by, params, wording: { say } }) => {
    const { id: stick = '' } = params
    await seenStick(by, stick)
    const { day } = await beginsWith(by, stick)
    const drawn = (one: keyof typeof conditionsOfUse) => picture(conditionsOfUse[one])
    const sends: Send[] = [
      { name, value: '', text: say('condition dry'), picture: drawn('dry') },
      ...useConditions.map(
        (one) => ({ name, value: one, text: say(`condition ${one}`), picture: drawn(one) }) as const,
      ),
    ]
    return {
      act: 'use',
      title: say('log use', { stick }),
      lead: say('use follows'),
      sends,
      fields: [
        {
          kind: 'group',
          folded: true,
          legend: say('more of the use'),
          fields: [
            {
              name,
              kind: 'choices',
              label: say('conditions of use'),
              options: useConditions.map((one): Option => [one, say(`condition ${one}`)]),
              optional: true,
            },
            { name: '/days', kind: 'number', label: say('use days field'), hint: say('use days hint'), value: '1' },
            ...whenFields(day, say),
            noteField(say),
          ],
        },
      ],
      send: say('record the use'),
      back: backToStick(stick, say),
    }
  },
  goTo: onward('use'),
  done: (acting, way) =>
    saidPage(acting, {
      way,
      isQuiet: true,
      title: acting.wording.say('use logged', { stick: acting.params.id ?? '' }),
    }),
}
