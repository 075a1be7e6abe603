/** What was told to whom, when; and that somebody without e-mail was told face to face. */
import * as z from 'zod'
import { type CalendarDate, calendarDate, daysBetween, localDateAt } from '../../shared-domain/calendar.ts'
import { mailAddress } from '../../shared-domain/mail-address.ts'
import { registerId } from '../../shared-domain/registers.ts'
import { line } from '../../shared-domain/text.ts'
import { invalid, notAllowed, notFound } from '../ground/errors.ts'
import { everybody } from '../questions/identity.ts'
import { type LogEntry, mayReadOf, readNoticeLog, withTellings } from '../questions/notice-log.ts'
import type { Notice } from '../store/notices.ts'
import { keepToldInPerson } from '../store/told-in-person.ts'
import { list, noticeAnswer } from './answer-schemas.ts'
import { type Request, type Route, route } from './request.ts'

const noticeStates = ['owed', 'claimed', 'sent', 'not delivered', 'withdrawn'] as const

const noticeQuery = z.strictObject({
  crew: registerId.optional(),
  stick: registerId.optional(),
  person: registerId.optional(),
  to: mailAddress.optional(),
  since: calendarDate.optional(),
  state: z.enum(noticeStates).optional(),
})

const telling = z.strictObject({ name: line(120), phone: line(40).optional(), toldOn: calendarDate.optional() })
type Telling = z.output<typeof telling>

export const noticeRoutes: Route[] = [
  route({
    method: 'GET',
    path: '/v1/notices',
    summary: 'The notice log of a stick, a crew, a person, an address, or of every crew; the newest first',
    allowed: everybody,
    query: noticeQuery,
    answer: list(noticeAnswer),
    handle: async ({ organisation, caller, query }) => {
      const entries = await readNoticeLog(organisation, caller, query)
      return { status: 200, body: { items: entries.map(shown), next: null } }
    },
  }),
  route({
    method: 'POST',
    path: '/v1/notices/:id/told',
    summary: 'Record that somebody without e-mail, whom the notice asks to tell, was told face to face',
    allowed: everybody,
    body: telling,
    first: noticeOf,
    answer: noticeAnswer,
    handle: tell,
  }),
]

async function noticeOf({ organisation, caller, id }: Request<unknown>): Promise<Notice> {
  const { table, keys } = organisation
  const notice = (await table.get(keys.notice(id))) as Notice | undefined
  const mayRead = await mayReadOf(organisation, caller)
  if (notice === undefined) throw notFound()
  if (!mayRead(notice)) throw notAllowed('This notice is about another crew or depot.')
  return notice
}

async function tell(request: Request<Telling>) {
  const notice = await noticeOf(request)
  const { organisation, caller, body, now } = request
  const { table, keys } = organisation
  const place = placeOf(notice.to.tellInPerson, body)
  const today = await todayOf(organisation, notice, now)
  const toldOn = body.toldOn ?? today
  if (toldOn < notice.day || toldOn > today) {
    const expected = `a date from ${notice.day}, when the notice was owed, to ${today}, today at its depot`
    throw invalid({ pointer: '/toldOn', came: body.toldOn, expected })
  }
  const told = { name: body.name, toldOn, by: caller.personId, recordedAt: now }
  const isNew = await keepToldInPerson(table, keys, notice, place, told)
  const [entry] = await withTellings(organisation, [notice])
  if (entry === undefined) throw notFound()
  return { status: isNew ? 201 : 200, body: shown(entry) }
}

/** Of two who bear one name the telephone tells which. */
function placeOf(errand: Notice['to']['tellInPerson'], { name, phone }: Telling): number {
  const namesakes = errand.flatMap((one, place) => (one.name === name ? [{ ...one, place }] : []))
  if (namesakes.length === 0) {
    throw invalid({ pointer: '/name', came: name, expected: expectedNames(errand.map((one) => one.name)) })
  }
  const [meant, ...others] = phone === undefined ? namesakes : namesakes.filter((one) => one.phone === phone)
  if (meant === undefined || others.length > 0) {
    const expected = `the telephone of the one who was told: ${namesakes.map((one) => one.phone).join(' or ')}`
    throw invalid({ pointer: '/phone', came: phone ?? null, expected })
  }
  return meant.place
}

function expectedNames(names: readonly string[]): string {
  return names.length === 0 ? 'nobody: this notice asks to tell no one' : `one of ${names.join(', ')}`
}

/** At the depot of the crew of its first stick; never before the day on which it came to be owed. */
async function todayOf(
  { registers, zoneAt }: Request['organisation'],
  notice: Notice,
  now: Request['now'],
): Promise<CalendarDate> {
  const crewId = notice.lines[0]?.crewId
  const crew = crewId == null ? undefined : await registers.head('crew', crewId)
  const today = localDateAt(now, await zoneAt(crew?.newest.body.depotId ?? null))
  return daysBetween(notice.day, today) < 0 ? notice.day : today
}

function shown({ notice, inPerson }: LogEntry) {
  return {
    number: notice.number,
    kind: notice.kind,
    to: notice.to,
    day: notice.day,
    owedAt: notice.owedAt,
    state: notice.state,
    sentAt: notice.sentAt ?? null,
    deliveredAt: notice.deliveredAt ?? null,
    undeliveredWhy: notice.undeliveredWhy ?? null,
    passedOnFor: notice.passedOnFor ?? [],
    ...(notice.report === undefined ? {} : { report: notice.report }),
    ...(notice.used === undefined ? {} : { used: notice.used }),
    answerBy: notice.answerBy ?? null,
    answeredAt: notice.answeredAt ?? null,
    trouble: notice.trouble ?? null,
    sticks: notice.lines.map((one) => one.stickId),
    tellInPerson: notice.to.tellInPerson.map((who, place) => ({ ...who, told: inPerson[place] ?? null })),
  }
}
