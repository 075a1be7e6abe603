/**
 * A bench test is judged again by what is known by now: the readings stand, and the verdict they had stays on record.
 */

import { canonical } from '../../shared-domain/canonical.ts'
import { type JudgedAgain, judgedAgain } from '../../shared-domain/fact-bodies.ts'
import type { Happening } from '../../shared-domain/facts.ts'
import type { Fault } from '../../shared-domain/fault.ts'
import type { KeptStick } from '../../shared-domain/listing.ts'
import { againstJudging, withChecks } from '../../shared-domain/state/judged-again.ts'
import { asKnownNow } from '../../shared-domain/state/known-now.ts'
import type { Objection } from '../../shared-domain/state/refusal.ts'
import { notFound, Refused, refused } from '../ground/errors.ts'
import { todayAt } from '../questions/today.ts'
import type { Organisation } from '../store/organisation.ts'
import type { Tested } from '../store/sticks.ts'
import { shownReason } from './english.ts'
import { recording } from './recording.ts'
import { type Request, type Route, route } from './request.ts'
import { stickView } from './stick-view.ts'
import { seen } from './sticks.ts'

export const judgementRoutes: Route[] = [
  route({
    method: 'POST',
    path: '/v1/sticks/:id/bench-tests/:factId/judgements',
    summary:
      'Judge a bench test again by what is known now: a certificate that came late, an instrument put right, checks ' +
      'of its day and instrument that were not typed in; the old verdict stays on record',
    action: 'judge a test again',
    body: judgedAgain,
    first: seen,
    answer: 'test',
    handle: judgeAgain,
  }),
]

async function judgeAgain(request: Request<JudgedAgain>) {
  const { body, id } = request
  const { today } = await todayAt(request, (await seen(request)).depotId)
  const judges = request.factId.toLowerCase()
  const [outcome] = await (await recording()).record(request, id, {
    factId: body.factId,
    occurredOn: today,
    dateField: 'occurredOn',
    kind: 'judged again',
    body: { judges, again: body },
    happening: (stick) => judgedByNow(request, judges, stick),
  })
  if (outcome.fact.kind !== 'judged again') throw new Error('a guard of a judgement led to another fact')
  const { verdict, reasons, worst } = outcome.fact.judgement
  const stick = stickView(outcome.stick, outcome.standing, outcome.today)
  return { status: outcome.news ? 201 : 200, body: { verdict, reasons: reasons.map(shownReason), worst, stick } }
}

async function judgedByNow(
  { organisation, id, body: again }: Request<JudgedAgain>,
  judges: string,
  stick: Pick<KeptStick, 'stickId' | 'state'>,
): Promise<Happening> {
  const facts = asKnownNow(await organisation.sticks.facts(id))
  const tested = facts.find((fact): fact is Tested => fact.kind === 'tested' && fact.factId === judges)
  if (tested === undefined) throw notFound({ is: 'none: bench test', test: judges, stick: id })
  const known = new Set(tested.test.instrumentChecks.map(canonical))
  const added = (again.instrumentChecks ?? []).filter((one) => !known.has(canonical(one)))
  const { pinned, judgement } = await asItFits(organisation, withChecks(tested.test, again.instrumentChecks), stick)
  const against = againstJudging(tested.judgement, judgement, added.length > 0)
  if (against.length > 0) throw refused(...against)
  return { kind: 'judged again', judges, again, pinned, judgement }
}

/**
 * The stick's entry of that day may have been put right meanwhile. Then places of the test may no longer be on the
 * stick.
 */
async function asItFits(organisation: Organisation, test: Tested['test'], stick: Pick<KeptStick, 'stickId' | 'state'>) {
  try {
    return await (await recording()).judged(organisation, test, stick)
  } catch (error) {
    if (!(error instanceof Refused) || error.refusal.kind !== 'invalid') throw error
    throw refused(...error.refusal.faults.map(misfit))
  }
}

function misfit({ pointer, expected }: Fault): Objection {
  const right = typeof expected === 'string' ? ({ is: 'right: value', value: expected } as const) : expected
  return { code: 'test-does-not-fit', refuses: { is: 'refused: test does not fit', pointer, right } }
}
