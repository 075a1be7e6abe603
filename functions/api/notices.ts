/** What was told to whom, when. */
import * as z from 'zod'
import { calendarDate } from '../../shared-domain/calendar.ts'
import { registerId } from '../../shared-domain/registers.ts'
import { notAllowed, notFound } from '../platform/errors.ts'
import { maySee } from '../platform/identity.ts'
import { type Notice, newestFirst, noticesOfCrew, noticesOfStick } from '../platform/notices.ts'
import { list, noticeAnswer } from './answers.ts'
import { everybody, type Request, type Route, route } from './request.ts'
import { seen } from './sticks.ts'

const noticeStates = ['owed', 'claimed', 'sent', 'not delivered'] as const

const noticeQuery = z.strictObject({
  crew: registerId.optional(),
  stick: registerId.optional(),
  since: calendarDate.optional(),
  state: z.enum(noticeStates).optional(),
})

export const noticeRoutes: Route[] = [
  route({
    method: 'GET',
    path: '/v1/notices',
    summary: 'The notice log of a stick, of a crew, or of every crew; the newest first',
    allowed: everybody,
    query: noticeQuery,
    answer: list(noticeAnswer),
    handle: notices,
  }),
]

async function notices(request: Request) {
  const { query } = request
  const found = (await read(request)).filter((notice) => query.state === undefined || notice.state === query.state)
  return { status: 200, body: { items: found.map(shown), next: null } }
}

async function read(request: Request): Promise<Notice[]> {
  const { query, organisation, caller } = request
  const { table, keys, registers } = organisation
  const since = query.since ?? '0'
  if (query.stick !== undefined) {
    await seen({ ...request, id: query.stick })
    const ofStick = await noticesOfStick(table, keys, query.stick, since)
    return query.crew === undefined
      ? ofStick
      : ofStick.filter((one) => one.lines.some((line) => line.crewId === query.crew))
  }
  if (query.crew !== undefined) {
    const crew = await registers.head('crew', query.crew)
    if (crew === undefined) throw notFound()
    if (!maySee(caller, { crewId: crew.id, depotId: crew.newest.body.depotId }))
      throw notAllowed('This crew is not yours.')
    return noticesOfCrew(table, keys, crew.id, since)
  }
  const crews = (await registers.heads('crew')).filter((crew) =>
    maySee(caller, { crewId: crew.id, depotId: crew.newest.body.depotId }),
  )
  const ids = caller.role === 'crew' ? crews.map((crew) => crew.id) : [...crews.map((crew) => crew.id), null]
  const all = await Promise.all(ids.map((id) => noticesOfCrew(table, keys, id, since)))
  return newestFirst(all.flat())
}

function shown(notice: Notice) {
  return {
    number: notice.number,
    kind: notice.kind,
    to: notice.to,
    day: notice.day,
    owedAt: notice.owedAt,
    state: notice.state,
    sentAt: notice.sentAt ?? null,
    trouble: notice.trouble ?? null,
    sticks: notice.lines.map((line) => line.stickId),
  }
}
