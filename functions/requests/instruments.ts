/** What an instrument measured: the checks with a known piece, and the tests that were judged with it. */
import type { ChartsOf, CheckReading } from '../questions/instruments.ts'
import { cursorTo, pageAsked, pageQuery } from './paging.ts'
import { type Request, type Route, route } from './request.ts'

export const instrumentRoutes: Route[] = [
  route({
    method: 'GET',
    path: '/v1/instruments/:id/checks',
    summary:
      'Check readings of this instrument over time, the newest test first, each beside what its procedure asked; the ' +
      'first page has their control charts since the last calibration too',
    action: 'read instruments',
    query: pageQuery,
    answer: 'checks',
    handle: checks,
  }),
  route({
    method: 'GET',
    path: '/v1/instruments/:id/tests',
    summary:
      'Tests judged with this instrument, the newest day first, of sticks that are the caller’s to read; an ' +
      'answer looks at no more than 50 tests',
    action: 'read instruments',
    query: pageQuery,
    answer: 'list of test with instrument',
    handle: tests,
  }),
]

/** What reads an instrument's history, loaded with the first who asks. */
const history = () => import('../questions/instruments.ts')

/** The charts stand on the first page alone: they are of all checks, whatever page is asked for. */
async function checks(request: Request) {
  const { chartsOf, checksWith, isPlaceOfCheck } = await history()
  const asked = { id: request.id, ...pageAsked(request.query, isPlaceOfCheck) }
  const { checks, next } = await checksWith(request, asked)
  const charts = asked.after === '' ? await chartsView(await chartsOf(request, asked.id)) : undefined
  return { status: 200, body: { items: checks.map(checkView), next: cursorTo(next), charts } }
}

async function chartsView({ since, charts, daysWithoutCheck, isAll }: ChartsOf) {
  const { shownWarning, tooFew } = await import('./english-of-charts.ts')
  const series = charts.map(({ piece, readings, chart }) => {
    const { steps = [], warnings = [], ...limits } = chart ?? {}
    return {
      state: piece.state,
      expectedMicroamps: piece.expectedMicroamps,
      tolerancePercent: piece.tolerancePercent,
      readings: readings.map(({ on, microamps }, i) => ({ testedOn: on, microamps, step: steps[i - 1] ?? null })),
      limits: chart === null ? null : limits,
      text: chart === null ? tooFew(readings.length) : null,
      warnings: warnings.map((one) => shownWarning(one, readings)),
    }
  })
  return { since, isAll, daysWithoutCheck, series }
}

function checkView({ check, piece, isRight, of: { stickId, fact, isSeen } }: CheckReading) {
  const { occurredOn: testedOn, at = null, factId, test } = fact
  return {
    testedOn,
    at,
    stickId: isSeen ? stickId : null,
    factId: isSeen ? factId : null,
    ...check,
    procedureId: test.procedureId,
    expected: piece && {
      expectedMicroamps: piece.expectedMicroamps,
      tolerancePercent: piece.tolerancePercent,
      openAtMostMicroamps: piece.openAtMostMicroamps,
    },
    isRight,
  }
}

async function tests(request: Request) {
  const { testsWith, isPlaceOfTest } = await history()
  const { tests, next } = await testsWith(request, { id: request.id, ...pageAsked(request.query, isPlaceOfTest) })
  const items = tests
    .filter(({ isSeen }) => isSeen)
    .map(({ stickId, fact }) => ({
      factId: fact.factId,
      stickId,
      testedOn: fact.occurredOn,
      at: fact.at ?? null,
      verdict: fact.judgement.verdict,
      procedureId: fact.test.procedureId,
    }))
  return { status: 200, body: { items, next: cursorTo(next) } }
}
