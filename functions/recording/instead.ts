/** The slip, and what stands in its place: found, and made into an entry as if it came in at its own door. */
import { randomUUID } from 'node:crypto'
import type * as z from 'zod'
import { canonical } from '../../shared-domain/canonical.ts'
import type { Correction } from '../../shared-domain/fact-bodies.ts'
import {
  type Happening,
  handedIn,
  isOfKnownKind,
  knownSince,
  type RecordedFact,
  seatOf,
} from '../../shared-domain/facts.ts'
import { handsIn } from '../../shared-domain/loosening/proposal.ts'
import { type Stick, stick } from '../../shared-domain/registers.ts'
import { replay } from '../../shared-domain/state/fold.ts'
import { asKnownNow } from '../../shared-domain/state/known-now.ts'
import { inOrder } from '../../shared-domain/state/when.ts'
import { idFrom } from '../ground/derived-id.ts'
import { invalid, notFound, refused } from '../ground/errors.ts'
import { fieldsOf } from '../ground/fields.ts'
import { checkMayStick } from '../questions/rights.ts'
import type { Organisation } from '../store/organisation.ts'
import type { Actor } from './actor.ts'
import type { FactEntry } from './entry.ts'
import { type FactDoorName, factDoors, inAnyOrder } from './fact-kinds.ts'
import { isOtherwise, judgedAnew } from './judging.ts'

export interface FoundSlip {
  readonly slip: RecordedFact
  readonly stickId: string
}

/** A fact of the organisation under this id; what waits itself for somebody is none yet. */
export async function slipOf({ sticks }: Organisation, factId: string): Promise<FoundSlip> {
  const guard = await sticks.guard(factId)
  if (guard === undefined) throw notFound({ is: 'none: fact', fact: factId })
  const { stickId, seq = 0 } = guard
  if (stickId === undefined)
    throw refused({
      code: 'waits-still',
      refuses: { is: 'refused: no fact yet' },
    })
  const slip = await sticks.fact(stickId, seq)
  if (slip === undefined) throw notFound({ is: 'none: fact', fact: factId })
  if (!isOfKnownKind(slip))
    throw refused({
      code: 'is-of-another-version',
      refuses: { is: 'refused: unknown fact' },
    })
  if (slip.kind === 'corrected')
    throw refused({
      code: 'is-a-correction',
      refuses: { is: 'refused: a correction' },
    })
  return { slip, stickId }
}

/** The slip for whoever may correct it, and the schema of what stands in its place. */
export async function slipFor(by: Actor, factId: string) {
  const { slip, stickId } = await slipOf(by.organisation, factId)
  const stored = await by.organisation.sticks.stored(stickId)
  if (stored === undefined) throw notFound({ is: 'none: stick', stick: stickId })
  checkMayStick(by.caller, 'correct a fact', { crewId: stored.state.crewId, depotId: stored.depotId })
  return { slip, schema: schemaInstead(slip) }
}

/**
 * The door through which what stands instead would come in. A verdict is withdrawn, and made anew at its own address.
 */
const doorOf: { readonly [kind in Happening['kind']]: FactDoorName | 'entry' | null } = {
  registered: 'entry',
  tested: 'bench-tests',
  'tested before': 'past-tests',
  'test before counted': null,
  'corrective step': 'corrective-steps',
  used: 'uses',
  'defect reported': 'defects',
  moved: 'moves',
  released: 'releases',
  'certificate received': 'certificates',
  'condition checked': 'condition-checks',
  removed: 'removals',
  'label changed': 'labels',
  'paper looked at': 'paper-looks',
  'records restored': null,
  'judged again': null,
  corrected: null,
}

/** The schema of what stands instead; null where nothing can stand in the slip's place. */
function schemaInstead({ kind }: Happening): z.ZodType | null {
  const door = doorOf[kind]
  if (door === null) return null
  return door === 'entry' ? stick : factDoors[door].body
}

interface Instead extends Pick<FoundSlip, 'slip'> {
  /** the correction, whose replacement was read by `schemaInstead` */
  readonly body: Correction
  readonly isMoved: boolean
}

/** The entry that stands in the slip's place; undefined where the slip is only withdrawn. */
export async function entryInstead(by: Actor, { slip, body, isMoved }: Instead): Promise<FactEntry | undefined> {
  const door = doorOf[slip.kind]
  const stays = handedIn(slip)
  if (isMoved && stays === null)
    throw invalid({ pointer: '/stickId', came: body.stickId, expected: { is: 'right: no stick named' } })
  const id = idFrom(body.factId, slip.factId)
  if (!isMoved && body.stickId !== undefined && (body.replacement ?? null) === null)
    throw invalid({
      pointer: '/stickId',
      came: body.stickId,
      expected: { is: 'right: another stick' },
    })
  const moved = isMoved ? { ...stays, factId: id } : null
  const given = (body.replacement ?? moved) as Record<string, unknown> | null
  if (given === null) return undefined
  const standsFor = {
    factId: slip.factId,
    recordedAt: knownSince(slip),
    ...(isMoved ? {} : { seq: seatOf(slip) }),
    hands: handsIn(slip),
  }
  if (door === null)
    throw invalid({ pointer: '/replacement', came: 'a body', expected: { is: 'right: null for judged again' } })
  if (door === 'entry') return { ...entryOfStick(given, slip, id), standsFor }
  // the door is that of its kind
  return { ...(await factDoors[door].entry({ ...by, body: given as never })), standsFor }
}

/** Answers whether both say the same in everything but the id. */
export function saysTheSame(instead: FactEntry, slip: RecordedFact): boolean {
  const body = slip.kind === 'registered' ? slip.stick : handedIn(slip)
  return contentOf(instead.body) === contentOf(body)
}

function contentOf(body: unknown): string {
  const { factId: _, ...content } = fieldsOf(body)
  return canonical(inAnyOrder(content))
}

/** A stick's entry has the day of the slip, unless it names another. */
function entryOfStick(given: Record<string, unknown>, slip: RecordedFact, id: string): FactEntry {
  const entry = given as unknown as Stick & { readonly factId?: string } // read by the schema of an entry
  const { factId = id, ...body } = entry
  return {
    factId,
    occurredOn: body.effectiveFrom ?? slip.occurredOn,
    dateField: 'effectiveFrom',
    kind: 'registered',
    body,
    happening: async () => ({ kind: 'registered', stick: body }),
  }
}

/** A transaction holds 100 items. */
const mostTests = 25

interface BySlip extends FoundSlip {
  readonly correction: RecordedFact & { kind: 'corrected' }
  /** the stick's facts, with the correction and what stands instead */
  readonly facts: readonly RecordedFact[]
  readonly firstSeq: number
}

/** Every test that was judged by an entry of the stick which was a slip, judged by what stands now. */
export async function judgedBySlip({ organisation }: Actor, { slip, stickId, correction, facts, firstSeq }: BySlip) {
  if (slip.kind !== 'registered') return []
  const state = replay(facts, stickId)
  const known = asKnownNow(facts)
  if (state.registrations.length === 0)
    throw refused({
      code: 'only-entry',
      refuses: { is: 'refused: only entry' },
    })
  const tests = known.filter((fact) => fact.kind === 'tested').filter(({ pinned }) => pinned.stickSeq === slip.seq)
  const { occurredOn, within, clock, recordedAt, recordedBy, reason } = correction
  const { approvedBy } = correction
  const newestPass = inOrder(tests)
    .map(({ fact }) => fact.factId)
    .findLast((id) => tests.some((fact) => fact.factId === id && fact.judgement.verdict === 'pass'))
  const anew = await Promise.all(
    tests.map(async (fact) => ({ fact, is: await judgedAnew(organisation, fact.test, { stickId, state }) })),
  )
  // tests that read the same are left; of the newest pass, which counts, it has to be known by which entry it does
  const other = anew.filter(({ fact, is }) => fact.factId === newestPass || isOtherwise(is, fact))
  if (other.length > mostTests)
    throw refused({
      code: 'too-many-tests',
      refuses: { is: 'refused: too many tests', tests: other.length, most: mostTests },
    })
  const secret = randomUUID()
  return other.map(({ fact, is: { pinned, judgement } }, i) => {
    const factId = idFrom(secret, fact.factId)
    const by = { occurredOn, within, clock, recordedAt, recordedBy, ...(approvedBy && { approvedBy }) }
    return {
      ...by,
      kind: 'judged again' as const,
      factId,
      seq: firstSeq + i,
      judges: fact.factId,
      again: { factId, reason },
      pinned,
      judgement,
      because: correction.factId,
    }
  })
}
