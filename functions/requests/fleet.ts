/** A year of the fleet, and what its tests teach: for managers of their depots' sticks, for owners of all. */
import * as z from 'zod'
import { expecting } from '../../shared-domain/fault.ts'
import { testReasons } from '../../shared-domain/words.ts'
import type { AdviceAnswer, YearAnswer } from '../questions/fleet.ts'
import { type Request, type Route, route } from './request.ts'

const share = /^0\.\d{1,4}$/

const adviceQuery = z.lazy(() =>
  z.strictObject({
    target: z
      .string()
      .regex(share, expecting({ is: 'right: a share', least: 0.5, most: 0.9999 }))
      .refine((text) => Number(text) >= 0.5, expecting({ is: 'right: a share', least: 0.5, most: 0.9999 }))
      .optional(),
  }),
)

const reportQuery = z.lazy(() =>
  z.strictObject({
    year: z
      .string()
      .regex(/^(19[89]\d|[2-9]\d{3})$/, expecting({ is: 'right: a whole number from', from: 1980, to: 9999 }))
      .optional(),
  }),
)

export const fleetRoutes: Route[] = [
  route({
    method: 'GET',
    path: '/v1/fleet/advice',
    summary:
      'How many sticks reach the end of their interval, by construction, lot, service class and depot, whether the ' +
      'interval fits the target, and lots that fail more often than the rest. Advice: no due date moves by it',
    action: 'read the fleet',
    query: adviceQuery,
    answer: 'fleet advice',
    handle: advice,
  }),
  route({
    method: 'GET',
    path: '/v1/fleet/report',
    summary:
      'A year of the fleet, this one up to today unless another is asked for: sticks, tests and what they came to, ' +
      'causes, ages, days overdue, and how long until holds were confirmed',
    action: 'read the fleet',
    query: reportQuery,
    answer: 'fleet report',
    handle: report,
  }),
]

/** The code that counts a fleet, loaded with the first who asks. */
const counting = () => import('../questions/fleet.ts')

async function advice(request: Request) {
  const { adviceFor, usualTarget } = await counting()
  const { target } = request.query
  return {
    status: 200,
    body: await adviceView(await adviceFor(request, target === undefined ? usualTarget : Number(target))),
  }
}

/** Groups that are told one by one, and lots that stand out: the furthest from what is wanted come first. */
const mostGroups = 500
const mostLots = 50

async function adviceView({ groups, lots, tested, lotsWithTooFew, today, ...read }: AdviceAnswer) {
  const [{ saidOfFleet }, { codeOfAdvice, sentenceOfAdvice, sentenceOfLot, sentenceOfLots }] = await Promise.all([
    import('./english-of-fleet.ts'),
    import('../../shared-domain/fleet/told.ts'),
  ])
  const none = sentenceOfLots(lots)
  return {
    on: today,
    ...read,
    groups: groups.slice(0, mostGroups).map((one) => ({
      by: one.by,
      name: one.name,
      passed: one.found,
      tested: one.of,
      months: one.months,
      limits: one.limits,
      advice: {
        code: codeOfAdvice(one.says),
        text: saidOfFleet(sentenceOfAdvice(one)),
        months: 'months' in one.says ? one.says.months : null,
      },
    })),
    lotsWithTooFew,
    lots: {
      looked: lots.looked,
      failed: tested.found,
      tested: tested.of,
      text: none && saidOfFleet(none),
      standingOut: lots.standingOut.slice(0, mostLots).map((one) => ({
        lot: one.lot,
        failed: one.found,
        tested: one.of,
        restFailed: one.rest.found,
        restTested: one.rest.of,
        chance: one.chance,
        chancePutRight: one.chancePutRight,
        text: saidOfFleet(sentenceOfLot(one, lots.looked)),
      })),
    },
  }
}

async function report(request: Request) {
  const { yearFor } = await counting()
  const { year } = request.query
  return { status: 200, body: await reportView(await yearFor(request, year === undefined ? undefined : Number(year))) }
}

async function reportView({ year, period, today, depotIds, isAll, counted, confirmations }: YearAnswer) {
  const { binomialLimits } = await import('../../shared-domain/fleet/exact.ts')
  const { testsInAll, yearsInStep } = await import('../../shared-domain/fleet/year.ts')
  const { sticks, tests, failures, reports, ages, overdue } = counted
  const all = testsInAll(counted)
  const decided = all.pass + all.fail
  return {
    year,
    from: period.from,
    to: period.to,
    on: today,
    depotIds,
    isAll,
    sticks,
    tests: {
      ...all,
      passRate: decided === 0 ? null : all.pass / decided,
      limits: decided === 0 ? null : binomialLimits({ found: all.pass, of: decided }, 0.95),
      byReason: testReasons.map((reason) => ({ reason, ...tests[reason] })),
    },
    causes: {
      ...failures,
      reports: [...reports].map(([kind, times]) => ({ kind, times })).sort((a, b) => b.times - a.times),
    },
    ages: {
      steps: ages.steps.map((count, i) => ({ fromYears: i * yearsInStep, sticks: count })),
      unknown: ages.unknown,
    },
    overdue,
    confirmations,
  }
}
