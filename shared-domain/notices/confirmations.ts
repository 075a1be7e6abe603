/** Notices that must be confirmed as read, and the people told next when nobody does. */
import type { CalendarDate } from '../calendar.ts'
import { sameMailbox } from '../mailbox.ts'
import type { Addressee, NoticeKind, OwedNotice, StickLine } from './notice.ts'

/** A recall, a hold or a removal that nobody has read is this service's worst failure. */
export function mustBeConfirmed(kind: NoticeKind): boolean {
  return kind === 'hold' || kind === 'removal' || kind === 'recall' || kind === 'unanswered'
}

/** Tells whether the addressee is of the crew that has the stick, or had it last. */
export const isOfCrew = ({ role }: Addressee) => role === 'crew' || role === 'foreman'

/**
 * The people asked to confirm: the crew, of whom one is enough. Where nobody of the crew can be told by mail, whoever
 * is above them is asked.
 */
export function whoIsAsked(audience: readonly Addressee[]): readonly Addressee[] {
  const crew = audience.filter(isOfCrew)
  return crew.length > 0 ? crew : managersIn(audience)
}

/** The managers, also one who is of the crew, as in a small depot; the owners where there is no manager. */
export function managersIn(audience: readonly Addressee[]): readonly Addressee[] {
  const managers = audience.filter(isManager)
  return managers.length > 0 ? managers : audience.filter((one) => one.owns)
}

export const isManager = ({ role, manages, owns }: Addressee) => (role === 'manager' && !owns) || manages === true

/** The next person up: from the crew to its foremen, from there to the managers, from there to the owners. */
export function nextUp(to: Addressee, audience: readonly Addressee[]): readonly Addressee[] {
  if (isManager(to)) return audience.filter((one) => one.owns)
  if (to.role === 'manager') return []
  const foremen = audience.filter((one) => one.role === 'foreman')
  return to.role === 'crew' && foremen.length > 0 ? foremen : managersIn(audience)
}

/** A notice that nobody confirmed in time, with what of it its people still do not know, and who is to hear of that. */
export interface SilentNotice {
  readonly notice: OwedNotice
  readonly open: readonly Concerned[]
  /** somebody above the crew has confirmed that these sticks must not be used */
  readonly aManagerKnows: boolean
}

/** Some sticks of a notice, as they stand now. */
interface Concerned {
  readonly lines: readonly StickLine[]
  readonly audience: readonly Addressee[]
}

/** The people told next of a notice that nobody confirmed; where a manager knows, no owner is asked. */
export function nextOf(
  { notice: { to }, aManagerKnows }: SilentNotice,
  audience: readonly Addressee[],
): readonly Addressee[] {
  if (aManagerKnows && isManager(to)) return []
  return nextUp(to, audience).filter(({ email }) => sameMailbox(email) !== sameMailbox(to.email))
}

/**
 * The notices owed because of silence: one list a person and day. A list names each stick that its people may not know
 * of, and everybody who has not answered, also those whose silence the silent reader was told of.
 */
export function owedForSilence(silent: readonly SilentNotice[], day: CalendarDate): OwedNotice[] {
  const byMailbox = new Map<string, { to: Addressee; of: OwedNotice[]; lines: StickLine[] }>()
  for (const one of silent) {
    for (const { lines, audience } of one.open) {
      for (const to of nextOf(one, audience)) {
        const known = byMailbox.get(sameMailbox(to.email)) ?? { to, of: [], lines: [] }
        byMailbox.set(sameMailbox(to.email), {
          to,
          of: [...known.of, one.notice],
          lines: [
            ...known.lines,
            ...lines.filter(({ stickId }) => !known.lines.some((line) => line.stickId === stickId)),
          ],
        })
      }
    }
  }
  return [...byMailbox].map(([mailbox, { to, of, lines }]) => ({
    kind: 'unanswered' as const,
    key: silenceKey(mailbox, day),
    to: { ...to, tellInPerson: errandsOf(of.map((notice) => notice.to)) },
    day,
    lines,
    answer: { about: ['unanswered', day].join('|'), withinHours: Math.min(...of.map(hoursOf)) },
    unanswered: [...new Set(of.flatMap((notice) => [...(notice.unanswered ?? []), notice.to.name]))],
  }))
}

/** A list of silences is told once a day: a silence of later that day is told the next. */
export const silenceKey = (mailbox: string, day: CalendarDate) => ['unanswered', day, mailbox].join('|')

const hoursOf = ({ answer }: OwedNotice) => answer?.withinHours ?? Number.POSITIVE_INFINITY

/**
 * The matter that has to be confirmed of a stick: a list of silences is about what was to be confirmed first. A
 * reminder has nothing of its own that must be confirmed.
 */
export function aboutOf(
  { about }: StickLine,
  { kind, answer }: Pick<OwedNotice, 'kind' | 'answer'>,
): string | undefined {
  return kind === 'reminder' ? about : (about ?? answer?.about)
}

/**
 * The people whom these addressees were to tell face to face, each once: somebody who does not answer has told nobody.
 */
export function errandsOf(addressees: readonly Addressee[]): Addressee['tellInPerson'] {
  const all = addressees.flatMap(({ tellInPerson }) => tellInPerson)
  return all.filter((one, i) => all.findIndex(({ name, phone }) => name === one.name && phone === one.phone) === i)
}
