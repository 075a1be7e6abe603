/** Word of danger about a stick: anybody may bring it, of any stick. */
import { html } from 'hono/html'
import { defectKinds } from '../../../shared-domain/words.ts'
import { dayAtStick } from '../../questions/today.ts'
import type { Act } from './act.ts'
import { backToStick, donePage, noteField, toStick, whenFields } from './parts.ts'

export const reportDanger: Act = {
  route: { method: 'POST', path: '/v1/sticks/:id/defects' },
  isFact: true,
  form: async ({ by, params, wording: { say, word } }) => {
    const { id: stick = '' } = params
    return {
      title: say('report danger', { stick }),
      lead: say('report follows'),
      fields: [
        {
          name: '/kind',
          kind: 'choice',
          label: say('what is wrong'),
          options: defectKinds.map((kind) => [kind, word('defect', kind)] as const),
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
    const text = html`<p class="order">${say('do not use')}</p><p>${say('report told')}</p>`
    return donePage({ title: say('reported', { stick }), text, onward: toStick(stick, say) }, wording)
  },
}
