/** A foreman hands a stick of the crew over to another crew of the same depot. */
import { handsOverTo } from '../../questions/hand-over.ts'
import { seenStick } from '../../questions/sticks.ts'
import { beginsWith } from '../../questions/told-of.ts'
import type { Act } from './act.ts'
import type { Option } from './form.ts'
import { backToStick, donePage, noteField, whenFields } from './parts.ts'

export const handOver: Act = {
  route: { method: 'POST', path: '/v1/sticks/:id/moves' },
  isFact: true,
  form: async ({ by, params, wording: { say } }) => {
    const { id: stick = '' } = params
    const { state } = await seenStick(by, stick)
    const [{ day, hour }, crews] = await Promise.all([beginsWith(by, stick), handsOverTo(by, state.crewId)])
    return {
      act: 'hand-over',
      title: say('hand over', { stick }),
      lead: say(crews.length === 0 ? 'hand over to nobody' : 'hand over follows'),
      fields: [
        {
          name: '/to',
          kind: 'pick',
          looks: 'tiles',
          label: say('to which crew'),
          options: crews.map(({ id, name }): Option => [JSON.stringify({ crewId: id }), name]),
          isJson: true,
        },
        noteField(say),
        {
          kind: 'group',
          folded: true,
          legend: say('another day'),
          fields: whenFields(day, say).map((field) => (field.name === '/at' ? { ...field, value: hour } : field)),
        },
      ],
      send: say('hand it over'),
      back: backToStick(stick, say),
    }
  },
  done: async ({ params: { id: stick = '' }, wording }) => {
    const { say } = wording
    const onward = { path: '/crew', text: say('to our sticks') }
    return donePage({ title: say('handed over', { stick }), text: say('handed over follows'), onward }, wording)
  },
}
