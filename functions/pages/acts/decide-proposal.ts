/** A change that waits for a second person is approved or declined, with what hangs on it in sight. */
import { notFound } from '../../ground/errors.ts'
import { proposalsFor } from '../../questions/proposals.ts'
import { proposalSection } from '../proposals-page.ts'
import type { Act, Acting } from './act.ts'
import type { Field } from './form.ts'
import { donePage } from './parts.ts'

const back = '/proposals'

function deciding(what: 'approve' | 'decline', fieldsFor: (acting: Acting) => readonly Field[]): Act {
  return {
    route: { method: 'POST', path: `/v1/proposals/:id/${what}` },
    isFact: false,
    form: async (acting) => {
      const { by, params, wording } = acting
      const { say } = wording
      const proposal = (await proposalsFor(by, undefined)).find(({ id }) => id === params.id)
      if (proposal === undefined) throw notFound({ is: 'none: proposal', proposal: params.id ?? '' })
      const { checkMayDecide } = await import('../../questions/deciders.ts')
      await checkMayDecide(by, proposal)
      return {
        title: say(`${what} change`),
        lead: say(`${what} follows`),
        about: await proposalSection(by, proposal, wording),
        fields: fieldsFor(acting),
        send: say(`${what} it`),
        back: { path: back, text: say('back without') },
      }
    },
    done: async ({ wording }) => {
      const { say } = wording
      const onward = { path: back, text: say('to changes') }
      return donePage({ title: say(`${what} done`), text: say(`${what} told`), onward }, wording)
    },
  }
}

export const approveChange = deciding('approve', () => [])
export const declineChange = deciding('decline', ({ wording: { say } }) => [
  { name: '/reason', kind: 'line', label: say('reason'), hint: say('decline reason hint') },
])
