/** A stick as the API shows it. */
import type { CalendarDate } from '../../shared-domain/calendar.ts'
import type { Standing } from '../../shared-domain/state/standing.ts'
import { registrationOn, type StickState } from '../../shared-domain/state/state.ts'
import { shownHold, whyInEnglish } from './english.ts'

export function stickView(
  known: { stickId: string; state: StickState; depotId: string | null },
  standing: Standing,
  on: CalendarDate,
) {
  const stick = registrationOn(known.state, on)?.stick
  return {
    stickId: known.stickId,
    status: standing.status,
    why: whyInEnglish(standing),
    dueOn: standing.dueOn,
    daysOverdue: standing.daysOverdue,
    governedBy: standing.governedBy,
    clocks: standing.clocks,
    holds: standing.holds.map(shownHold),
    custody: standing.custody,
    missing: known.state.missing,
    crewId: known.state.crewId,
    depotId: known.depotId,
    testedBefore: standing.testedBefore ?? null,
    label: standing.label === undefined || standing.label.shows === null ? null : standing.label,
    on,
    ...(stick === undefined
      ? {}
      : {
          construction: stick.construction,
          workingLengthMetres: stick.workingLengthMetres,
          diameterMillimetres: stick.diameterMillimetres,
          primaryProtection: stick.primaryProtection,
          lot: stick.lot ?? null,
          lineKilovolts: stick.lineKilovolts ?? null,
          inServiceSince: stick.inServiceSince ?? null,
          sections: stick.sections ?? [],
        }),
  }
}
