/** The record that somebody without e-mail was told face to face. */
import * as z from 'zod'
import { daysBetween } from '../../shared-domain/calendar.ts'
import { calendarDate } from '../../shared-domain/date-fields.ts'
import { type Expected, either } from '../../shared-domain/fault.ts'
import { line } from '../../shared-domain/text.ts'
import { invalid } from '../ground/errors.ts'
import type { Asker } from '../questions/asker.ts'
import { entryOf, noticeFor } from '../questions/notices.ts'
import { todayAt } from '../questions/today.ts'
import { noticeView } from './notices.ts'
import { type Request, type Route, route } from './request.ts'

type Notice = Awaited<ReturnType<typeof noticeFor>>

const telling = z.lazy(() =>
  z.strictObject({ name: line(120), phone: line(40).optional(), toldOn: calendarDate.optional() }),
)
type Telling = z.output<typeof telling>

export const toldInPersonRoutes: Route[] = [
  route({
    method: 'POST',
    path: '/v1/notices/:id/told',
    summary: 'Record that somebody without e-mail, whom the notice asks to tell, was told face to face',
    action: 'record a telling',
    body: telling,
    first: (request) => noticeFor(request, request.id),
    answer: 'notice',
    handle: tell,
  }),
]

async function tell(request: Request<Telling>) {
  const notice = await noticeFor(request, request.id)
  const { organisation, caller, body, now } = request
  const place = placeOf(notice.to.tellInPerson, body)
  const today = await todayOf(request, notice)
  const toldOn = body.toldOn ?? today
  if (toldOn < notice.day || toldOn > today) {
    const expected = { is: 'right: told between', first: notice.day, last: today } as const
    throw invalid({ pointer: '/toldOn', came: body.toldOn, expected })
  }
  const told = { name: body.name, toldOn, by: caller.personId, recordedAt: now }
  const isNew = await organisation.notices.keepToldInPerson(notice, place, told)
  return { status: isNew ? 201 : 200, body: noticeView(await entryOf(request, notice)) }
}

/** The telephone tells which of two people with one name was told. */
function placeOf(errand: Notice['to']['tellInPerson'], { name, phone }: Telling): number {
  const namesakes = errand.flatMap((one, place) => (one.name === name ? [{ ...one, place }] : []))
  if (namesakes.length === 0) {
    throw invalid({ pointer: '/name', came: name, expected: expectedNames(errand.map((one) => one.name)) })
  }
  const [meant, ...others] = phone === undefined ? namesakes : namesakes.filter((one) => one.phone === phone)
  if (meant === undefined || others.length > 0) {
    const phones = either(namesakes.map((one) => one.phone))
    throw invalid({ pointer: '/phone', came: phone ?? null, expected: { is: 'right: telephone', phones } })
  }
  return meant.place
}

function expectedNames(names: readonly string[]): Expected {
  return names.length === 0 ? { is: 'right: nobody' } : { is: 'right: one of', values: names.join(', ') }
}

/**
 * Today at the depot of the crew of the notice's first stick; never before the day on which the notice came to be owed.
 */
async function todayOf(asker: Asker, notice: Notice) {
  const crewId = notice.lines[0]?.crewId
  const crew = crewId == null ? undefined : await asker.organisation.crewNow(crewId, asker.now)
  const { today } = await todayAt(asker, crew?.body.depotId ?? null)
  return daysBetween(notice.day, today) < 0 ? notice.day : today
}
