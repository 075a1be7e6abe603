/**
 * An entry of a register gets an edition, whoever enters it. An edition that would loosen waits for a second person;
 * all others bind from their day.
 */
import { type CalendarDate, localDateAt } from '../../shared-domain/calendar.ts'
import { invalid, Refused } from '../ground/errors.ts'
import { todayAt } from '../questions/today.ts'
import type { RegisterKind } from '../store/keys.ts'
import type { Bodies, Edition, NewEdition } from '../store/registers.ts'
import type { Write } from '../store/table.ts'
import type { Actor } from './actor.ts'
import { invitationWrites } from './inviting.ts'
import { loosenedBy } from './loosened-by.ts'
import { type Proposed, propose } from './proposals.ts'
import { isReferring, referenceFaults } from './references.ts'
import { checkEntryFits } from './room.ts'

export interface EntryEdit<K extends RegisterKind = RegisterKind> {
  readonly kind: K
  readonly id: string
  readonly body: Bodies[K]
  /** the check of what else has to hold, made anew at every try: it refuses, or answers the writes that keep it so */
  readonly holds?: () => Promise<readonly Write[]>
}

export type Edited<K extends RegisterKind> =
  | { readonly outcome: 'first' | 'added' | 'unchanged'; readonly edition: Edition<Bodies[K]> }
  | ({ readonly outcome: 'proposed' } & Proposed)

const mostTries = 5

export async function edit<K extends RegisterKind>(by: Actor, one: EntryEdit<K>): Promise<Edited<K>> {
  const { organisation } = by
  const { kind, id, body, holds } = one
  const unknown = isReferring(kind) ? await referenceFaults(organisation, kind, body) : []
  if (unknown.length > 0) throw invalid(...unknown)
  const effectiveFrom = body.effectiveFrom ?? (await todayFor(by, one))
  const entry = { body, effectiveFrom, recordedAt: by.now, recordedBy: by.caller.personId }
  checkEntryFits(entry)
  for (let tries = 0; tries < mostTries; tries++) {
    const also = (await holds?.()) ?? []
    const { ways, editions, takesBack } = await loosenedBy(by, { kind, id, body, effectiveFrom })
    if (ways.length > 0) return { outcome: 'proposed', ...(await propose(by, { kind, id, body, ways, editions })) }
    // the kind decides the body's type
    const invited =
      kind === 'person'
        ? await invitationWrites(organisation, { ...entry, body: body as Bodies['person'], id, editions })
        : []
    // an edition joins those it was weighed against: with another in between it is weighed anew
    const added = await organisation.registers.add(kind, id, {
      ...entry,
      ...(takesBack === undefined ? {} : { takesBack }),
      onlyWith: editions,
      also: [...also, ...invited],
    })
    if (added !== 'lost') return added
    organisation.registers.readAnew()
  }
  throw new Refused({ kind: 'try again' })
}

/**
 * Adds an edition that a second person approved; `also` is written with it. `fallen` where the entry has another
 * edition by now.
 */
export async function addApproved<K extends RegisterKind>(
  by: Actor,
  { kind, id, body, proposer, editions, also }: EntryEdit<K> & Approved,
): Promise<AddedAsWeighed> {
  const effectiveFrom = body.effectiveFrom ?? (await todayFor(by, { kind, id, body }))
  const { personId: approvedBy } = by.caller
  const entry = { body, effectiveFrom, recordedAt: by.now, recordedBy: proposer, approvedBy }
  return addAsWeighed(by, { kind, id, edition: { ...entry, onlyWith: editions, also } })
}

interface AsWeighed<K extends RegisterKind> {
  readonly kind: K
  readonly id: string
  readonly edition: NewEdition<K> & { readonly onlyWith: number }
}

/**
 * Adds an edition to those it was weighed against. `fallen` where the entry has another edition by now; `lost` where
 * something else came in between, such as another decision.
 */
export async function addAsWeighed<K extends RegisterKind>(
  { organisation: { registers } }: Actor,
  { kind, id, edition }: AsWeighed<K>,
): Promise<AddedAsWeighed> {
  for (let tries = 0; tries < mostTries; tries++) {
    if ((await registers.add(kind, id, edition)) !== 'lost') return 'added'
    registers.readAnew()
    if ((await registers.countOf(kind, id)) !== edition.onlyWith) return 'fallen'
  }
  return 'lost'
}

export type AddedAsWeighed = 'added' | 'fallen' | 'lost'

interface Approved {
  readonly proposer: string
  /** the number of editions that the entry had when it was proposed */
  readonly editions: number
  readonly also: readonly Write[]
}

/** The day by a depot's own zone where there is one; the register's dates are otherwise those of UTC. */
async function todayFor<K extends RegisterKind>(by: Actor, { kind, body }: EntryEdit<K>): Promise<CalendarDate> {
  if ('timeZone' in body) return localDateAt(by.now, body.timeZone)
  const depotId = kind === 'crew' && 'depotId' in body ? body.depotId : undefined
  return (await todayAt(by, depotId ?? null)).today
}
