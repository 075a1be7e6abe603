/** The sticks of a planned week as a file for spreadsheets: what is fetched, from which crew, and by when. */
import { type CalendarDate, mondayOf } from '../../shared-domain/calendar.ts'
import type { Asker } from '../questions/asker.ts'
import { directoryFor } from '../questions/directory.ts'
import { newestPlanFor } from '../questions/plans.ts'
import { todayAt } from '../questions/today.ts'
import { headersOfFile, lineOf } from './roster-file.ts'
import type { PageWording } from './wording.ts'
import { namesIn } from './words.ts'

interface WeekOfPlan {
  readonly depotId: string
  /** any day of the week; the week of today where none is asked for */
  readonly day: CalendarDate | undefined
}

export async function pickList(asker: Asker, { depotId, day }: WeekOfPlan, { say }: PageWording): Promise<Response> {
  const [directory, { plan }, { today }] = await Promise.all([
    directoryFor(asker),
    newestPlanFor(asker, depotId),
    todayAt(asker, depotId),
  ])
  const week = mondayOf(day ?? today)
  const names = namesIn(directory)
  const planned = plan?.weeks.find((one) => one.week === week)?.sticks ?? []
  const stored = await Promise.all(planned.map(({ stickId }) => asker.organisation.sticks.stored(stickId)))
  const lines = planned.map(({ stickId, dueOn, minutes }, i) => {
    const crewId = stored[i]?.state.crewId ?? null
    return lineOf([week, stickId, crewId === null ? null : names.crew(crewId), dueOn, minutes])
  })
  const head = lineOf([
    say('plan file week'),
    say('plan file stick'),
    say('plan file crew'),
    say('plan file due'),
    say('plan file minutes'),
  ])
  return new Response(`\uFEFF${head}${lines.join('')}`, { headers: headersOfFile(`pick-list-${depotId}-${week}.csv`) })
}
