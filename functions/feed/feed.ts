/**
 * A crew's due dates for a calendar that comes by itself and cannot sign in: read only, opened by the secret in its
 * address.
 */
import { Hono } from 'hono/tiny'
import { calendarEntry } from '../../shared-domain/notices/calendar-entry.ts'
import type { WallClock } from '../ground/clock.ts'
import { isOutOfReach, Refused } from '../ground/errors.ts'
import { describe, log } from '../ground/log.ts'
import { calendarFor } from '../questions/feeds.ts'
import { behindASecret } from '../web/web-page.ts'
import { calendarWordingFor } from './wording.ts'

export interface FeedParts {
  readonly table: Parameters<typeof calendarFor>[0]
  readonly clock: WallClock
  /** the address that notices come from */
  readonly from: string
  /** passed in, so that a test may speak otherwise */
  readonly wordingFor?: typeof calendarWordingFor
}

export function buildFeed(parts: FeedParts): Hono {
  const app = new Hono()
  app.get('/feeds/:file', (context) => answer(parts, context.req.param('file')))
  app.notFound(() => problem(404, 'Nothing of this name exists'))
  return app
}

async function answer(parts: FeedParts, file: string): Promise<Response> {
  try {
    const found = await fileFor(parts, file)
    return found === undefined ? problem(404, 'Nothing of this name exists') : calendar(found)
  } catch (error) {
    if (error instanceof Refused && error.refusal.kind === 'not found')
      return problem(404, 'Nothing of this name exists')
    log('error', 'feed failed', { trouble: describe(error) })
    if (isOutOfReach(error)) return problem(503, 'The records are out of reach')
    return problem(500, 'Something failed on our side')
  }
}

interface File {
  readonly name: string
  readonly text: string
}

async function fileFor(
  { table, clock, from, wordingFor = calendarWordingFor }: FeedParts,
  file: string,
): Promise<File | undefined> {
  const [, secret = ''] = /^([\w-]+)\.ics$/.exec(file) ?? []
  const now = clock()
  const calendar = await calendarFor(table, { secret, now })
  if (calendar === undefined) return undefined
  const { organisation, crewName, lines, reader } = calendar
  const wording = await wordingFor(reader)
  const entries = lines.flatMap(({ line, knownOn }) => calendarEntry(line, knownOn, wording) ?? [])
  // what writes calendars is as long as all else here
  const { calendarFileName, calendarText } = await import('../web/calendar-file.ts')
  const text = calendarText({
    organisation,
    name: wording.say('calendar of crew', { crew: crewName }),
    safety: wording.say('safety'),
    from,
    writtenAt: now,
    entries,
  })
  return { name: calendarFileName, text }
}

function calendar({ name, text }: File): Response {
  const headers = {
    ...behindASecret,
    'content-type': 'text/calendar; charset=utf-8; method=PUBLISH',
    'content-disposition': `inline; filename="${name}"`,
  }
  return new Response(text, { headers })
}

function problem(status: number, title: string): Response {
  const headers = { ...behindASecret, 'content-type': 'application/problem+json' }
  return new Response(JSON.stringify({ type: 'about:blank', title, status }), { status, headers })
}
