/** Edits that loosen, as they wait in the table for a second person, and afterwards. */
import type { CalendarDate, Instant } from '../../shared-domain/calendar.ts'
import type { EditionCorrection } from '../../shared-domain/fact-bodies.ts'
import type { FleetEffect } from '../../shared-domain/loosening/effect.ts'
import type { ProposalState } from '../../shared-domain/loosening/proposal.ts'
import type { Way } from '../../shared-domain/loosening/way.ts'
import { changeIf, is } from './change.ts'
import type { RegisterKind } from './keys.ts'
import type { Organisation } from './organisation.ts'
import { readEach, readerOf } from './reading.ts'
import type { Write } from './table.ts'

export interface Decided {
  readonly by: string
  readonly at: Instant
  /** the reason why the proposal was declined */
  readonly reason?: string
}

export interface Proposal {
  readonly id: string
  readonly kind: RegisterKind | 'stick' | 'correction' | 'tests before'
  /** the entry; of a correction, the stick whose fact was a slip; of tests from before, the first of their sticks */
  readonly entryId: string
  readonly body: object
  /** the day as it was asked for; null stands for the day of the approval */
  readonly effectiveFrom: CalendarDate | null
  readonly ways: readonly Way[]
  /** the effect on the fleet, where the proposal bears on sticks */
  readonly fleet: FleetEffect | null
  readonly by: string
  readonly at: Instant
  /** the number of editions that the entry had then: with one more the proposal is about something else, and falls */
  readonly editions: number
  /** the correction, where the body stands in place of an edition that was a slip */
  readonly corrects?: EditionCorrection
  readonly state: Exclude<ProposalState, 'fallen'>
  readonly decided: Decided | null
}

const asProposal = readerOf<Proposal>('proposal', {
  id: 'text',
  kind: 'text',
  entryId: 'text',
  body: 'map',
  effectiveFrom: ['text', 'null'],
  ways: 'list',
  fleet: ['map', 'null'],
  by: 'text',
  at: 'text',
  editions: 'number',
  corrects: ['map', 'absent'],
  state: 'text',
  decided: ['map', 'null'],
})

/** Proposals, in no order. */
export async function proposals({ table, keys }: Organisation): Promise<Proposal[]> {
  return readEach(await table.all({ partition: ['pk', keys.proposals()], consistent: true }), asProposal)
}

export async function proposal({ table, keys }: Organisation, id: string): Promise<Proposal | undefined> {
  const item = await table.get(keys.proposal(id))
  return item === undefined ? undefined : asProposal(item)
}

export function proposedWrite({ table, keys }: Organisation, proposed: Proposal): Write {
  return table.putNew({ ...keys.proposal(proposed.id), entity: 'proposal', ...proposed })
}

/** The decision, once: the write fails where somebody else decided. */
export function decidedWrite(
  { table, keys }: Organisation,
  id: string,
  to: { readonly state: 'approved' | 'declined'; readonly decided: Decided },
): Write {
  return table.change(keys.proposal(id), changeIf({ set: { ...to } }, is('state', 'open')))
}
