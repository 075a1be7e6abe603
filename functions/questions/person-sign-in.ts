/** How a person signs in: whether an account is bound to them, since when sessions count, and what others did to it. */
import { type SignInAct, signInActs } from '../store/sign-in-acts.ts'
import { type SignIn, signInOf } from '../store/sign-ins.ts'
import type { Asker } from './asker.ts'
import { entryFor } from './registers.ts'

export interface PersonSignIn {
  readonly signIn: SignIn | undefined
  /** the newest first */
  readonly acts: readonly SignInAct[]
}

/** @throws Refused where there is no such person, or the caller may read of none */
export async function signInFor(asker: Asker, personId: string): Promise<PersonSignIn> {
  await entryFor(asker, { kind: 'person', id: personId })
  const { organisation } = asker
  const [signIn, acts] = await Promise.all([signInOf(organisation, personId), signInActs(organisation, personId)])
  return { signIn, acts }
}
