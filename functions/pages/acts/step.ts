/** What was done to a stick outside a test: after a failure only such a step makes the next test count. */
import { checkRole } from '../../questions/rights.ts'
import { stickFor } from '../../questions/sticks.ts'
import { beginsWith } from '../../questions/told-of.ts'
import type { Act } from './act.ts'
import { backToStick, donePage, noteField, whenFields } from './parts.ts'

const kinds = ['cleaned', 'waxed', 'refinished', 'repaired'] as const

export const recordStep: Act = {
  route: { method: 'POST', path: '/v1/sticks/:id/corrective-steps' },
  isFact: true,
  form: async ({ by, params, wording: { say } }) => {
    const { id: stick = '' } = params
    checkRole(by.caller, 'record a step')
    await stickFor(by, stick)
    const { day, hour } = await beginsWith(by, stick)
    return {
      title: say('record step', { stick }),
      lead: say('step follows'),
      fields: [
        {
          name: '/kind',
          kind: 'pick',
          label: say('which step'),
          options: kinds.map((kind) => [kind, say(`step ${kind}`)] as const),
        },
        { name: '/by', kind: 'line', label: say('field by') },
        // a step is proved earlier than the test after it by its hour
        ...whenFields(day, say).map((field) => (field.name === '/at' ? { ...field, value: hour } : field)),
        noteField(say),
      ],
      send: say('record it'),
      back: backToStick(stick, say),
    }
  },
  done: async ({ params, wording }) => {
    const { id: stick = '' } = params
    const { say } = wording
    const onward = { path: `/bench/${encodeURIComponent(stick)}`, text: say('bench begin stick', { stick }) }
    return donePage({ title: say('step recorded', { stick }), text: say('step told'), onward }, wording)
  },
}
