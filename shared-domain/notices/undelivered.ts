/** What is owed because a notice did not reach its reader. The one place that decides it, however that was found out. */
import type { CalendarDate } from '../calendar.ts'
import { sameMailbox } from '../mail-address.ts'
import { nextUp } from './answers.ts'
import type { Addressee, OwedNotice, StickLine, UndeliveredWhy } from './notice.ts'

/** Nothing is to be sent there again until a manager says so. */
export function marksTheAddress(why: UndeliveredWhy): boolean {
  return why === 'bounced' || why === 'complained'
}

/** Some of the sticks of a notice, and who is to know of them. */
export interface Concerned {
  readonly lines: readonly StickLine[]
  readonly audience: readonly Addressee[]
}

/**
 * The managers hear whom it did not reach. Where it still matters to its reader, the next person up gets it instead: the
 * same lines, the same errand, the same answer awaited.
 */
export function owedForUndelivered(
  notice: OwedNotice,
  why: UndeliveredWhy,
  concerned: readonly Concerned[],
  { day, stillMatters }: { readonly day: CalendarDate; readonly stillMatters: boolean },
): OwedNotice[] {
  return [...toManagers(notice, why, concerned, day), ...(stillMatters ? passedOn(notice, concerned, day) : [])]
}

/** Of a notice of this very kind only what marks an address, so that two unreachable managers do not call for ever. */
function toManagers(
  notice: OwedNotice,
  why: UndeliveredWhy,
  concerned: readonly Concerned[],
  day: CalendarDate,
): OwedNotice[] {
  if (notice.kind === 'not delivered' && !marksTheAddress(why)) return []
  const managers = gathered(notice, concerned, (audience) => audience.filter((one) => one.role === 'manager'))
  return managers.map(({ mailbox, to, lines }) => ({
    kind: 'not delivered' as const,
    key: ['not delivered', notice.key, mailbox].join('|'),
    to: { ...to, tellInPerson: [] },
    day,
    lines,
    missed: { name: notice.to.name, email: notice.to.email, why },
  }))
}

function passedOn(notice: OwedNotice, concerned: readonly Concerned[], day: CalendarDate): OwedNotice[] {
  const { kind, key, answer, unanswered, passedOnFor = [] } = notice
  return gathered(notice, concerned, (audience) => nextUp(notice.to.role, audience)).map(({ mailbox, to, lines }) => ({
    kind,
    key: ['passed on', key, mailbox].join('|'),
    to: { ...to, tellInPerson: notice.to.tellInPerson },
    day,
    lines,
    ...(answer === undefined ? {} : { answer }),
    ...(unanswered === undefined ? {} : { unanswered }),
    passedOnFor: [...passedOnFor, notice.to.name],
  }))
}

/** Each mailbox once, with what concerns it; never the one that was not reached. */
function gathered(
  notice: OwedNotice,
  concerned: readonly Concerned[],
  chosen: (audience: readonly Addressee[]) => readonly Addressee[],
): { mailbox: string; to: Addressee; lines: readonly StickLine[] }[] {
  const unreached = sameMailbox(notice.to.email)
  const byMailbox = new Map<string, { to: Addressee; lines: StickLine[] }>()
  for (const { lines, audience } of concerned) {
    for (const to of chosen(audience)) {
      const mailbox = sameMailbox(to.email)
      if (mailbox === unreached) continue
      const known = byMailbox.get(mailbox) ?? { to, lines: [] }
      byMailbox.set(mailbox, { ...known, lines: [...known.lines, ...lines] })
    }
  }
  return [...byMailbox].map(([mailbox, one]) => ({ mailbox, ...one }))
}
