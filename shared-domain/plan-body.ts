/** The settings of a bench as its manager enters them, and a plan as somebody asks for it. */
import * as z from 'zod'
import { monday } from './date-fields.ts'
import { registerId } from './identifiers.ts'
import { usualWork } from './plan/settings.ts'
import { noughtOrMore, percent } from './quantity-fields.ts'
import { constructions } from './words.ts'

/** Seven days of a hundred hours: more than any bench has. */
const mostWeekMinutes = 42_000
const minutesOfWeek = () => z.int().min(0).max(mostWeekMinutes)
const weeks = (most: number) => z.int().min(0).max(most)
const mostRows = 104

const work = () =>
  z.strictObject({
    setUpMinutes: noughtOrMore(600).default(usualWork.setUpMinutes),
    readingMinutes: noughtOrMore(60).default(usualWork.readingMinutes),
    wettingMinutes: noughtOrMore(600).default(usualWork.wettingMinutes),
    refinishingMinutes: noughtOrMore(600).default(usualWork.refinishingMinutes),
    failingShare: noughtOrMore(1).default(usualWork.failingShare),
  })

export const planSettingsBody = z.lazy(() =>
  z.strictObject({
    weekMinutes: minutesOfWeek(),
    weeks: z
      .array(z.strictObject({ week: monday, minutes: minutesOfWeek() }))
      .max(mostRows)
      .default([]),
    work: work().default(usualWork),
    weeksAway: z.int().min(1).max(26).default(1),
    marginWeeks: weeks(26).default(2),
    mostWeeksEarly: weeks(52).default(12),
    keepPercent: percent().default(50),
    cover: z
      .array(
        z.strictObject({
          crewId: registerId,
          constructions: z.array(z.enum(constructions)).min(1).max(constructions.length),
          least: z.int().min(0).max(1000),
          loaners: z.int().min(0).max(1000).default(0),
        }),
      )
      .max(400)
      .default([]),
    pins: z
      .array(z.strictObject({ stickId: registerId, week: monday }))
      .max(1000)
      .default([]),
    lockedWeeks: z.array(monday).max(mostRows).default([]),
  }),
)
export type PlanSettingsBody = z.output<typeof planSettingsBody>

export const planBody = z.lazy(() => z.strictObject({ depotId: registerId.optional() }))
export type PlanBody = z.output<typeof planBody>
