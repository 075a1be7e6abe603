/**
 * Who must have heard of what, and by when: words that are owed, worked out beside the product and held against the
 * mails that left.
 */
import type { Notice } from '../../functions/store/notices.ts'
import { hour, minute } from '../faults/service.ts'
import * as fleet from './fleet.ts'
import { type Day, isKept, mayBeUsed } from './model.ts'
import type { StickThere, There } from './there.ts'

/** An invariant that does not hold, in words. */
export class Broken extends Error {
  override readonly name = 'Broken'
}

/** What a function's schedule, a queue and a wait between tries may add up to where nothing fails. */
export const soonMillis = 40 * minute
export const answerMillis = fleet.answerWithinHours * hour

/** A word that somebody is owed of a stick. */
interface Word {
  readonly stickId: string
  readonly to: string
  readonly kinds: readonly string[]
  readonly since: number
  readonly by: number
  readonly why: string
}

const anybody = 'anybody'
const somebodyElseThan = (email: string) => `not ${email}`

interface Around {
  readonly there: There
  readonly now: () => number
  /** addresses that mail comes back from */
  readonly bad: ReadonlySet<string>
  /** how late everybody may hear what was owed since then, for no fault of the service's own */
  readonly excuseSince: (since: number) => number
}

export type Hearing = ReturnType<typeof hearing>

export function hearing({ there, now, bad, excuseSince }: Around) {
  const open = new Map<string, Word>()
  /** of `stick due date`, and of that with a mailbox: the day of the last digest that named it so */
  const told = new Map<string, Day>()
  /** of a stick and the date that its label shows: the day of the last notice that said it is wrong */
  const labelTold = new Map<string, Day>()
  /** who was told that a stick must not be used */
  const knowOfHold = new Map<string, Set<string>>()
  let words = 0

  /** What is owed already keeps its hour. */
  function owe(word: Word): void {
    const key = [word.stickId, word.to, ...word.kinds].join(' ')
    if (open.has(key)) return
    open.set(key, word)
    words += 1
  }

  /** It is no longer true, or no longer theirs to hear. */
  function drop(which: (word: Word) => boolean): void {
    for (const [key, word] of open) if (which(word)) open.delete(key)
  }

  /** What the stick is now, and what its people have to hear of that within so long. */
  function lookAt(stick: StickThere, withinMillis: number): void {
    const before = stick.known
    const after = there.rightOf(stick)
    stick.known = after
    if (before.dueOn !== after.dueOn || isKept(before.status) !== isKept(after.status))
      stick.datedSince = there.placeOf(stick).today
    const isLate = there.showsTooLate(stick)
    if (isLate !== (stick.lateLabelSince !== null)) stick.lateLabelSince = isLate ? there.placeOf(stick).today : null
    if (before.status === after.status) return
    const isHold = after.status === 'on hold' || (after.status === 'awaiting first test' && mayBeUsed(before.status))
    drop(({ stickId }) => stickId === stick.id)
    if (after.status === 'removed from service') oweHold(stick, 'removal', now() + withinMillis)
    else if (isHold) oweHold(stick, 'hold', now() + withinMillis)
    else if (before.status === 'on hold' && mayBeUsed(after.status)) oweReturn(stick, now() + withinMillis)
    if (isKept(after.status) || after.status === 'scrapped') knowOfHold.delete(stick.id)
  }

  function oweHold(stick: StickThere, kind: 'hold' | 'removal', by: number): void {
    const of = { stickId: stick.id, since: now() - minute, why: stick.known.against.join(', ') }
    for (const email of there.hearersOf(stick)) {
      if (bad.has(email)) owe({ ...of, to: somebodyElseThan(email), kinds: ['not delivered'], by: by + soonMillis })
      else owe({ ...of, to: email, kinds: kind === 'hold' ? ['hold', 'recall'] : [kind], by })
    }
    // a silence of later that day waits for the next
    owe({ ...of, to: anybody, kinds: ['unanswered'], by: by + answerMillis + 26 * hour })
  }

  function oweReturn(stick: StickThere, by: number): void {
    const know = knowOfHold.get(stick.id) ?? new Set<string>()
    const hear = there.hearersOf(stick).filter((email) => know.has(email) && !bad.has(email))
    const of = { stickId: stick.id, since: now() - minute, kinds: ['return'], why: 'it is back' }
    for (const to of hear) owe({ ...of, to, by })
  }

  /** A mail that the mail service has taken. */
  function hear(notice: Notice): void {
    const { kind, lines, to, day, missed } = notice
    if (bad.has(to.email)) return
    const named = new Set(lines.map(({ stickId }) => stickId))
    drop(
      (word) =>
        named.has(word.stickId) &&
        word.kinds.includes(kind) &&
        now() >= word.since &&
        [to.email, somebodyElseThan(missed?.email ?? to.email), anybody].includes(word.to),
    )
    // a notice whose sending never comes to an end is given up, and others are asked to tell its reader in person
    if (missed !== undefined) drop((word) => named.has(word.stickId) && word.to === missed.email)
    for (const { stickId, dueOn, onlyLoan, onlyLabel, wrongLabel } of lines) {
      if (wrongLabel !== undefined) labelTold.set(`${stickId} ${wrongLabel}`, day)
      if (kind === 'hold' || kind === 'removal' || kind === 'recall')
        knowOfHold.set(stickId, (knowOfHold.get(stickId) ?? new Set()).add(to.email))
      if (kind !== 'digest' || onlyLoan || onlyLabel) continue
      told.set(`${stickId} ${dueOn}`, day)
      told.set(`${stickId} ${dueOn} ${to.email}`, day)
    }
  }

  return {
    told,
    labelTold,
    lookAt,
    hear,
    /** One of those told has said that they know: nobody need hear of a silence. */
    confirmed({ lines }: Notice): void {
      const named = new Set(lines.map(({ stickId }) => stickId))
      drop(({ stickId, kinds }) => named.has(stickId) && kinds.includes('unanswered'))
    },
    left(email: string): void {
      drop(({ to }) => to === email)
    },
    words: () => words,
    check(): void {
      const late = [...open.values()].find(({ by, since }) => now() > by + excuseSince(since))
      if (late === undefined) return
      const { to, kinds, stickId, why, since } = late
      const when = new Date(since).toISOString()
      throw new Broken(`untold: ${to} has had no ${kinds.join(' or ')} of ${stickId} (${why}), owed since ${when}`)
    },
  }
}
