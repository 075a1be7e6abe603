/** Tests from before the service was used are to count for the due dates of the chosen sticks. */
import { checkRole } from '../../questions/rights.ts'
import type { Act } from './act.ts'
import { chosenSticks, listPath, tooFewOrMany } from './chosen.ts'
import { donePage } from './parts.ts'

export const countBefore: Act = {
  route: { method: 'POST', path: '/v1/past-tests/counts' },
  isFact: true,
  form: async (acting) => {
    const { by, wording } = acting
    const { say } = wording
    checkRole(by.caller, 'count a test from before')
    const nothing = tooFewOrMany(acting)
    if (nothing !== null) return nothing
    const stickIds = chosenSticks(acting)
    return {
      title: say('count before title', { sticks: stickIds.length }),
      lead: say('count before follows'),
      fields: [{ name: '/reason', kind: 'line', label: say('reason'), hint: say('count before reason') }],
      fixed: { stickIds },
      send: say('count before send'),
      back: { path: listPath(acting), text: say('back without') },
    }
  },
  done: async (acting) => {
    const { say } = acting.wording
    const onward = { path: '/proposals', text: say('to changes') }
    return donePage({ title: say('count before waits'), text: say('count before told'), onward }, acting.wording)
  },
}
