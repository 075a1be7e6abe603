/** What must be confirmed as read, and who is told next when nobody does. */
import type { CalendarDate } from '../calendar.ts'
import { sameMailbox } from '../mailbox.ts'
import type { Addressee, NoticeKind, OwedNotice, StickLine } from './notice.ts'

/** A recall, a hold or a removal that nobody has read is this service's worst failure. */
export function mustBeAnswered(kind: NoticeKind): boolean {
  return kind === 'hold' || kind === 'removal' || kind === 'unanswered'
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

/**
 * What is owed because these notices, all about the same, were not confirmed in time: one to each person next up, naming
 * whoever has not answered, also those of whom the silent one was told. Told once of the same silence; of a silence that
 * comes later, or higher up, again. `lines`: the sticks as they stand by now. Where a manager knows, no owner is asked.
 */
export function owedForSilence<Silent extends OwedNotice>(
  silent: readonly Silent[],
  { audience, lines, day, aManagerKnows }: Silence<Silent>,
): OwedNotice[] {
  const byMailbox = new Map<string, { to: Addressee; of: OwedNotice[] }>()
  for (const notice of silent) {
    if (isManager(notice.to) && aManagerKnows(notice)) continue
    for (const to of nextUp(notice.to, audience)) {
      if (sameMailbox(to.email) === sameMailbox(notice.to.email)) continue
      const known = byMailbox.get(sameMailbox(to.email)) ?? { to, of: [] }
      byMailbox.set(sameMailbox(to.email), { to, of: [...known.of, notice] })
    }
  }
  return [...byMailbox].flatMap(([mailbox, { to, of }]) => {
    const [first] = of
    if (first?.answer === undefined) return []
    return [
      {
        kind: 'unanswered' as const,
        key: ['unanswered', first.answer.about, mailbox, ...of.map((notice) => notice.key).sort()].join('|'),
        to: { ...to, tellInPerson: errandsOf(of.map((notice) => notice.to)) },
        day,
        lines,
        answer: first.answer,
        unanswered: [...new Set(of.flatMap((notice) => [...(notice.unanswered ?? []), notice.to.name]))],
      },
    ]
  })
}

export interface Silence<Silent> {
  readonly audience: readonly Addressee[]
  readonly lines: readonly StickLine[]
  readonly day: CalendarDate
  /** whether one has confirmed what this silent one was told, or more */
  readonly aManagerKnows: (notice: Silent) => boolean
}

/** Whom these were to tell face to face, each once: whoever does not answer has told nobody. */
export function errandsOf(addressees: readonly Addressee[]): Addressee['tellInPerson'] {
  const all = addressees.flatMap(({ tellInPerson }) => tellInPerson)
  return all.filter((one, i) => all.findIndex(({ name, phone }) => name === one.name && phone === one.phone) === i)
}
