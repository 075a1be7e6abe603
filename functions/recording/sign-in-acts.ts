/**
 * Somebody who may enter a person ends that person's sign-ins everywhere, or sets them free to sign in by another
 * account.
 */
import type { Instant } from '../../shared-domain/calendar.ts'
import { notAllowed, notFound, Refused } from '../ground/errors.ts'
import { checkMayEdit } from '../questions/edit-rights.ts'
import { actOnSignIn, type SignInActKind, signInAct } from '../store/sign-in-acts.ts'
import type { Actor } from './actor.ts'
import { alreadyUsed } from './already.ts'

export interface ActingOnSignIn extends Actor {
  /** the person's */
  readonly id: string
  readonly act: SignInActKind
  readonly arrivedAt: Instant
  readonly body: { readonly factId: string; readonly reason: string }
}

const mostTries = 5

/** Answers whether it is news: sent again it is done once. */
export async function actOn(acting: ActingOnSignIn): Promise<boolean> {
  const { organisation, caller, now, id, act, arrivedAt, body } = acting
  await checkMayActOn(acting)
  const kept = { factId: body.factId, act, reason: body.reason, by: caller.personId, at: now }
  for (let tries = 0; tries < mostTries; tries++) {
    const known = await signInAct(organisation, id, body.factId)
    if (known !== undefined) {
      if (known.act !== act || known.reason !== body.reason) throw alreadyUsed(body.factId)
      return false
    }
    if ((await actOnSignIn(organisation, { personId: id, act: kept, arrivedAt })).done) return true
  }
  throw new Refused({ kind: 'try again' })
}

/** Nobody sets themselves free: whoever can sign in has no need to, and a stolen session could. */
export async function checkMayActOn(acting: Actor & Pick<ActingOnSignIn, 'id' | 'act'>): Promise<void> {
  const { organisation, caller, now, id, act } = acting
  await checkMayEdit('person', { organisation, caller, now, id, body: {} })
  if (!(await organisation.registers.has('person', id))) throw notFound({ is: 'none: entry', entry: 'person', id })
  if (act === 'set free' && id === caller.personId) throw notAllowed({ is: 'not allowed: own sign-in' })
}
