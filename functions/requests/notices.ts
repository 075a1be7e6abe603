/** The notice log: what was told to whom, when, and what became of it. */
import * as z from 'zod'
import { calendarDate } from '../../shared-domain/date-fields.ts'
import { registerId } from '../../shared-domain/identifiers.ts'
import { mailAddress } from '../../shared-domain/mail-address.ts'
import { shownState, shownStates } from '../../shared-domain/notices/life.ts'
import { isPlaceInLog, type LogEntry, noticesFor } from '../questions/notices.ts'
import { cursorTo, pageAsked, pageFields } from './paging.ts'
import { type Route, route } from './request.ts'

const noticeQuery = z.lazy(() =>
  z.strictObject({
    crew: registerId.optional(),
    stick: registerId.optional(),
    person: registerId.optional(),
    to: mailAddress.optional(),
    since: calendarDate.optional(),
    state: z.enum(shownStates).optional(),
    ...pageFields(),
  }),
)

export const noticeRoutes: Route[] = [
  route({
    method: 'GET',
    path: '/v1/notices',
    summary: 'The notice log of a stick, a crew, a person, an address, or of every crew; the newest first',
    action: 'read notices',
    query: noticeQuery,
    answer: 'list of notice',
    handle: async (request) => {
      const { entries, next } = await noticesFor(request, {
        ...request.query,
        ...pageAsked(request.query, isPlaceInLog),
      })
      return { status: 200, body: { items: entries.map(noticeView), next: cursorTo(next) } }
    },
  }),
]

export function noticeView({ notice, inPerson, isOfSlip }: LogEntry) {
  return {
    number: notice.number,
    kind: notice.kind,
    to: notice.to,
    day: notice.day,
    owedAt: notice.owedAt,
    state: shownState[notice.state],
    sentAt: notice.sentAt ?? null,
    deliveredAt: notice.deliveredAt ?? null,
    undeliveredWhy: notice.undeliveredWhy ?? null,
    passedOnFor: notice.passedOnFor ?? [],
    ...(notice.report === undefined ? {} : { report: notice.report }),
    ...(notice.used === undefined ? {} : { used: notice.used }),
    ...(notice.reminder === undefined ? {} : { reminder: notice.reminder }),
    ...(notice.invitation === undefined ? {} : { invitation: notice.invitation }),
    answerBy: notice.answerBy ?? null,
    answeredAt: notice.answeredAt ?? null,
    trouble: notice.trouble ?? null,
    isOfSlip,
    sticks: notice.lines.map((one) => one.stickId),
    tellInPerson: notice.to.tellInPerson.map((who, place) => ({ ...who, told: inPerson[place] ?? null })),
  }
}
