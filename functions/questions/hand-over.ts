/** The crews to which whoever asks may hand over a stick of their own crew. */
import { localDateAt } from '../../shared-domain/calendar.ts'
import { crewsBeside, crewsToHandTo } from '../../shared-domain/hand-over.ts'
import { may, mayAtAll } from '../../shared-domain/rights.ts'
import type { StickState } from '../../shared-domain/state/state.ts'
import { mayBeUsed } from '../../shared-domain/state/use.ts'
import type { Status } from '../../shared-domain/words.ts'
import { notAllowed } from '../ground/errors.ts'
import type { Asker } from './asker.ts'
import { notYours } from './rights.ts'

interface CrewNamed {
  readonly id: string
  readonly name: string
}

/** From one crew: whoever moves sticks at all may hand over from every crew, one of a crew as its foreman. */
export async function handsOverTo(
  { organisation, caller, now }: Asker,
  from: string | null,
): Promise<readonly CrewNamed[]> {
  if (from === null) return []
  const isMover = mayAtAll(caller.role, 'move a stick')
  const [person, crews] = await Promise.all([
    isMover ? undefined : organisation.registers.inForce('person', caller.personId, localDateAt(now, 'UTC')),
    organisation.crewsNow(now),
  ])
  const beside = isMover ? crewsBeside(from, crews) : person === undefined ? [] : crewsToHandTo(person.body, crews)
  return beside.map(({ id, body: { name } }) => ({ id, name }))
}

/** Answers whether the caller may hand over this very stick to somebody. */
export async function mayHandOver(
  asker: Asker,
  { state, status }: { readonly state: StickState; readonly status: Status },
): Promise<boolean> {
  const isOurs = state.crewId !== null && state.crewId === asker.caller.crewId
  return isOurs && mayBeUsed(status) && isInHands(state) && (await handsOverTo(asker, state.crewId)).length > 0
}

/** What is lent out, or lies at a bench or in a store, is in nobody's hands to be handed over. */
const isInHands = ({ custody, missing }: Pick<StickState, 'custody' | 'missing'>) =>
  !missing && (custody === null || 'crewId' in custody)

/** @throws Refused where a person of a crew may not hand the stick over to that crew */
export async function checkHandOver(
  asker: Asker,
  { state, to }: { readonly state: StickState; readonly to: string },
): Promise<void> {
  const { crewId } = state
  if (!may(asker.caller, 'hand over a stick', { crewId, depotId: null })) throw notYours('stick')
  const isForIt = isInHands(state) && (await handsOverTo(asker, crewId)).some(({ id }) => id === to)
  if (!isForIt) throw notAllowed({ is: 'not allowed: move by a crew' })
}
