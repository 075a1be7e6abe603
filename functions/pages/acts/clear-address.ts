/** Mail goes to an address again that it came back from. */
import { markedAddressesFor } from '../../questions/addresses.ts'
import type { Act } from './act.ts'
import { donePage } from './parts.ts'

const back = '/notices'

export const clearAddress: Act = {
  route: { method: 'POST', path: '/v1/marked-addresses/clear' },
  isFact: false,
  form: async ({ by, query, wording: { say } }) => {
    const marks = await markedAddressesFor(by)
    return {
      title: say('clear address'),
      lead: say('clear follows'),
      fields: [
        {
          name: '/email',
          kind: 'choice',
          label: say('mail address'),
          options: marks.map(({ email }) => [email, email] as const),
          ...(query.email === undefined ? {} : { value: query.email }),
        },
        { name: '/reason', kind: 'line', label: say('reason'), hint: say('clear reason hint') },
      ],
      send: say('clear it'),
      back: { path: back, text: say('back without') },
    }
  },
  done: async ({ wording }) => {
    const { say } = wording
    const onward = { path: back, text: say('to notices') }
    return donePage({ title: say('address cleared'), text: say('clear told'), onward }, wording)
  },
}
