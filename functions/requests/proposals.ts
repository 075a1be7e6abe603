/** Edits that would loosen: listed, approved or declined by a second person. */
import * as z from 'zod'
import { proposalStates } from '../../shared-domain/loosening/proposal.ts'
import { line } from '../../shared-domain/text.ts'
import { type ListedProposal, proposalsFor } from '../questions/proposals.ts'
import type { Proposed } from '../recording/proposals.ts'
import { shownFleet } from './english.ts'
import { cut, pageFields } from './paging.ts'
import { approveAndJudge, recording } from './recording.ts'
import { type Request, type Route, route } from './request.ts'

const query = z.lazy(() => z.strictObject({ state: z.enum(proposalStates).optional(), ...pageFields() }))
const approval = z.lazy(() => z.strictObject({}))
const declining = z.lazy(() => z.strictObject({ reason: line(400) }))

export const proposalRoutes: Route[] = [
  route({
    method: 'GET',
    path: '/v1/proposals',
    summary: 'Edits that would loosen, and what became of them; the newest first',
    action: 'read proposals',
    query,
    answer: 'list of proposal',
    handle: async (request) => {
      const all = await proposalsFor(request, request.query.state)
      const items = all.map((one) => ({ ...one, place: placeOf(one) }))
      const show = await shownIn()
      return { status: 200, body: cut({ items, keyOf: ({ place }) => place, show }, request.query) }
    },
  }),
  route({
    method: 'POST',
    path: '/v1/proposals/:id/approve',
    summary: 'Approve an edit that somebody else proposed: it is added, and binds from its day on',
    action: 'decide a proposal',
    body: approval,
    answer: 'proposal decided',
    handle: async (request) => ({
      status: 200,
      body: { proposal: await decidedView(await approveAndJudge(request, request.id)) },
    }),
  }),
  route({
    method: 'POST',
    path: '/v1/proposals/:id/decline',
    summary: 'Decline an edit that somebody else proposed: nothing changes',
    action: 'decide a proposal',
    body: declining,
    answer: 'proposal decided',
    handle: async (request: Request<z.output<typeof declining>>) => ({
      status: 200,
      body: {
        proposal: await decidedView(await (await recording()).decline(request, request.id, request.body.reason)),
      },
    }),
  }),
]

/** The place of a proposal in the list: later instants sort first. */
const placeOf = ({ at, id }: ListedProposal) => `${String(99_999_999_999_999 - Date.parse(at)).padStart(14, '0')}#${id}`

export async function decidedView(one: Omit<ListedProposal, 'stateNow'>) {
  return (await shownIn())({ ...one, stateNow: one.state })
}

async function shownIn() {
  const { shownWay } = await import('./english-of-edits.ts')
  return ({ id, kind, entryId, body, ways, fleet, by, at, stateNow, decided }: ListedProposal) => ({
    id,
    state: stateNow,
    what: whatOf(kind, entryId),
    entry: { register: kind, id: entryId },
    effect: { loosens: ways.map(shownWay), fleet: shownFleet(fleet) },
    by,
    at,
    body,
    decided,
  })
}

function whatOf(kind: ListedProposal['kind'], id: string): string {
  if (kind === 'policy') return kind
  if (kind === 'tests before') return `past tests, stick ${id} first`
  return kind === 'correction' ? `record of stick ${id}` : `${kind} ${id}`
}

/** The answer to whoever asked for the edit. */
export async function proposedView({ proposal, isAlone }: Proposed) {
  return {
    proposal: await decidedView(proposal),
    alone: isAlone,
    next: isAlone
      ? 'Nothing has changed. Nobody else of your organisation may approve this: enter a second manager or owner ' +
        'with PUT /v1/people/{id}.'
      : 'Nothing has changed. It waits for another manager or owner, who has been told by mail.',
  }
}
