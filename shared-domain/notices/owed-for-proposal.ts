/**
 * An edit that would loosen is told to those who may approve it, then to whoever proposed it. Everybody in charge is
 * told where it leaves a rule behind.
 */

import type { CalendarDate } from '../calendar.ts'
import type { FleetEffect } from '../loosening/effect.ts'
import type { Way } from '../loosening/way.ts'
import { sameMailbox } from '../mailbox.ts'
import type { Person } from '../registers.ts'
import { peopleInCharge } from './audience.ts'
import type { Addressee, OwedNotice, ProposalTold } from './notice.ts'

/** A proposal as it is told of; people by their names. */
interface ProposalToTell {
  readonly id: string
  readonly kind: ProposalTold['kind']
  readonly entryId: string
  readonly ways: readonly Way[]
  readonly fleet: FleetEffect | null
  readonly by: string
  readonly day: CalendarDate
  /** the reason why a correction is asked for */
  readonly because?: string | undefined
}

export function proposalOwed(proposal: ProposalToTell, approvers: readonly Person[]): OwedNotice[] {
  return peopleInCharge(approvers).map((to) => noticeOf(proposal, to, { state: 'open' }))
}

interface Decided extends ProposalToTell {
  readonly state: 'approved' | 'declined'
  readonly decidedBy: string
  readonly reason?: string | undefined
}

export function decisionOwed(
  decided: Decided,
  { proposer, people }: { readonly proposer: Person | undefined; readonly people: readonly Person[] },
): OwedNotice[] {
  const { state, decidedBy, reason } = decided
  const all = state === 'approved' && decided.ways.some(({ code }) => tellAll.has(code))
  const readers = all ? [...people.filter(({ role }) => role === 'manager' || role === 'owner')] : []
  return peopleInCharge([...(proposer === undefined ? [] : [proposer]), ...readers]).map((to) =>
    noticeOf(decided, to, { state, decidedBy, ...(reason === undefined ? {} : { reason }) }),
  )
}

/** The ways that are told to everybody in charge, once they bind: the law or a whole pack is left. */
const tellAll: ReadonlySet<string> = new Set(['pack-dropped', 'pack-left'])

function noticeOf(
  { id, kind, entryId, ways, fleet, by, day, because }: ProposalToTell,
  to: Addressee,
  outcome: Pick<ProposalTold, 'state' | 'decidedBy' | 'reason'>,
): OwedNotice {
  return {
    kind: 'proposal',
    key: ['proposal', id, outcome.state, sameMailbox(to.email)].join('|'),
    to,
    day,
    lines: [],
    proposal: {
      id,
      kind,
      entryId,
      by,
      ways,
      ...(fleet === null ? {} : { fleet }),
      ...(because === undefined ? {} : { because }),
      ...outcome,
    },
  }
}
