/** Tests from before the service was used are to count for the due dates of their sticks: this takes two people. */
import * as z from 'zod'
import { factId, registerId } from '../../shared-domain/identifiers.ts'
import { line } from '../../shared-domain/text.ts'
import { proposedView } from './proposals.ts'
import { recording } from './recording.ts'
import { type Request, type Route, route } from './request.ts'

const mostSticks = 100

const counting = z.lazy(() =>
  z.strictObject({ factId, stickIds: z.array(registerId).min(1).max(mostSticks), reason: line(400) }),
)
type Counting = z.output<typeof counting>

export const pastTestRoutes: Route[] = [
  route({
    method: 'POST',
    path: '/v1/past-tests/counts',
    summary:
      'Have the last tests from before of these sticks count for their due dates, though nobody has their readings. ' +
      'It waits for a second person who had no hand in them; its id is that of the proposal',
    action: 'count a test from before',
    body: counting,
    answer: 'proposal decided',
    handle: async (request: Request<Counting>) => ({
      status: 202,
      body: await proposedView(await (await recording()).proposeCounting(request, request.body)),
    }),
  }),
]
