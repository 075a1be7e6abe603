/** The door of the main job: a bench test comes in, a verdict with reasons and the stick's standing go out. */
import type { BenchTest } from '../../shared-domain/bench-test/bench-test.ts'
import { testFor } from '../questions/sticks.ts'
import { factDoors } from '../recording/fact-kinds.ts'
import { referencesOf } from '../recording/references.ts'
import { correctionView } from './correction-view.ts'
import { shownReason } from './english.ts'
import { recording } from './recording.ts'
import { type Request, type Route, route } from './request.ts'
import { stickView } from './stick-view.ts'
import { seen } from './sticks.ts'

const benchDoor = factDoors['bench-tests']

export const benchTestRoutes: Route[] = [
  route({
    method: 'POST',
    path: '/v1/sticks/:id/bench-tests',
    summary: benchDoor.summary,
    action: benchDoor.action,
    body: benchDoor.body,
    first: seen,
    references: referencesOf('bench-tests'),
    answer: 'test',
    handle: recordBenchTest,
  }),
  route({
    method: 'GET',
    path: '/v1/sticks/:id/bench-tests/:factId',
    summary: 'A bench test with its readings as strips, what they are likely to mean, and where they tend',
    action: 'read a stick',
    answer: 'told test',
    handle: tellBenchTest,
  }),
]

async function recordBenchTest(request: Request<BenchTest>) {
  const [outcome] = await (await recording()).record(request, request.id, await benchDoor.entry(request))
  if (outcome.fact.kind !== 'tested') throw new Error('a guard of a bench test led to another fact')
  const { verdict, reasons, worst } = outcome.fact.judgement
  const stick = stickView(outcome.stick, outcome.standing, outcome.today)
  return { status: outcome.news ? 201 : 200, body: { verdict, reasons: reasons.map(shownReason), worst, stick } }
}

async function tellBenchTest(request: Request) {
  const { factId } = request
  const { fact, analysis, judgements, corrected } = (await testFor(request, request.id, factId)).test
  const { verdict, reasons, worst } = fact.judgement
  const { occurredOn, at, recordedAt, recordedBy, test } = fact
  const when = { factId, occurredOn, at: at ?? null, recordedAt, recordedBy }
  const correctedBy = corrected === undefined ? null : correctionView(corrected)
  const analysed = { ...analysis, likely: analysis.likely.map(shownReason) }
  const judged = { verdict, reasons: reasons.map(shownReason), worst, judgements }
  return { status: 200, body: { ...when, ...judged, correctedBy, ...analysed, test } }
}
