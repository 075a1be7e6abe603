/** A plan as the API tells of it, what breaks in English. */
import { english } from '../../shared-domain/catalogue/en/language.ts'
import { plan as sentences } from '../../shared-domain/catalogue/en/plan.ts'
import { codeOfBroken, sentenceOfBroken } from '../../shared-domain/plan/told.ts'
import { wordingIn } from '../../shared-domain/wording.ts'
import type { PlanAnswer } from '../questions/plans.ts'

const wording = wordingIn<typeof sentences>(english, 'metric', sentences)

export function planInEnglish({ head, depots }: PlanAnswer) {
  const { id, by, at, state, depotIds, places } = head
  const made = depots.flatMap(({ depotId, plan }) => (plan === undefined ? [] : [{ depotId, plan }]))
  const costs = made.flatMap(({ plan: { value } }) => value ?? [])
  const bounds = made.filter(({ plan }) => plan.value !== null).map(({ plan }) => plan.bound)
  return {
    ...{ id, by, at, state, depotIds },
    progress: depotIds.length === 0 ? 1 : places.length / depotIds.length,
    weeks: made.flatMap(({ depotId, plan }) =>
      plan.weeks.map(({ week, capacityMinutes, sticks }) => ({
        depotId,
        week,
        minutes: sticks.reduce((sum, { minutes }) => sum + minutes, 0),
        capacityMinutes,
        stickIds: sticks.map(({ stickId }) => stickId),
      })),
    ),
    broken: [
      ...made.flatMap(({ depotId, plan }) =>
        plan.broken.map((one) => ({
          code: codeOfBroken(one),
          text: wording.told({ code: codeOfBroken(one), says: sentenceOfBroken(one, depotId) }),
          depotId,
          ...('stickIds' in one ? { stickIds: one.stickIds } : {}),
          ...('week' in one ? { week: one.week, minutes: one.minutes } : {}),
        })),
      ),
      ...depots
        .filter(({ plan }) => plan === undefined)
        .map(({ depotId }) => ({
          code: 'plan-written-over',
          text: wording.say('plan written over', { depot: depotId }),
          depotId,
        })),
    ],
    value: costs.length === 0 ? null : costs.reduce((sum, one) => sum + one, 0),
    bound:
      bounds.length === 0 || bounds.includes(null) ? null : bounds.reduce<number>((sum, one) => sum + (one ?? 0), 0),
  }
}
