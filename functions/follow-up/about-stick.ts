/** The standing of sticks today at their depot, and the people who are to know of them where somebody else does not. */
import type { CalendarDate } from '../../shared-domain/calendar.ts'
import { sameMailbox } from '../../shared-domain/mailbox.ts'
import { audienceAbove } from '../../shared-domain/notices/audience.ts'
import type { Addressee, StickLine } from '../../shared-domain/notices/notice.ts'
import { stickLine } from '../../shared-domain/notices/stick-line.ts'
import type { Subject } from '../../shared-domain/rights.ts'
import type { StickState } from '../../shared-domain/state/state.ts'
import { mustNotBeUsed } from '../../shared-domain/state/use.ts'
import { type OrganisationNow, standingToday, todayAt } from '../questions/today.ts'
import { marksOf } from '../store/marked-addresses.ts'
import type { StoredStick } from '../store/sticks.ts'

export interface About {
  readonly day: CalendarDate
  readonly depotId: string | null
  readonly audience: readonly Addressee[]
  /** the sticks, as a notice would tell of them now */
  readonly lines: readonly StickLine[]
}

/** The stick with the crew that has it by now, wherever it lies. */
export async function aboutStick(
  when: OrganisationNow,
  line: StickLine,
): Promise<(About & { readonly mustNotBeUsed: boolean }) | null> {
  const stored = await when.organisation.sticks.stored(line.stickId)
  if (stored === undefined) return null
  const about = await aboutThem(when, { crewId: stored.state.crewId, depotId: stored.depotId }, [[line, stored]])
  return { ...about, mustNotBeUsed: about.lines.some(({ status }) => mustNotBeUsed(status)) }
}

/** The sticks with the crews that have them by now: those of one crew at one depot together. */
export async function aboutThose(
  when: OrganisationNow,
  known: readonly (readonly [StickLine, StoredStick])[],
): Promise<readonly About[]> {
  const groups = Map.groupBy(known, ([, { state, depotId }]) => `${state.crewId ?? ''}|${depotId ?? ''}`)
  return Promise.all(
    [...groups.values()].map((some) => {
      const stored = some[0]?.[1]
      return aboutThem(when, { crewId: stored?.state.crewId ?? null, depotId: stored?.depotId ?? null }, some)
    }),
  )
}

/** The sticks with the crew that the notice told of them, whoever has them by now. */
export async function aboutCrew(
  when: OrganisationNow,
  crewId: string | null,
  lines: readonly StickLine[],
): Promise<About | null> {
  const stored = await when.organisation.sticks.fresh(lines.map(({ stickId }) => stickId))
  const known = lines.flatMap((line) => {
    const one = stored.find(({ stickId }) => stickId === line.stickId)
    return one === undefined ? [] : [[line, one] as const]
  })
  if (known.length === 0) return null
  return aboutThem(when, { crewId, depotId: known[0]?.[1].depotId ?? null }, known)
}

async function aboutThem(
  when: OrganisationNow,
  whose: Subject,
  known: readonly (readonly [StickLine, StoredStick])[],
): Promise<About> {
  const { organisation, now } = when
  const { crewId } = whose
  const crew = crewId === null ? undefined : await organisation.crewNow(crewId, now)
  const depotId = whose.depotId ?? crew?.body.depotId ?? null
  const { today: day } = await todayAt(when, depotId)
  const [lines, people, marks] = await Promise.all([
    Promise.all(known.map(([told, stored]) => lineNow(when, told, stored))),
    organisation.peopleNow(now),
    marksOf(organisation),
  ])
  const marked = new Set(marks.map(({ email }) => email))
  const audience = audienceAbove(
    { crew: crew?.body ?? null, people, depotId },
    (email) => !marked.has(sameMailbox(email)),
  )
  return { day, depotId, audience, lines }
}

async function lineNow(when: OrganisationNow, told: StickLine, stored: StoredStick) {
  const { stickId, crewName, bringTo, revision, broughtForwardFrom, about, ...line } = told
  const belonging = { stickId, crewId: line.crewId, crewName, depotName: bringTo }
  const revised = revision === undefined ? belonging : { ...belonging, revision }
  const { standing, today } = await standingToday(when, stored)
  return {
    ...stickLine({ belonging: revised, standing, broughtForwardFrom }, today),
    ...(about === undefined ? {} : { about }),
    ...loanStillOut(told, stored.state),
    ...(told.onlyLabel && standing.label?.isWrong ? { onlyLabel: true as const } : {}),
  }
}

/** Answers what a notice told of a loan, where the stick is not back meanwhile. */
function loanStillOut({ loan, onlyLoan }: StickLine, { custody }: StickState): Pick<StickLine, 'loan' | 'onlyLoan'> {
  const isOut = custody !== null && 'lentTo' in custody && custody.returnBy === loan?.returnBy
  if (loan === undefined || !isOut) return {}
  return onlyLoan === undefined ? { loan } : { loan, onlyLoan }
}

/** People above the crews, wherever they are, for a report on a number that no stick has. */
export async function aboutNobodyKnows(when: OrganisationNow): Promise<About> {
  const { organisation, now } = when
  const { today: day } = await todayAt(when, null)
  const [people, marks] = await Promise.all([organisation.peopleNow(now), marksOf(organisation)])
  const marked = new Set(marks.map(({ email }) => email))
  return {
    day,
    depotId: null,
    lines: [],
    audience: audienceAbove({ crew: null, people, depotId: null }, (email) => !marked.has(sameMailbox(email))),
  }
}
