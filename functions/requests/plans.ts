/** Plans of benches: asked for and followed, and the settings that they are made by. A worker makes them. */
import { randomUUID } from 'node:crypto'
import { type PlanBody, type PlanSettingsBody, planBody, planSettingsBody } from '../../shared-domain/plan-body.ts'
import { type Request, type Route, route } from './request.ts'

export const planRoutes: Route[] = [
  route({
    method: 'POST',
    path: '/v1/plans',
    summary:
      'Ask for a plan of a depot’s bench, or of every bench that is yours: which stick comes in when. It is made ' +
      'behind this request; the answer has its number',
    action: 'plan a bench',
    body: planBody,
    answer: 'plan',
    handle: async (request: Request<PlanBody>) => {
      // its number begins with when it came, so that lists are in time
      const id = `${request.now.replaceAll(/[^\dTZ]/g, '')}-${randomUUID().slice(0, 8)}`
      return { status: 202, body: await (await acts()).asked(request, { id, depotId: request.body.depotId }) }
    },
  }),
  route({
    method: 'GET',
    path: '/v1/plans/:id',
    summary:
      'How far a plan is, from nought to one, and its weeks: minutes asked of the bench and minutes it has, and the ' +
      'sticks. Whatever cannot be kept is told in `broken`; no stick is planned after its due date. `value` is what ' +
      'the plan costs in weeks of interval, `bound` what no plan can be below',
    action: 'read a plan',
    answer: 'plan',
    handle: async (request) => ({ status: 200, body: await (await acts()).shownPlan(request) }),
  }),
  route({
    method: 'GET',
    path: '/v1/depots/:id/bench',
    summary: 'The hours of a depot’s bench and what else its plan is made by',
    action: 'read a plan',
    answer: 'bench settings',
    handle: async (request) => ({ status: 200, body: await (await acts()).shownSettings(request) }),
  }),
  route({
    method: 'PUT',
    path: '/v1/depots/:id/bench',
    summary: 'Say how many minutes the bench has, which weeks are closed, and what else a plan is made by',
    action: 'plan a bench',
    body: planSettingsBody,
    answer: 'bench settings',
    handle: async (request: Request<PlanSettingsBody>) => (await acts()).settingsKept(request),
  }),
]

/** Few plan: what does is loaded with the first. */
const acts = () => import('./plan-acts.ts')
