/**
 * An edition of an entry by which tests are judged was a slip. Another edition stands in its place, and every test that
 * the entry judged is judged anew. A correction that loosens, or makes any test milder, waits for a second person.
 */
import { randomUUID } from 'node:crypto'
import type { EditionCorrection as Body } from '../../shared-domain/fact-bodies.ts'
import { inForce, notTakenBack } from '../../shared-domain/in-force.ts'
import { type FleetEffect, isMilder } from '../../shared-domain/loosening/effect.ts'
import type { Way } from '../../shared-domain/loosening/way.ts'
import { replay } from '../../shared-domain/state/fold.ts'
import { invalid, notFound, Refused, refused } from '../ground/errors.ts'
import { fieldsOf } from '../ground/fields.ts'
import { checkMayEdit } from '../questions/edit-rights.ts'
import { isPinned, testsJudgedBy } from '../questions/judged-by.ts'
import { checkRole } from '../questions/rights.ts'
import { editionCorrectedWrite, editionCorrection, type KeptEditionCorrection } from '../store/edition-corrections.ts'
import type { Organisation } from '../store/organisation.ts'
import type { Bodies, Edition } from '../store/registers.ts'
import { bodyHash } from '../store/sticks.ts'
import type { Write } from '../store/table.ts'
import type { Actor, Sending } from './actor.ts'
import { alreadyUsed, orWhatStands } from './already.ts'
import { type AddedAsWeighed, addAsWeighed } from './editions.ts'
import { isOtherwise, judgedAnew } from './judging.ts'
import { editionSlipLoosenedBy } from './loosened-by.ts'
import { type Proposed, propose, proposedAlready } from './proposals.ts'
import { isReferring, referenceFaults } from './references.ts'
import { checkEntryFits } from './room.ts'

type Kind = Body['corrects']['register']

export type EditionCorrected =
  | { readonly outcome: 'recorded'; readonly correction: KeptEditionCorrection; readonly news: boolean }
  | ({ readonly outcome: 'proposed' } & Proposed)

/** `replacement` was read by the schema of its register. */
export async function correctEdition(by: Sending<Body>): Promise<EditionCorrected> {
  const hash = bodyHash('corrected', '', by.body)
  return orWhatStands(
    () => whatStands(by, hash),
    () => correctNow(by, hash),
  )
}

async function whatStands(by: Sending<Body>, hash: string): Promise<EditionCorrected | undefined> {
  const { organisation, body } = by
  const known = await organisation.sticks.guard(body.factId)
  if (known === undefined) return undefined
  if (known.bodyHash !== hash) throw alreadyUsed(body.factId)
  const done = await editionCorrection(organisation, body.factId)
  if (done !== undefined) return { outcome: 'recorded', correction: done, news: false }
  return { outcome: 'proposed', ...(await proposedAlready(by, body.factId)) }
}

async function correctNow(by: Sending<Body>, hash: string): Promise<EditionCorrected> {
  const { organisation, body } = by
  const waiting = organisation.sticks.waitingWrite(body.factId, hash)
  const found = await slipAndInstead(by, body)
  const { slip, instead, editions } = found
  const touched = await touchedBy(by, body.corrects, found)
  const ways = [...(await editionSlipLoosenedBy(by, found)), ...milderWays(touched)]
  if (ways.length > 0) {
    const { register: kind, id } = body.corrects
    const proposing = { kind, id, body: instead.body, ways, editions, proposalId: body.factId, fleet: touched }
    return { outcome: 'proposed', ...(await propose(by, { ...proposing, corrects: body, also: [waiting] })) }
  }
  const { correction, added } = await addInstead(by, body, { slip, instead, editions, also: [waiting] })
  if (added !== 'added') throw new Refused({ kind: 'try again' })
  return { outcome: 'recorded', correction, news: true }
}

/**
 * Corrects the edition as a second person approved; `also` is written with it. `fallen` where the entry has another
 * edition by now.
 */
export async function correctEditionApproved(
  by: Actor,
  body: Body,
  {
    proposer,
    editions,
    also,
  }: { readonly proposer: string; readonly editions: number; readonly also: readonly Write[] },
): Promise<AddedAsWeighed> {
  const { slip, instead } = await slipAndInstead(by, body)
  return (await addInstead(by, body, { slip, instead, editions, also, proposer })).added
}

interface SlipAndInstead {
  readonly kind: Kind
  readonly id: string
  readonly slip: Edition<Bodies[Kind]>
  readonly instead: { readonly effectiveFrom: Edition<unknown>['effectiveFrom']; readonly body: Bodies[Kind] }
  /** editions that stand, the slip among them */
  readonly before: readonly Edition<Bodies[Kind]>[]
  /** the number of editions that the entry has, slips too */
  readonly editions: number
}

async function slipAndInstead(by: Actor, { corrects, replacement }: Body): Promise<SlipAndInstead> {
  const { register: kind, id, edition } = corrects
  const { organisation } = by
  checkRole(by.caller, 'correct a fact')
  const all = await organisation.registers.editions(kind, id)
  const slip = all.find((one) => one.edition === edition)
  if (slip === undefined) throw notFound({ is: 'none: edition', edition, entry: kind, id })
  const before = notTakenBack(all)
  if (!before.includes(slip))
    throw refused({ code: 'no-longer-stands', refuses: { is: 'refused: edition taken back' } })
  const others = before.filter((one) => one !== slip)
  const stood = inForce(others, slip.effectiveFrom)
  const given = replacement === null ? stood?.body : (bodyOf(replacement) as Bodies[Kind]) // read by its schema
  if (given === undefined) throw refused({ code: 'only-edition', refuses: { is: 'refused: only edition' } })
  await checkMayEdit(kind, { ...by, id, body: given })
  const unknown = isReferring(kind) ? await referenceFaults(organisation, kind, given) : []
  if (unknown.length > 0) throw invalid(...unknown.map((one) => ({ ...one, pointer: `/replacement${one.pointer}` })))
  const instead = { effectiveFrom: given.effectiveFrom ?? slip.effectiveFrom, body: given }
  checkEntryFits(instead)
  return { kind, id, slip, instead, before, editions: await organisation.registers.countOf(kind, id) }
}

/** An entry has no id of the caller's making. */
function bodyOf(replacement: unknown): object {
  const { factId: _, ...body } = fieldsOf(replacement)
  return body
}

interface Adding extends Pick<SlipAndInstead, 'slip' | 'instead' | 'editions'> {
  readonly also: readonly Write[]
  /** the proposer, where whoever adds the edition now approves it */
  readonly proposer?: string
}

async function addInstead(by: Actor, body: Body, { slip, instead, editions, also, proposer }: Adding) {
  const { organisation, caller, now } = by
  const { register: kind, id } = body.corrects
  const who =
    proposer === undefined ? { recordedBy: caller.personId } : { recordedBy: proposer, approvedBy: caller.personId }
  const correction: KeptEditionCorrection = {
    organisation: organisation.name,
    factId: body.factId,
    secret: randomUUID(),
    corrects: body.corrects,
    reason: body.reason,
    by: who.recordedBy,
    ...(who.approvedBy === undefined ? {} : { approvedBy: who.approvedBy }),
    at: now,
  }
  const edition = {
    ...instead,
    ...who,
    recordedAt: now,
    takesBack: slip.edition,
    correction: body.factId,
    onlyWith: editions,
    also: [editionCorrectedWrite(organisation, correction), ...also],
  }
  return { correction, added: await addAsWeighed(by, { kind, id, edition }) }
}

type Touched = Extract<FleetEffect, { readonly of: 'tests' }>

/** Tests are large: only so many sticks are looked at as show what is asked for. */
const mostSticks = 500

/** Counts the sticks whose tests the slip judged, and those on which a verdict would be milder. */
async function touchedBy(by: Actor, corrects: Body['corrects'], found: SlipAndInstead): Promise<Touched> {
  const organisation = asIfCorrected(by.organisation, found)
  let [sticks, milder, isWhole] = [0, 0, true]
  for await (const { stickId, facts, tests } of testsJudgedBy(by.organisation, corrects, by.now)) {
    if (sticks === mostSticks) {
      isWhole = false
      break
    }
    const state = replay(facts, stickId)
    const again = await Promise.all(tests.map(({ test }) => judgedAnew(organisation, test, { stickId, state })))
    if (!tests.some((test, i) => isPinned(corrects, test) || isOtherwise(again[i], test))) continue
    sticks += 1
    if (again.some(({ judgement }, i) => isMilder(judgement, tests[i]?.judgement ?? judgement))) milder += 1
  }
  return { of: 'tests', sticks, milder, isWhole }
}

function milderWays({ milder, isWhole }: Touched): Way[] {
  if (milder === 0 && isWhole) return []
  const says =
    milder === 0
      ? { is: 'too many to say' as const, sticks: mostSticks }
      : { is: 'judged milder on sticks' as const, sticks: milder }
  return [{ code: 'judged-milder', says }]
}

/** The registers as they would be with the slip corrected. */
function asIfCorrected(organisation: Organisation, { kind, id, slip, instead, before }: SlipAndInstead): Organisation {
  const others = before.filter((one) => one !== slip)
  const added = { ...slip, ...instead, edition: `${instead.effectiveFrom}#9999`, number: 9999 }
  const all = [...others, added].sort((a, b) => (a.edition < b.edition ? -1 : 1))
  const { registers } = organisation
  const isIt = (of: string, which: string) => of === kind && which === id
  const supposed = {
    ...registers,
    editions: async (of: Kind, which: string) => (isIt(of, which) ? all : registers.editions(of, which)),
    inForce: async (of: Kind, which: string, day: Edition<unknown>['effectiveFrom']) =>
      isIt(of, which) ? inForce(all, day) : registers.inForce(of, which, day),
    inForceFrom: async (of: Kind, which: string, day: Edition<unknown>['effectiveFrom']) => {
      if (!isIt(of, which)) return registers.inForceFrom(of, which, day)
      const present = inForce(all, day)
      return present === undefined ? [] : all.filter(({ edition }) => edition >= present.edition)
    },
    allInForce: async (of: Kind, day: Edition<unknown>['effectiveFrom']) => {
      const entries = await registers.allInForce(of, day)
      return entries.map((entry) => (isIt(of, entry.id) ? { ...entry, ...inForce(all, day) } : entry))
    },
  }
  const registersThen = supposed as unknown as Organisation['registers'] // only judging asks them, and by these four
  return { ...organisation, registers: registersThen }
}
