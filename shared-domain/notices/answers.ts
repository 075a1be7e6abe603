/** What must be confirmed as read, and who is told next when nobody does. */
import type { CalendarDate } from '../calendar.ts'
import { sameMailbox } from '../mail-address.ts'
import type { Addressee, NoticeKind, OwedNotice } from './notice.ts'

/** A recall, a hold or a removal that nobody has read is this service's worst failure. */
export function mustBeAnswered(kind: NoticeKind): boolean {
  return kind === 'hold' || kind === 'removal' || kind === 'unanswered'
}

/** Also one who is of the crew, as in a small depot. */
export function managersIn(audience: readonly Addressee[]): readonly Addressee[] {
  return audience.filter((one) => one.role === 'manager' || one.manages)
}

/** The next person up: from the crew to its foremen, from there to the managers; beyond them nobody. */
export function nextUp(role: Addressee['role'], audience: readonly Addressee[]): readonly Addressee[] {
  const foremen = audience.filter((one) => one.role === 'foreman')
  const managers = managersIn(audience)
  if (role === 'crew') return foremen.length > 0 ? foremen : managers
  return role === 'foreman' ? managers : []
}

/**
 * What is owed because these notices, all about the same, were not confirmed in time: one to each person next up, naming
 * whoever has not answered, also those of whom the silent one was told. Told once of the same silence; of a silence that
 * comes later, or higher up, again.
 */
export function owedForSilence(
  silent: readonly OwedNotice[],
  audience: readonly Addressee[],
  day: CalendarDate,
): OwedNotice[] {
  const byMailbox = new Map<string, { to: Addressee; of: OwedNotice[] }>()
  for (const notice of silent) {
    for (const to of nextUp(notice.to.role, audience)) {
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
        lines: first.lines,
        answer: first.answer,
        unanswered: [...new Set(of.flatMap((notice) => [...(notice.unanswered ?? []), notice.to.name]))],
      },
    ]
  })
}

/** Whom these were to tell face to face, each once: whoever does not answer has told nobody. */
export function errandsOf(addressees: readonly Addressee[]): Addressee['tellInPerson'] {
  const all = addressees.flatMap(({ tellInPerson }) => tellInPerson)
  return all.filter((one, i) => all.findIndex(({ name, phone }) => name === one.name && phone === one.phone) === i)
}
