/** Word of danger about a stick: anybody may bring it, of any stick. */
import { html } from 'hono/html'
import { defectKinds } from '../../../shared-domain/words.ts'
import { dayAtStick } from '../../questions/today.ts'
import { documentOf } from '../layout.ts'
import type { Act } from './act.ts'

const pathOf = (id: string) => `/sticks/${encodeURIComponent(id)}`

export const act: Act = {
  route: { method: 'POST', path: '/v1/sticks/:id/defects' },
  isFact: true,
  form: async ({ by, params, wording: { say } }) => {
    const { id: stick = '' } = params
    return {
      title: say('report danger', { stick }),
      lead: say('report follows'),
      fields: [
        {
          name: '/kind',
          kind: 'choice',
          label: say('what is wrong'),
          options: defectKinds.map((kind) => [kind, say('defect', { kind })] as const),
        },
        { name: '/occurredOn', kind: 'date', label: say('day seen'), value: await dayAtStick(by, stick) },
        { name: '/at', kind: 'time', label: say('hour seen'), hint: say('hour seen hint'), optional: true },
        { name: '/note', kind: 'text', label: say('note'), optional: true },
      ],
      send: say('report it'),
      back: { path: pathOf(stick), text: say('back without') },
    }
  },
  done: async ({ params, wording }) => {
    const { id: stick = '' } = params
    const { say } = wording
    const title = say('reported', { stick })
    const main = html`<h1>${title}</h1><p class="order">${say('do not use')}</p>
<p>${say('report told')}</p><p><a href="${pathOf(stick)}">${say('to the stick', { stick })}</a></p>`
    return documentOf({ title, main }, wording)
  },
}
