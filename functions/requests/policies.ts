/**
 * The rules an organisation holds itself to: the packs that ship, its own layer, what a change would make of its fleet.
 */
import * as z from 'zod'
import { rulePacks } from '../../shared-domain/policy/packs.ts'
import { type EmployerPolicy, employerPolicy } from '../../shared-domain/policy/policy.ts'
import { rulesFrom } from '../../shared-domain/policy/rules.ts'
import { changes, tallyOf } from '../../shared-domain/state/policy-change.ts'
import { notFound } from '../ground/errors.ts'
import { checkMayEdit } from '../questions/edit-rights.ts'
import { policyEffectFor } from '../questions/policy-effect.ts'
import { entriesFor } from '../questions/registers.ts'
import { isPlaceIn } from '../questions/roster.ts'
import { employerPolicyId } from '../store/organisation.ts'
import { shownStands } from './english.ts'
import { cursorTo, pageAsked, pageFields, pageQuery } from './paging.ts'
import { putEdition } from './put-edition.ts'
import { entryView, isNumber } from './register-view.ts'
import { type Request, type Route, route } from './request.ts'

const mostAtOnce = 500

export const policyRoutes: Route[] = [
  route({
    method: 'GET',
    path: '/v1/policies',
    summary: 'The rule packs that ship, and the layer of the organisation',
    action: 'read policies',
    answer: 'list of register',
    query: pageQuery,
    handle: listed,
  }),
  route({
    method: 'PUT',
    path: '/v1/policies/:id',
    summary: `Add an edition of the organisation's policy; its id is \`${employerPolicyId}\``,
    action: 'enter a policy',
    body: employerPolicy,
    answer: 'register',
    mayLoosen: true,
    first: checkMayPut,
    handle: async (request) => {
      await checkMayPut(request)
      return putEdition('policy', request)
    },
  }),
  route({
    method: 'POST',
    path: '/v1/policies/:id/preview',
    summary:
      `What a policy would make due, and when, on its first day; nothing is changed. At most ${mostAtOnce} sticks ` +
      `an answer: go on with \`?cursor=\` and add the counts up`,
    action: 'try a policy',
    query: z.lazy(() => z.strictObject({ cursor: pageFields().cursor })),
    body: employerPolicy,
    first: checkName,
    answer: 'preview',
    handle: preview,
  }),
]

/** The organisation has one policy, under one name. */
async function checkName({ id }: Pick<Request, 'id'>): Promise<void> {
  if (id !== employerPolicyId) throw notFound({ is: 'none: policy', policy: id, named: employerPolicyId })
}

async function checkMayPut(request: Request): Promise<void> {
  await checkName(request)
  await checkMayEdit('policy', request)
}

async function listed(request: Request) {
  const { entries, next } = await entriesFor(request, { kind: 'policy', ...pageAsked(request.query, isNumber) })
  const shown = entries.map(async (entry) => ({
    ...(await entryView('policy', entry.id, entry)),
    inWords: rulesFrom(entry.body as EmployerPolicy), // the kind decides the body's type
  }))
  const items = await Promise.all(shown)
  return { status: 200, body: { items, next: cursorTo(next), packs: rulePacks } }
}

async function preview(request: Request<EmployerPolicy>) {
  await checkName(request)
  const { after } = pageAsked(request.query, (place) => isPlaceIn(place, {}))
  const { effects, next } = await policyEffectFor(request, request.body, { after, limit: mostAtOnce })
  const items = effects.filter(changes).map((one) => ({
    ...one,
    inForce: shownStands(one.inForce),
    proposed: shownStands(one.proposed),
  }))
  return { status: 200, body: { ...tallyOf(effects), items, next: cursorTo(next) } }
}
