/** Somebody in charge has the readers of sticks written to now. */
import * as z from 'zod'
import { factId, registerId } from '../../shared-domain/identifiers.ts'
import { note } from '../../shared-domain/text.ts'
import { refused } from '../ground/errors.ts'
import { shownReason } from './english.ts'
import { type Request, type Route, route } from './request.ts'

const mostSticks = 100
/** the house's own figure: a remark in a mail that is read on a telephone */
const mostLetters = 1000

const reminding = z.lazy(() =>
  z.strictObject({
    factId,
    stickIds: z.array(registerId).min(1).max(mostSticks),
    note: note.max(mostLetters).optional(),
  }),
)
type Reminding = z.output<typeof reminding>

export const reminderRoutes: Route[] = [
  route({
    method: 'POST',
    path: '/v1/reminders',
    summary:
      'Have the readers of these sticks written to now, whatever the days on which they are told anyway: one mail each',
    action: 'remind of a stick',
    body: reminding,
    answer: 'reminder',
    handle: remind,
  }),
]

/** Where nobody is to be written to, nothing is recorded, and the reasons are told. */
async function remind(request: Request<Reminding>) {
  // few ask for a reminder: what tells of sticks is loaded with the first who does
  const reminders = await import('../telling/reminders.ts')
  const outcome = await reminders.remind(request, request.body)
  if (!('reminder' in outcome)) throw refused(...outcome.leftOut.map(({ reason }) => reason))
  const { reminder, notices, news } = outcome
  const { factId: id, by, at, note: said, stickIds, leftOut } = reminder
  return {
    status: news ? 201 : 200,
    body: {
      factId: id,
      by,
      at,
      ...(said === undefined ? {} : { note: said }),
      stickIds,
      notices: notices.map(({ number, to, lines }) => ({
        number,
        to: { name: to.name, email: to.email, role: to.role },
        stickIds: lines.map(({ stickId }) => stickId),
        tellInPerson: to.tellInPerson,
      })),
      leftOut: leftOut.map(({ stickId, reason }) => ({ stickId, reason: shownReason(reason) })),
    },
  }
}
