/** A fleet's year and its advice as the API answers them, each word in English beside its code. */
import { binomialLimits } from '../../shared-domain/fleet/exact.ts'
import { codeOfAdvice, sentenceOfAdvice, sentenceOfLot, sentenceOfLots } from '../../shared-domain/fleet/told.ts'
import { testsInAll, yearsInStep } from '../../shared-domain/fleet/year.ts'
import { testReasons } from '../../shared-domain/words.ts'
import type { AdviceAnswer, YearAnswer } from '../questions/fleet.ts'
import { saidOfFleet } from './english-of-fleet.ts'

/** Groups that are told one by one, and lots that stand out: the furthest from what is wanted come first. */
const mostGroups = 500
const mostLots = 50

export function adviceView({ groups, lots, tested, lotsWithTooFew, today, ...read }: AdviceAnswer) {
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

export function reportView({ year, period, today, depotIds, isAll, counted, confirmations }: YearAnswer) {
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
