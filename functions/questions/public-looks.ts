/**
 * Answers for anybody who holds a printed code: whether the stick may be used today, whether a certificate stands.
 * Nothing of people, and nothing of who has the stick.
 */
import type { CalendarDate, Instant } from '../../shared-domain/calendar.ts'
import { asJudgedNow } from '../../shared-domain/state/judged-again.ts'
import { asKnownNow, correctionsBySlip } from '../../shared-domain/state/known-now.ts'
import type { Standing } from '../../shared-domain/state/standing.ts'
import type { StickState } from '../../shared-domain/state/state.ts'
import { inOrder } from '../../shared-domain/state/when.ts'
import type { Verdict } from '../../shared-domain/words.ts'
import { log } from '../ground/log.ts'
import { type Organisation, openOrganisation } from '../store/organisation.ts'
import { aboutLabel, type PaperCode, paperBehind, paperCodeOf } from '../store/paper-codes.ts'
import type { StoredStick } from '../store/sticks.ts'
import type { Table } from '../store/table.ts'
import { standingToday } from './today.ts'

interface Looked {
  readonly stickId: string
  readonly standing: Standing
  readonly now: Instant
  /** the zone of the stick's depot, by whose clock the day is told */
  readonly zone: string
}

export interface LabelLook extends Looked {
  /** the label was taken off since, or another was printed after that */
  readonly isRevoked: boolean
}

export interface CertificateLook extends Looked {
  readonly factId: string
  readonly testedOn: CalendarDate
  /** the verdict as it is judged by now */
  readonly verdict: Verdict
  /** the verdict at first, where another is known by now */
  readonly verdictAtFirst: Verdict | undefined
  readonly isCorrected: boolean
  readonly hasNewer: boolean
}

interface Asked {
  readonly code: string
  readonly now: Instant
}

/** A label that was taken off, as the stick's records have it, says nothing any more. */
export function endsLabelCode({ label }: Pick<StickState, 'label'>, { labelFactId }: Pick<PaperCode, 'labelFactId'>) {
  return label !== undefined && label.shows === null && label.factId !== labelFactId
}

/** Undefined alike for a code that never was, and for one of another kind of paper. */
export async function labelLook(table: Table, asked: Asked): Promise<LabelLook | undefined> {
  const found = await behind(table, asked)
  if (found === undefined || found.about !== aboutLabel) return undefined
  const { organisation, stored, looked } = found
  const counts = await paperCodeOf(organisation, { stickId: stored.stickId, about: aboutLabel })
  const isRevoked = counts?.code !== asked.code || endsLabelCode(stored.state, counts)
  return { ...looked, isRevoked }
}

export async function certificateLook(table: Table, asked: Asked): Promise<CertificateLook | undefined> {
  const found = await behind(table, asked)
  if (found === undefined || found.about === aboutLabel) return undefined
  const { organisation, stored, looked, about } = found
  const facts = await organisation.sticks.facts(stored.stickId)
  const test = asJudgedNow(facts).find((fact) => fact.kind === 'tested' && fact.factId === about)
  const first = facts.find((fact) => fact.kind === 'tested' && fact.factId === about)
  if (test?.kind !== 'tested' || first?.kind !== 'tested') return undefined
  const newest = inOrder(asKnownNow(facts)).findLast(({ fact }) => fact.kind === 'tested')
  const { verdict } = test.judgement
  return {
    ...looked,
    factId: about,
    testedOn: test.occurredOn,
    verdict,
    verdictAtFirst: first.judgement.verdict === verdict ? undefined : first.judgement.verdict,
    isCorrected: correctionsBySlip(facts).has(about),
    hasNewer: newest !== undefined && newest.fact.factId !== about,
  }
}

interface Behind {
  readonly organisation: Organisation
  readonly stored: StoredStick
  readonly about: string
  readonly looked: Looked
}

async function behind(table: Table, { code, now }: Asked): Promise<Behind | undefined> {
  const pointer = await paperBehind(table, code)
  if (pointer === undefined) {
    log('info', 'a paper was looked up by a code that never was one')
    return undefined
  }
  const organisation = openOrganisation(table, pointer.organisation)
  const stored = await organisation.sticks.stored(pointer.stickId)
  if (stored === undefined) return undefined
  const { standing, zone } = await standingToday({ organisation, now }, stored)
  return { organisation, stored, about: pointer.about, looked: { stickId: stored.stickId, standing, now, zone } }
}
