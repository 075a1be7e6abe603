import { describe, expect, test } from 'vitest'
import type { Instant } from '../../../shared-domain/calendar.ts'
import {
  isUrgent,
  type NoticeState,
  noticeEvents,
  noticeLife,
  noticeStates,
  queuedIn,
  shownState,
  statesBefore,
} from '../../../shared-domain/notices/life.ts'
import { noticeKinds } from '../../../shared-domain/notices/notice.ts'

const steps = noticeStates.flatMap((from) =>
  noticeEvents.map((event) => ({ from, event, to: noticeLife[from][event] })),
)

describe('the life of a notice', () => {
  test('says of every state what every event makes of it', () => {
    expect(Object.keys(noticeLife)).toEqual([...noticeStates])
    for (const state of noticeStates) expect(Object.keys(noticeLife[state])).toEqual([...noticeEvents])
    for (const { to } of steps) expect([null, ...noticeStates]).toContain(to)
  })

  test('leads from owed to every state, by every event', () => {
    const reached = new Set<NoticeState>(['owed'])
    for (const from of reached) {
      for (const event of noticeEvents) {
        const to = noticeLife[from][event]
        if (to !== null) reached.add(to)
      }
    }
    expect([...reached].sort()).toEqual([...noticeStates].sort())
    expect(noticeEvents.filter((event) => steps.every((step) => step.event !== event || step.to === null))).toEqual([])
  })

  test('takes nothing back: what was confirmed stays so, and what did not arrive', () => {
    const isConfirmed = (state: NoticeState) => state.endsWith('confirmed')
    const cameBack = (state: NoticeState) => state.startsWith('not delivered')
    const moves = steps.flatMap(({ from, to }) => (to === null ? [] : [{ from, to }]))
    expect(moves.filter(({ from, to }) => isConfirmed(from) && !isConfirmed(to))).toEqual([])
    expect(moves.filter(({ from, to }) => cameBack(from) && !cameBack(to))).toEqual([])
  })

  test('nothing that may still be tried again has left its queue, and nothing waits to be sent once it was', () => {
    const waiting = (queue: string) =>
      noticeStates.filter((state) => queuedIn(state, { owedAt, kind: 'hold' })?.queue === queue)
    expect(waiting('urgent')).toEqual(['owed', 'claimed'])
    expect(waiting('unanswered')).toEqual(['awaiting confirmation'])
    expect(waiting('undelivered')).toEqual(['not delivered', 'not delivered, confirmed'])
  })

  test('each event that leads to a state is known by where it leads', () => {
    for (const { from, event, to } of steps) {
      if (to !== null) expect(statesBefore(event, to)).toContain(from)
      for (const other of noticeStates.filter((state) => state !== to))
        expect(statesBefore(event, other)).not.toContain(from)
    }
  })

  test('people read of six ways in which a notice can stand', () => {
    const shown = Map.groupBy(noticeStates, (state) => shownState[state])
    expect(Object.fromEntries([...shown].map(([word, states]) => [word, states.length]))).toEqual({
      owed: 1,
      claimed: 1,
      sent: 4,
      'not delivered': 4,
      withdrawn: 3,
      unknown: 1,
    })
  })
})

const owedAt = '2026-03-02T15:00:00.000Z' as Instant
const answerBy = '2026-03-02T19:00:00.000Z' as Instant
const [kind, digest] = ['hold', 'digest'] as const

describe('where a notice waits', () => {
  test.each([
    ['owed', { kind: digest }, { queue: 'unsent', at: owedAt }],
    ['owed', { kind }, { queue: 'urgent', at: owedAt }],
    ['claimed', { kind }, { queue: 'urgent', at: owedAt }],
    ['awaiting confirmation', { kind, answerBy }, { queue: 'unanswered', at: answerBy }],
    ['not delivered', { kind, answerBy }, { queue: 'undelivered', at: owedAt }],
    ['not delivered, confirmed', { kind, answerBy }, { queue: 'undelivered', at: owedAt }],
    ['not delivered, seen to', { kind, answerBy }, null],
    ['passed on', { kind, answerBy }, null],
    ['confirmed', { kind, answerBy }, null],
    ['sent', { kind: digest }, null],
    ['withdrawn', { kind: digest }, null],
  ] as const)('%s, %j', (state, asked, queued) => {
    expect(queuedIn(state, { owedAt, ...asked })).toEqual(queued)
  })
})

test('urgent is what tells that somebody may have in hand what can hurt them, whoever reads it, asked or not', () => {
  expect(noticeKinds.filter(isUrgent)).toEqual([
    'hold',
    'removal',
    'recall',
    'used while unfit',
    'report',
    'unanswered',
  ])
})
