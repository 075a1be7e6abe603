/**
 * The log of notices with the readers of one notice together: each has a mail of their own, and a number of their own.
 */
import { sameMailbox } from '../../shared-domain/mailbox.ts'
import { newestInstants } from '../store/notice-lists.ts'
import type { Notice } from '../store/notices.ts'
import type { Asker } from './asker.ts'
import { askedOf, type LogEntry, type LogQuery, placeInLog } from './notices.ts'

export interface FoldPage {
  /** each of at least one reader */
  readonly folds: readonly (readonly [LogEntry, ...LogEntry[]])[]
  /** the place to go on from; null when there is no more */
  readonly next: string | null
}

interface Fold {
  readonly owedAt: Notice['owedAt']
  /** the least of its readers' numbers, by which it has its place among what was told at the same instant */
  readonly number: string
  readonly notices: readonly Notice[]
}

/**
 * All that is told at one instant is read before any of it is answered, so that no reader of a notice is left for the
 * next page.
 */
export async function foldedNoticesFor(asker: Asker, query: LogQuery): Promise<FoldPage> {
  const asked = await askedOf(asker, query)
  if (asked === null) return { folds: [], next: null }
  const { after } = asked.of
  const isNew = ({ owedAt, number }: Fold) => after === null || owedAt < after.owedAt || number > after.number
  const foldsOf = (notices: readonly Notice[]) => folded(notices).filter(isNew)
  const { notices, next } = await newestInstants(asker.organisation, {
    ...asked.of,
    after: after && { owedAt: after.owedAt, number: '' },
    isEnough: (found) => foldsOf(found).length > query.limit,
  })
  const all = foldsOf(notices)
  const shown = all.slice(0, query.limit)
  const entries = new Map(
    (await asked.shown(shown.flatMap((one) => one.notices))).map((entry) => [entry.notice.number, entry]),
  )
  const last = shown.at(-1)
  const goesOn = shown.length < all.length && last !== undefined ? last : next
  return {
    folds: shown.flatMap(({ notices: own }) => {
      const [first, ...others] = own.flatMap(({ number }) => entries.get(number) ?? [])
      return first === undefined ? [] : [[first, ...others] as const]
    }),
    next: goesOn && placeInLog(goesOn),
  }
}

/** In the order of the log. */
function folded(notices: readonly Notice[]): Fold[] {
  const alike = Map.groupBy(notices, nameOf)
  const all = [...alike.values()].flatMap((own): Fold[] => {
    const [first, ...others] = [...own].sort((a, b) => (a.number < b.number ? -1 : 1))
    return first === undefined ? [] : [{ owedAt: first.owedAt, number: first.number, notices: [first, ...others] }]
  })
  return all.sort((a, b) => (a.owedAt === b.owedAt ? (a.number < b.number ? -1 : 1) : a.owedAt > b.owedAt ? -1 : 1))
}

/** The key of a notice names its cause and its reader. A digest of the same morning may name other sticks. */
function nameOf({ owedAt, key, to, lines }: Notice): string {
  const mailbox = sameMailbox(to.email)
  const cause = key.split('|').filter((part) => part !== mailbox)
  return JSON.stringify([owedAt, cause, lines.map(({ stickId }) => stickId)])
}
