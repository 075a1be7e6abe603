/**
 * The notices that a recall owes: a reader gets one for all of their sticks, whatever the number. Who has the sticks is
 * asked to confirm, as for a hold.
 */
import type { CalendarDate } from '../calendar.ts'
import { sameMailbox } from '../mailbox.ts'
import { kindOfRecall, nameOfCause, type Recall } from '../recall/recall.ts'
import { oneReader, type ThoseAround, wholeAudience } from './audience.ts'
import { whoIsAsked } from './confirmations.ts'
import type { Addressee, OwedNotice, RecallTold, StickLine } from './notice.ts'
import { compare, type StickToTell, stickLine } from './stick-line.ts'

/** A stick that a recall holds, with its people, on the day where it lies. */
export interface RecalledStick extends StickToTell {
  readonly who: ThoseAround
  readonly day: CalendarDate
}

interface Reader {
  readonly to: Addressee
  readonly lines: readonly StickLine[]
  readonly day: CalendarDate
  readonly isAsked: boolean
}

/** The readers of a recall by their mailboxes, with the sticks that each is told of so far. */
export type ReadersOfRecall = ReadonlyMap<string, Reader>

/** The matter that is confirmed, the same for everybody told of the recall. */
export const aboutRecall = ({ id }: Pick<Recall, 'id'>) => ['recall', id].join('|')

/** The key of a reader's notice, which is known before its sticks are. */
export const recallKey = (recall: Pick<Recall, 'id'>, mailbox: string) => [aboutRecall(recall), mailbox].join('|')

/** The mailboxes of everybody who is told of the stick. */
export function mailboxesFor({ who }: Pick<RecalledStick, 'who'>): string[] {
  return wholeAudience(who).map(({ email }) => sameMailbox(email))
}

export function readersWith(readers: ReadersOfRecall, sticks: readonly RecalledStick[]): ReadersOfRecall {
  const all = new Map([...readers].map(([mailbox, one]) => [mailbox, { ...one, lines: [...one.lines] }]))
  for (const stick of sticks) {
    const audience = wholeAudience(stick.who)
    const asked = whoIsAsked(audience)
    const line = stickLine(stick, stick.day)
    for (const to of audience) {
      const known = all.get(sameMailbox(to.email)) ?? { to, lines: [], day: stick.day, isAsked: false }
      known.lines.push(line)
      all.set(sameMailbox(to.email), {
        ...known,
        to: oneReader(known.to, to),
        isAsked: known.isAsked || asked.includes(to),
      })
    }
  }
  return all
}

interface Recalling {
  readonly recall: Pick<Recall, 'id' | 'cause'>
  readonly reason: string
  /** the name of whoever opened it */
  readonly by: string
  readonly answerWithinHours: number
}

export function owedForRecall(readers: ReadersOfRecall, recalling: Recalling): OwedNotice[] {
  const { recall, answerWithinHours: withinHours } = recalling
  return [...readers].map(([mailbox, { to, lines, day, isAsked }]) => ({
    kind: 'recall',
    key: recallKey(recall, mailbox),
    to,
    day,
    lines: lines.toSorted(byCrew),
    recall: toldOf(recalling),
    ...(isAsked ? { answer: { about: aboutRecall(recall), withinHours } } : {}),
  }))
}

const toldOf = ({ recall: { id, cause }, reason, by }: Recalling): RecallTold => ({
  id,
  by: kindOfRecall(cause),
  named: nameOfCause(cause),
  reason,
  openedBy: by,
})

/** A foreman calls in crew by crew, and whoever looks for a stick looks by its number. */
function byCrew(a: StickLine, b: StickLine): number {
  const keys = ({ crewName, crewId, stickId }: StickLine) => [crewName ?? '', crewId ?? '', stickId]
  return compare(keys(a), keys(b))
}
