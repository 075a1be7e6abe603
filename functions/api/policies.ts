/** The rules an organisation holds itself to: the packs that ship, its own layer, and what a change would make of its fleet. */
import * as z from 'zod'
import { daysBetween } from '../../shared-domain/calendar.ts'
import { type EmployerPolicy, employerPolicy, rulePacks } from '../../shared-domain/policy/policy.ts'
import { rulesFrom } from '../../shared-domain/policy/rules.ts'
import { changes, effectOf, tallyOf } from '../../shared-domain/state/policy-change.ts'
import { notFound } from '../ground/errors.ts'
import { everybody, managers } from '../questions/identity.ts'
import { readRoster } from '../questions/roster.ts'
import { employerPolicyId } from '../store/organisation.ts'
import { list, previewAnswer, registerAnswer } from './answer-schemas.ts'
import { putEdition, shown } from './registers.ts'
import { type Request, type Route, route } from './request.ts'
import { cursorOf, nextCursor, rosterCursor } from './roster.ts'

const mostAtOnce = 500

export const policyRoutes: Route[] = [
  route({
    method: 'GET',
    path: '/v1/policies',
    summary: 'The rule packs that ship, and the layer of the organisation',
    allowed: everybody,
    answer: list(registerAnswer),
    handle: async ({ organisation }) => {
      const heads = await organisation.registers.heads('policy')
      const items = heads.map((head) => ({ ...shown(head.id, head.newest), inWords: rulesFrom(head.newest.body) }))
      return { status: 200, body: { items, next: null, packs: rulePacks } }
    },
  }),
  route({
    method: 'PUT',
    path: '/v1/policies/:id',
    summary: `Add an edition of the organisation's policy; its id is \`${employerPolicyId}\``,
    allowed: managers,
    body: employerPolicy,
    answer: registerAnswer,
    first: checkName,
    handle: async (request) => {
      await checkName(request)
      return putEdition('policy', request)
    },
  }),
  route({
    method: 'POST',
    path: '/v1/policies/:id/preview',
    summary: `What a policy would make due, and when, on its first day; nothing is changed. At most ${mostAtOnce} sticks an answer: go on with \`?cursor=\` and add the counts up`,
    allowed: managers,
    query: z.strictObject({ cursor: rosterCursor.optional() }),
    body: employerPolicy,
    first: checkName,
    answer: previewAnswer,
    handle: preview,
  }),
]

/** There is one. */
async function checkName({ id }: Pick<Request, 'id'>): Promise<void> {
  if (id !== employerPolicyId) throw notFound()
}

async function preview(request: Request<EmployerPolicy>) {
  await checkName(request)
  const { organisation, caller, now, body, query } = request
  const proposed = rulesFrom(body)
  const { rows, more } = await readRoster(organisation, caller, now, {
    after: cursorOf(query.cursor),
    limit: mostAtOnce,
  })
  const effects = await Promise.all(
    rows.map(async ({ stored, today }) => {
      const from = body.effectiveFrom
      const day = from !== undefined && daysBetween(today, from) > 0 ? from : today
      const effect = effectOf(stored.state, day, await organisation.rulesOn(day), proposed)
      return { stickId: stored.stickId, crewId: stored.state.crewId, depotId: stored.depotId, on: day, ...effect }
    }),
  )
  const next = more ? nextCursor(rows) : null
  return { status: 200, body: { ...tallyOf(effects), items: effects.filter(changes), next } }
}
