/**
 * A recall is opened, and closed. It binds with the transaction that opens it; to close it changes no stick, so that
 * nothing comes back into service by it.
 */
import { localDateAt } from '../../shared-domain/calendar.ts'
import type { Fault } from '../../shared-domain/fault.ts'
import type { ClosingBody, RecallBody } from '../../shared-domain/recall-body.ts'
import type { Objection } from '../../shared-domain/state/refusal.ts'
import { invalid, notFound, Refused, refused } from '../ground/errors.ts'
import { bindingOf, type StickOfRecall, sticksOfRecall } from '../questions/recalls.ts'
import { checkRole } from '../questions/rights.ts'
import type { Organisation } from '../store/organisation.ts'
import { type Closing, closedWrite, type KeptRecall, openedWrites, recallOf } from '../store/recalls.ts'
import { recallsBinding } from '../store/recalls-binding.ts'
import { bodyHash } from '../store/sticks.ts'
import type { Actor, Sending } from './actor.ts'
import { alreadyUsed, orWhatStands } from './already.ts'

export interface RecallOpened {
  readonly recall: KeptRecall
  readonly news: boolean
}

const mostTries = 10

/** Opens the recall, once for each id. */
export async function openRecall(by: Sending<RecallBody>): Promise<RecallOpened> {
  checkRole(by.caller, 'open a recall')
  const hash = bodyHash('recall', '', by.body)
  return orWhatStands(
    () => whatStands(by, by.body.factId, hash),
    () => openNow(by, hash),
  )
}

async function whatStands({ organisation }: Actor, factId: string, hash: string): Promise<RecallOpened | undefined> {
  const guard = await organisation.sticks.guard(factId)
  if (guard === undefined) return undefined
  const recall = guard.bodyHash === hash ? await recallOf(organisation, factId) : undefined
  if (recall === undefined) throw alreadyUsed(factId)
  return { recall, news: false }
}

async function openNow({ organisation, caller, now, body }: Sending<RecallBody>, hash: string): Promise<RecallOpened> {
  const faults = await faultsOfCause({ organisation, caller, now }, body)
  if (faults.length > 0) throw invalid(...faults)
  const { factId: id, cause, reason } = body
  const recall: KeptRecall = { organisation: organisation.name, id, cause, reason, by: caller.personId, at: now }
  for (let tries = 0; tries < mostTries; tries++) {
    const writes = openedWrites(organisation, recall, await recallsBinding(organisation))
    if (writes === null) throw refused({ code: 'no-room-for-recall', refuses: { is: 'refused: no room for recall' } })
    const waiting = organisation.sticks.waitingWrite(id, hash)
    const { done, ...lost } = await organisation.table.transact([waiting, ...writes])
    if (done) return { recall, news: true }
    // the id was taken meanwhile: whoever asks is answered by what stands
    if ('failed' in lost && lost.failed.includes(0)) break
  }
  throw new Refused({ kind: 'try again' })
}

/** What the body names and nobody entered; a finding of a day that has come nowhere yet. */
export async function faultsOfCause({ organisation, now }: Actor, { cause }: Pick<RecallBody, 'cause'>) {
  if ('instrumentId' in cause) return faultsOfInstrument({ organisation, now }, cause)
  if ('lot' in cause) return []
  const known = new Set((await organisation.sticks.known(cause.stickIds)).map(({ stickId }) => stickId))
  return cause.stickIds.flatMap((came, i): Fault[] =>
    known.has(came)
      ? []
      : [{ pointer: `/cause/stickIds/${i}`, came, expected: { is: 'right: stick on the register' } }],
  )
}

async function faultsOfInstrument(
  { organisation, now }: Pick<Actor, 'organisation' | 'now'>,
  { instrumentId, foundOutOn }: Extract<RecallBody['cause'], { readonly instrumentId: string }>,
): Promise<Fault[]> {
  const last = await furthestDay(organisation, now)
  const isKnown = await organisation.registers.has('instrument', instrumentId)
  return [
    ...(isKnown
      ? []
      : [
          {
            pointer: '/cause/instrumentId',
            came: instrumentId,
            expected: { is: 'right: instrument on the register' } as const,
          },
        ]),
    ...(foundOutOn <= last
      ? []
      : [{ pointer: '/cause/foundOutOn', came: foundOutOn, expected: { is: 'right: not after', last } as const }]),
  ]
}

/** An instrument belongs to no depot: a day has come once it has come at any of them. */
async function furthestDay({ registers }: Organisation, now: Actor['now']) {
  const zones = (await registers.depotsNow(now)).map((one) => one.body.timeZone)
  const days = ['UTC', ...zones].map((zone) => localDateAt(now, zone)).sort()
  return days.at(-1) ?? localDateAt(now, 'UTC')
}

export interface RecallClosed {
  readonly recall: KeptRecall
  readonly news: boolean
}

/** Closes the recall, once: every stick of it is cleared, removed, or named as not found. */
export async function closeRecall(by: Sending<ClosingBody>, id: string): Promise<RecallClosed> {
  checkRole(by.caller, 'close a recall')
  const hash = bodyHash('recall closed', id, by.body)
  return orWhatStands(
    () => closedAlready(by, { id, hash }),
    () => closeNow(by, { id, hash }),
  )
}

interface OfRecall {
  readonly id: string
  readonly hash: string
}

async function closedAlready(by: Sending<ClosingBody>, { id, hash }: OfRecall): Promise<RecallClosed | undefined> {
  const guard = await by.organisation.sticks.guard(by.body.factId)
  if (guard === undefined) return undefined
  const recall = guard.bodyHash === hash ? await recallOf(by.organisation, id) : undefined
  if (recall?.closed === undefined) throw alreadyUsed(by.body.factId)
  return { recall, news: false }
}

async function closeNow(by: Sending<ClosingBody>, { id, hash }: OfRecall): Promise<RecallClosed> {
  const { organisation, caller, now, body } = by
  const recall = await recallOf(organisation, id)
  if (recall === undefined) throw notFound({ is: 'none: recall', recall: id })
  if (recall.closed !== undefined) throw refused({ code: 'closed-already', refuses: { is: 'refused: recall closed' } })
  const held = await heldBy(by, recall)
  const reasons = againstClosing(recall, held, body)
  if (reasons.length > 0) throw refused(...reasons)
  const strangers = body.notFound.flatMap((came, i): Fault[] =>
    held.has(came) ? [] : [{ pointer: `/notFound/${i}`, came, expected: { is: 'right: stick held by the recall' } }],
  )
  if (strangers.length > 0) throw invalid(...strangers)
  const { notFound: left, note } = body
  const closed: Closing = { by: caller.personId, at: now, notFound: left, ...(note ? { note } : {}) }
  const writes = [organisation.sticks.waitingWrite(body.factId, hash), closedWrite(organisation, recall, closed)]
  if (!(await organisation.table.transact(writes)).done) throw new Refused({ kind: 'try again' })
  return { recall: { ...recall, closed }, news: true }
}

async function heldBy(by: Actor, recall: KeptRecall): Promise<ReadonlyMap<string, StickOfRecall>> {
  const held = new Map<string, StickOfRecall>()
  for await (const page of sticksOfRecall(by, await by.organisation.asItBinds(bindingOf(recall))))
    for (const one of page) if (one.outcome === 'held') held.set(one.stored.stickId, one)
  return held
}

/** The house's own figure: more numbers in one answer help nobody. */
const mostNamed = 50

function againstClosing(
  { settledThrough }: KeptRecall,
  held: ReadonlyMap<string, StickOfRecall>,
  { notFound: named }: ClosingBody,
): Objection[] {
  const left = [...held.keys()].filter((stickId) => !named.includes(stickId))
  return [
    ...(settledThrough === null
      ? []
      : [{ code: 'recall-under-way', refuses: { is: 'refused: recall under way' } } as const]),
    ...left
      .slice(0, mostNamed)
      .map((stick): Objection => ({ code: 'stick-still-held', refuses: { is: 'refused: stick of recall', stick } })),
    ...(left.length > mostNamed
      ? [
          {
            code: 'more-still-held',
            refuses: { is: 'refused: more of recall', sticks: left.length - mostNamed },
          } as const,
        ]
      : []),
  ]
}
