/**
 * Sticks that passed, and whose last readings are over what a procedure asks by now: what a stricter edition means for
 * the fleet.
 */
import { judgeByEditions } from '../../shared-domain/bench-test/editions.ts'
import type { Judgement } from '../../shared-domain/bench-test/judge.ts'
import { localDateAt } from '../../shared-domain/calendar.ts'
import type { Procedure } from '../../shared-domain/registers.ts'
import { may } from '../../shared-domain/rights.ts'
import type { StoredStick, Tested } from '../store/sticks.ts'
import type { Asker } from './asker.ts'
import { pinnedEditions } from './pinned.ts'

export interface OverLimit {
  readonly stickId: string
  readonly factId: string
  readonly testedOn: string
  /** the worst place, by the procedure as it is asked about */
  readonly worst: Judgement['worst']
}

export interface OverLimits {
  readonly items: readonly OverLimit[]
  /** the stick to go on after; null when there is no more */
  readonly next: string | null
}

/** A test that passed, with the verdict that it would have by the procedure as it is asked about. */
interface JudgedSo extends Pick<OverLimit, 'stickId' | 'factId' | 'testedOn'> {
  readonly judgement: Judgement
}

interface Of {
  readonly id: string
  /** the procedure as it is asked about, stored or not */
  readonly body: Procedure
  readonly after?: string
}

const overLimit: ReadonlySet<string> = new Set(['reading-over-limit', 'reading-in-guard-band'])

export async function overLimitsFor(asker: Asker, of: Of): Promise<OverLimits> {
  const { judged, next } = await newestPassesFor(asker, of)
  const over = judged.filter(({ judgement: { reasons } }) => reasons.some(({ code }) => overLimit.has(code)))
  return { items: over.map(({ judgement: { worst }, ...one }) => ({ ...one, worst })), next }
}

export interface NoLongerPassing {
  /** tests that passed and were looked at */
  readonly tests: number
  /** those of them that would not pass any more, for whatever reason */
  readonly items: readonly JudgedSo[]
  readonly next: string | null
}

/** The last tests that would no longer pass by a procedure as it is proposed. What was judged stays. */
export async function noLongerPassingFor(asker: Asker, of: Of): Promise<NoLongerPassing> {
  const { judged, next } = await newestPassesFor(asker, of)
  return { tests: judged.length, items: judged.filter(({ judgement }) => judgement.verdict !== 'pass'), next }
}

/** The most sticks that one answer looks at, in the order of their numbers. */
const mostLookedAt = 200

async function newestPassesFor(asker: Asker, { id, body, after = '' }: Of) {
  const { sticks, registers } = asker.organisation
  const instruments = await registers.allInForce('instrument', localDateAt(asker.now, 'UTC'))
  const newest = await sticks.newestTests(instruments.map((one) => one.id))
  const all = [...newest.keys()].filter((stickId) => stickId > after).sort()
  const ids = all.slice(0, mostLookedAt)
  const stored = new Map((await sticks.fresh(ids)).map((one) => [one.stickId, one]))
  const found = await Promise.all(
    ids.map(async (stickId) => {
      const stick = stored.get(stickId)
      const fact = await sticks.fact(stickId, newest.get(stickId) ?? 0)
      return stick === undefined || fact?.kind !== 'tested' || !maySee(asker, stick)
        ? []
        : judgedSo(asker, stick, { fact, id, body })
    }),
  )
  return { judged: found.flat(), next: all.length > ids.length ? (ids.at(-1) ?? null) : null }
}

function maySee({ caller }: Asker, { state: { crewId }, depotId }: StoredStick): boolean {
  return may(caller, 'read a stick', { crewId, depotId })
}

interface Asked {
  readonly fact: Tested
  readonly id: string
  readonly body: Procedure
}

/**
 * Judges a test by the procedure as it is asked about; the other editions stay those of the test's day. A test that
 * failed is passed over, for its stick is held for that.
 */
async function judgedSo(
  { organisation }: Asker,
  { stickId }: StoredStick,
  { fact, id, body }: Asked,
): Promise<JudgedSo[]> {
  const { test, factId, judgement } = fact
  if (test.procedureId !== id || judgement.verdict !== 'pass') return []
  const editions = await pinnedEditions(organisation, (seq) => organisation.sticks.entry(stickId, seq), fact)
  if (editions === undefined) return []
  return [
    { stickId, factId, testedOn: test.testedOn, judgement: judgeByEditions(test, { ...editions, procedure: body }) },
  ]
}
