/** Somebody without e-mail was told face to face. */
import { localDateAt } from '../../../shared-domain/calendar.ts'
import { noticeFor } from '../../questions/notices.ts'
import type { Act } from './act.ts'
import { donePage } from './parts.ts'

const back = '/notices'

export const tellInPerson: Act = {
  route: { method: 'POST', path: '/v1/notices/:id/told' },
  isFact: false,
  form: async ({ by, params, query, wording: { say } }) => {
    const { id: number = '' } = params
    const { to } = await noticeFor(by, number)
    return {
      title: say('tell in person', { number }),
      lead: say('tell follows'),
      fields: [
        {
          name: '/name',
          kind: 'choice',
          label: say('who was told'),
          options: [...new Set(to.tellInPerson.map(({ name }) => name))].map((name) => [name, name] as const),
          ...(query.name === undefined ? {} : { value: query.name }),
        },
        {
          name: '/phone',
          kind: 'line',
          label: say('telephone'),
          hint: say('telephone hint'),
          optional: true,
          ...(query.phone === undefined ? {} : { value: query.phone }),
        },
        { name: '/toldOn', kind: 'date', label: say('day told'), value: localDateAt(by.now, 'UTC'), optional: true },
      ],
      send: say('was told'),
      back: { path: back, text: say('back without') },
    }
  },
  /** A tap on the page of a crew leads back there. */
  goTo: ({ params, query }) =>
    query.crew === undefined
      ? `/notices/${encodeURIComponent(params.id ?? '')}/told?done=recorded`
      : `/crew?${new URLSearchParams({ crew: query.crew, done: 'recorded' })}`,
  done: async ({ params, wording }) => {
    const { say } = wording
    const title = say('telling recorded', { number: params.id ?? '' })
    return donePage({ title, text: say('telling kept'), onward: { path: back, text: say('to notices') } }, wording)
  },
}
