/** A person's sign-in, as those who may enter people see to it. */
import * as z from 'zod'
import { factId } from '../../shared-domain/identifiers.ts'
import { line } from '../../shared-domain/text.ts'
import type { SignInActKind } from '../store/sign-in-acts.ts'
import { type Request, type Route, route } from './request.ts'

const acting = z.lazy(() => z.strictObject({ factId, reason: line(400) }))

const acts = [
  {
    act: 'set free',
    path: 'free',
    summary: 'Bind this person to a new sign-in: sessions and tokens end, and the next sign-in by their address counts',
  },
  { act: 'signed out', path: 'sign-out', summary: 'End every session and token of this person from before now' },
] as const satisfies readonly { act: SignInActKind; path: string; summary: string }[]

export const personSignInRoutes: Route[] = [
  route({
    method: 'GET',
    path: '/v1/people/:id/sign-in',
    summary: 'Whether this person is bound to a sign-in, since when sessions count, and what others did to it',
    action: 'read people',
    answer: 'sign-in',
    handle: async (request) => ({ status: 200, body: await shown(request) }),
  }),
  ...acts.map(({ act, path, summary }) =>
    route({
      method: 'POST',
      path: `/v1/people/:id/sign-in/${path}`,
      summary,
      action: 'enter a person',
      body: acting,
      first: async (request) => (await recordingOfActs()).checkMayActOn({ ...request, act }),
      answer: 'sign-in',
      handle: async (request) => {
        const isNew = await (await recordingOfActs()).actOn({ ...request, act })
        return { status: isNew ? 201 : 200, body: await shown(request) }
      },
    }),
  ),
]

/** Few see to others' sign-ins: what does is loaded with the first. */
const recordingOfActs = () => import('../recording/sign-in-acts.ts')

async function shown(request: Request<unknown>) {
  const { signInFor } = await import('../questions/person-sign-in.ts')
  const { signIn, acts: done } = await signInFor(request, request.id)
  return {
    personId: request.id,
    isBound: signIn?.subject !== undefined,
    boundAt: signIn?.boundAt ?? null,
    sessionsSince: signIn?.sessionsSince ?? null,
    acts: done.map(({ factId: id, act, reason, by, at }) => ({ factId: id, act, reason, by, at })),
  }
}
