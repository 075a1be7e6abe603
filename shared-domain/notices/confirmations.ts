/** What must be confirmed as read, and who is told next when nobody does. */
import type { CalendarDate } from '../calendar.ts'
import { sameMailbox } from '../mailbox.ts'
import type { Addressee, NoticeKind, OwedNotice, StickLine } from './notice.ts'

/** A recall, a hold or a removal that nobody has read is this service's worst failure. */
export function mustBeConfirmed(kind: NoticeKind): boolean {
  return kind === 'hold' || kind === 'removal' || kind === 'unanswered'
}

/** Who has the stick, or had it last. */
export const isOfCrew = ({ role }: Addressee) => role === 'crew' || role === 'foreman'

/**
 * Who of those told is asked to confirm it: the crew, of whom one is enough; where nobody of them can be told by mail, whoever
 * is above them.
 */
export function whoIsAsked(audience: readonly Addressee[]): readonly Addressee[] {
  const crew = audience.filter(isOfCrew)
  return crew.length > 0 ? crew : managersIn(audience)
}

/** Also one who is of the crew, as in a small depot; the owners where there is none. */
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

/** Of a notice that nobody confirmed in time: what of it its people still do not know, and who is to hear of that. */
export interface SilentNotice {
  readonly notice: OwedNotice
  readonly open: readonly Concerned[]
  /** somebody above the crew has confirmed that these sticks must not be used */
  readonly aManagerKnows: boolean
}

/** Some of its sticks, as they stand now. */
interface Concerned {
  readonly lines: readonly StickLine[]
  readonly audience: readonly Addressee[]
}

/** Who is told next of what nobody confirmed; where a manager knows, no owner is asked. */
export function nextOf(
  { notice: { to }, aManagerKnows }: SilentNotice,
  audience: readonly Addressee[],
): readonly Addressee[] {
  if (aManagerKnows && isManager(to)) return []
  return nextUp(to, audience).filter(({ email }) => sameMailbox(email) !== sameMailbox(to.email))
}

/**
 * What is owed because of silence: one list a person and day, naming each stick that its people may not know of, and whoever
 * has not answered, also those of whom the silent one was told.
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

/** Told once a day: a silence of later that day is told the next. */
export const silenceKey = (mailbox: string, day: CalendarDate) => ['unanswered', day, mailbox].join('|')

const hoursOf = ({ answer }: OwedNotice) => answer?.withinHours ?? Number.POSITIVE_INFINITY

/** What has to be confirmed of a stick: the list of a silence is about what was to be confirmed first. */
export function aboutOf({ about }: StickLine, { answer }: Pick<OwedNotice, 'answer'>): string | undefined {
  return about ?? answer?.about
}

/** Whom these were to tell face to face, each once: whoever does not answer has told nobody. */
export function errandsOf(addressees: readonly Addressee[]): Addressee['tellInPerson'] {
  const all = addressees.flatMap(({ tellInPerson }) => tellInPerson)
  return all.filter((one, i) => all.findIndex(({ name, phone }) => name === one.name && phone === one.phone) === i)
}
