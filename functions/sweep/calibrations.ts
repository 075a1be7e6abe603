/** Instruments whose calibration runs out: the bench and the managers hear of it beforehand, each step once. */

import { calibratedThrough } from '../../shared-domain/bench-test/trust.ts'
import { addDays, type CalendarDate, type Instant } from '../../shared-domain/calendar.ts'
import { notTakenBack } from '../../shared-domain/in-force.ts'
import type { OwedNotice } from '../../shared-domain/notices/notice.ts'
import { firstCalibrationStepDays, owedForCalibration } from '../../shared-domain/notices/owed-for-calibration.ts'
import type { Organisation } from '../store/organisation.ts'
import { writeInPages } from '../telling/in-pages.ts'

/** Answers how many notices were written. */
export async function tellOfCalibrations(organisation: Organisation, day: CalendarDate, now: Instant): Promise<number> {
  const { registers, notices, table } = organisation
  const [known, people, { calibrationCap }] = await Promise.all([
    registers.allInForce('instrument', day),
    organisation.peopleNow(now),
    organisation.rulesOn(day),
  ])
  const owed: OwedNotice[] = []
  for (const { id, body } of known) {
    // an instrument whose newest calibration lasts has nothing to be told of, whatever came before
    if ((calibratedThrough([body], day, calibrationCap) ?? day) > addDays(day, firstCalibrationStepDays)) continue
    const editions = notTakenBack(await registers.editions('instrument', id))
    const through = calibratedThrough(
      editions.map((edition) => edition.body),
      day,
      calibrationCap,
    )
    if (through !== null) owed.push(...owedForCalibration({ instrumentId: id, through }, day, people))
  }
  const fresh = await notices.notYetWritten(owed)
  const groups = fresh.map((one) => ({ stickId: null, writes: [notices.owedWrite(one, now)] }))
  return (await writeInPages(table, groups)).notices
}
