/**
 * The life of a notice. Once a mail may be out, word of it comes in any order: that the mail service took it, that it
 * came back, that its reader confirmed it.
 */
import type { Instant } from '../calendar.ts'
import type { NoticeKind, OwedNotice } from './notice.ts'

export const noticeStates = [
  'owed',
  /** claimed, and so lent to one sender */
  'claimed',
  /** sent, and nobody has to confirm it */
  'sent',
  'awaiting confirmation',
  /** passed on, because it was not confirmed in time: the next person up was told */
  'passed on',
  'confirmed',
  'not delivered',
  'not delivered, confirmed',
  /** the people who are to know that it did not arrive were told */
  'not delivered, seen to',
  'not delivered, seen to, confirmed',
  /** the word was no longer true by the time it was to leave */
  'withdrawn',
  /** brought back from a backup: it may have been sent since, and is not sent again under its number */
  'unknown whether sent',
  /** another notice says the same under a number that was never used */
  'sent anew',
  /** a person decided to leave it, not knowing whether it was sent */
  'left unsent',
] as const
export type NoticeState = (typeof noticeStates)[number]

export const noticeEvents = [
  'claimed',
  'given back',
  'sent',
  'sent, to be confirmed',
  'withdrawn',
  /** refused for good, or sent and come back */
  'not reached',
  'confirmed',
  'passed on',
  /** asked later, because whoever is to be told of the silence has had today's list */
  'asked later',
  'seen to',
  /** found in records that were brought back from a backup */
  'restored',
  'sent anew',
  'left',
] as const
export type NoticeEvent = (typeof noticeEvents)[number]

type Life = { readonly [state in NoticeState]: { readonly [event in NoticeEvent]: NoticeState | null } }

/** The table is total by its type: every state against every event. Null means that the event changes nothing. */
export const noticeLife = {
  owed: {
    claimed: 'claimed',
    'given back': null,
    sent: 'sent',
    'sent, to be confirmed': 'awaiting confirmation',
    withdrawn: null,
    'not reached': 'not delivered',
    confirmed: 'confirmed',
    'passed on': null,
    'asked later': null,
    'seen to': null,
    restored: 'unknown whether sent',
    'sent anew': null,
    left: null,
  },
  claimed: {
    // a second sender claims it once the lease of the first has run out
    claimed: 'claimed',
    'given back': 'owed',
    sent: 'sent',
    'sent, to be confirmed': 'awaiting confirmation',
    withdrawn: 'withdrawn',
    'not reached': 'not delivered',
    confirmed: 'confirmed',
    'passed on': null,
    'asked later': null,
    'seen to': null,
    restored: 'unknown whether sent',
    'sent anew': null,
    left: null,
  },
  sent: {
    claimed: null,
    'given back': null,
    sent: null,
    'sent, to be confirmed': null,
    withdrawn: null,
    'not reached': 'not delivered',
    confirmed: 'confirmed',
    'passed on': null,
    'asked later': null,
    'seen to': null,
    restored: null,
    'sent anew': null,
    left: null,
  },
  'awaiting confirmation': {
    claimed: null,
    'given back': null,
    sent: null,
    'sent, to be confirmed': null,
    withdrawn: null,
    'not reached': 'not delivered',
    confirmed: 'confirmed',
    'passed on': 'passed on',
    'asked later': 'awaiting confirmation',
    'seen to': null,
    restored: null,
    'sent anew': null,
    left: null,
  },
  'passed on': {
    claimed: null,
    'given back': null,
    sent: null,
    'sent, to be confirmed': null,
    withdrawn: null,
    'not reached': 'not delivered',
    confirmed: 'confirmed',
    'passed on': null,
    'asked later': null,
    'seen to': null,
    restored: null,
    'sent anew': null,
    left: null,
  },
  confirmed: {
    claimed: null,
    'given back': null,
    // the button was pressed between the sending and the mark: nothing is awaited any more
    sent: null,
    'sent, to be confirmed': null,
    withdrawn: null,
    'not reached': 'not delivered, confirmed',
    confirmed: null,
    'passed on': null,
    'asked later': null,
    'seen to': null,
    restored: null,
    'sent anew': null,
    left: null,
  },
  'not delivered': {
    claimed: null,
    'given back': null,
    // the mail came back before its sender had marked it
    sent: null,
    'sent, to be confirmed': null,
    withdrawn: null,
    'not reached': null,
    confirmed: 'not delivered, confirmed',
    'passed on': null,
    'asked later': null,
    'seen to': 'not delivered, seen to',
    restored: null,
    'sent anew': null,
    left: null,
  },
  'not delivered, confirmed': {
    claimed: null,
    'given back': null,
    sent: null,
    'sent, to be confirmed': null,
    withdrawn: null,
    'not reached': null,
    confirmed: null,
    'passed on': null,
    'asked later': null,
    'seen to': 'not delivered, seen to, confirmed',
    restored: null,
    'sent anew': null,
    left: null,
  },
  'not delivered, seen to': {
    claimed: null,
    'given back': null,
    sent: null,
    'sent, to be confirmed': null,
    withdrawn: null,
    'not reached': null,
    confirmed: 'not delivered, seen to, confirmed',
    'passed on': null,
    'asked later': null,
    'seen to': null,
    restored: null,
    'sent anew': null,
    left: null,
  },
  'not delivered, seen to, confirmed': {
    claimed: null,
    'given back': null,
    sent: null,
    'sent, to be confirmed': null,
    withdrawn: null,
    'not reached': null,
    confirmed: null,
    'passed on': null,
    'asked later': null,
    'seen to': null,
    restored: null,
    'sent anew': null,
    left: null,
  },
  withdrawn: {
    claimed: null,
    'given back': null,
    sent: null,
    'sent, to be confirmed': null,
    withdrawn: null,
    // an earlier try was sent all the same, and its sender broke off before the mark
    'not reached': 'not delivered',
    confirmed: null,
    'passed on': null,
    'asked later': null,
    'seen to': null,
    restored: null,
    'sent anew': null,
    left: null,
  },
  'unknown whether sent': {
    claimed: null,
    'given back': null,
    // word of the mail service came late, and it was sent
    sent: 'sent',
    'sent, to be confirmed': 'awaiting confirmation',
    withdrawn: null,
    'not reached': 'not delivered',
    confirmed: 'confirmed',
    'passed on': null,
    'asked later': null,
    'seen to': null,
    restored: null,
    'sent anew': 'sent anew',
    left: 'left unsent',
  },
  'sent anew': {
    claimed: null,
    'given back': null,
    sent: null,
    'sent, to be confirmed': null,
    withdrawn: null,
    'not reached': null,
    // it had been sent all the same
    confirmed: 'confirmed',
    'passed on': null,
    'asked later': null,
    'seen to': null,
    restored: null,
    'sent anew': null,
    left: null,
  },
  'left unsent': {
    claimed: null,
    'given back': null,
    sent: null,
    'sent, to be confirmed': null,
    withdrawn: null,
    'not reached': 'not delivered',
    confirmed: 'confirmed',
    'passed on': null,
    'asked later': null,
    'seen to': null,
    restored: null,
    'sent anew': null,
    left: null,
  },
} as const satisfies Life

/**
 * The states from which this event leads to `to`. Somebody who writes it need not know which of them the notice is in
 * by now.
 */
export function statesBefore(event: NoticeEvent, to: NoticeState): readonly NoticeState[] {
  return noticeStates.filter((state) => noticeLife[state][event] === to)
}

/** The states as people read them in the notice log. */
export const shownStates = ['owed', 'claimed', 'sent', 'not delivered', 'withdrawn', 'unknown'] as const

export const shownState: { readonly [state in NoticeState]: (typeof shownStates)[number] } = {
  owed: 'owed',
  claimed: 'claimed',
  sent: 'sent',
  'awaiting confirmation': 'sent',
  'passed on': 'sent',
  confirmed: 'sent',
  'not delivered': 'not delivered',
  'not delivered, confirmed': 'not delivered',
  'not delivered, seen to': 'not delivered',
  'not delivered, seen to, confirmed': 'not delivered',
  withdrawn: 'withdrawn',
  'unknown whether sent': 'unknown',
  'sent anew': 'withdrawn',
  'left unsent': 'withdrawn',
}

/** The places where a notice waits for somebody to do something about it; an urgent one waits behind no digest. */
export const queues = ['unsent', 'urgent', 'unanswered', 'undelivered'] as const
export type Queue = (typeof queues)[number]

/** Somebody may have a stick in hand that can hurt them: word of that waits behind no digest, whoever it goes to. */
const urgentKinds: readonly NoticeKind[] = ['hold', 'removal', 'recall', 'unanswered', 'used while unfit', 'report']

export function isUrgent(kind: NoticeKind): boolean {
  return urgentKinds.includes(kind)
}

const waitsIn: { readonly [state in NoticeState]: Exclude<Queue, 'urgent'> | null } = {
  owed: 'unsent',
  claimed: 'unsent',
  sent: null,
  'awaiting confirmation': 'unanswered',
  'passed on': null,
  confirmed: null,
  'not delivered': 'undelivered',
  'not delivered, confirmed': 'undelivered',
  'not delivered, seen to': null,
  'not delivered, seen to, confirmed': null,
  withdrawn: null,
  'unknown whether sent': null,
  'sent anew': null,
  'left unsent': null,
}

export interface Queued {
  readonly queue: Queue
  /** the hour from which on something is to be done about it */
  readonly at: Instant
}

export interface Queueing extends Pick<OwedNotice, 'kind'> {
  readonly owedAt: Instant
  /** the hour by which it is to be confirmed */
  readonly answerBy?: Instant
}

/** The queue in which a notice in this state waits; null where nothing is to be done about it. */
export function queuedIn(state: NoticeState, { owedAt, kind, answerBy = owedAt }: Queueing): Queued | null {
  const queue = waitsIn[state]
  if (queue === null) return null
  if (queue === 'unanswered') return { queue, at: answerBy }
  return { queue: queue === 'unsent' && isUrgent(kind) ? 'urgent' : queue, at: owedAt }
}
