/**
 * The owners keep the fingerprint of all records outside the service, once a day: whoever altered a record later would
 * have to alter their mail too.
 */
import type { CalendarDate } from '../calendar.ts'
import { sameMailbox } from '../mailbox.ts'
import type { Person } from '../registers.ts'
import { peopleInCharge } from './audience.ts'
import type { FingerprintTold, OwedNotice } from './notice.ts'

export function owedForFingerprint(
  fingerprint: FingerprintTold,
  day: CalendarDate,
  people: readonly Person[],
): OwedNotice[] {
  return peopleInCharge(people.filter(({ role }) => role === 'owner')).map((to) => ({
    kind: 'fingerprint',
    key: ['fingerprint', day, sameMailbox(to.email)].join('|'),
    to,
    day,
    lines: [],
    fingerprint,
  }))
}
