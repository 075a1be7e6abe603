/** What an instrument measured: the checks with a known piece, and the tests that were judged with it. */
import type { CheckReading } from '../questions/instruments.ts'
import { cursorTo, pageAsked, pageQuery } from './paging.ts'
import { type Request, type Route, route } from './request.ts'

export const instrumentRoutes: Route[] = [
  route({
    method: 'GET',
    path: '/v1/instruments/:id/checks',
    summary: 'Check readings of this instrument over time, the newest test first, each beside what its procedure asked',
    action: 'read instruments',
    query: pageQuery,
    answer: 'list of check',
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

async function checks(request: Request) {
  const { checksWith, isPlaceOfCheck } = await history()
  const { checks, next } = await checksWith(request, { id: request.id, ...pageAsked(request.query, isPlaceOfCheck) })
  return { status: 200, body: { items: checks.map(checkView), next: cursorTo(next) } }
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
