/** What others did to a person's sign-in, and why: kept for ever beside it. */
import type { Instant } from '../../shared-domain/calendar.ts'
import { askedAgainWrites } from './accounts.ts'
import { changeIf, is, isAbsent } from './change.ts'
import type { OrganisationTable } from './keys.ts'
import { readEach, readerOf } from './reading.ts'
import { signInOf } from './sign-ins.ts'
import type { Transacted } from './table.ts'

export type SignInActKind = 'set free' | 'signed out'

export interface SignInAct {
  readonly factId: string
  readonly act: SignInActKind
  readonly reason: string
  readonly by: string
  readonly at: Instant
}

const asAct = readerOf<SignInAct>('sign-in act', {
  factId: 'text',
  act: new Set(['set free', 'signed out'] as const),
  reason: 'text',
  by: 'text',
  at: 'text',
})

export async function signInAct(
  { table, keys }: OrganisationTable,
  personId: string,
  factId: string,
): Promise<SignInAct | undefined> {
  const item = await table.get(keys.signInAct(personId, factId))
  return item === undefined ? undefined : asAct(item)
}

/** The newest first. */
export async function signInActs({ table, keys }: OrganisationTable, personId: string): Promise<SignInAct[]> {
  const items = await table.all({ partition: ['pk', keys.signInActs(personId)], consistent: true })
  return readEach(items, asAct).sort((a, b) => (a.at > b.at ? -1 : 1))
}

/**
 * Ends every session and token from before `arrivedAt`. Who is set free is bound anew at their next sign-in, and where
 * they never used their first password at our own pool they are sent another.
 */
export async function actOnSignIn(
  place: OrganisationTable,
  { personId, act, arrivedAt }: { readonly personId: string; readonly act: SignInAct; readonly arrivedAt: Instant },
): Promise<Transacted> {
  const { table, keys } = place
  const known = await signInOf(place, personId)
  const since = known?.sessionsSince
  const change = {
    set: { entity: 'sign-in', personId, sessionsSince: since !== undefined && since > arrivedAt ? since : arrivedAt },
    ...(act.act === 'set free' ? { remove: ['subject', 'boundAt'] } : {}),
  }
  const asRead = known?.subject === undefined ? isAbsent('subject') : is('subject', known.subject)
  const asked = act.act === 'set free' ? await askedAgainWrites(place, personId, act.at) : []
  return table.transact([
    table.putNew({ ...keys.signInAct(personId, act.factId), entity: 'sign-in act', ...act }),
    table.change(keys.signIn(personId), changeIf(change, asRead)),
    ...asked,
  ])
}
