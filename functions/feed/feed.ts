/** A crew's due dates for a calendar that comes by itself and cannot sign in: read only, opened by the secret in its address. */
import { Hono } from 'hono'
import type { Instant } from '../../shared-domain/calendar.ts'
import { type CalendarEntry, calendarEntry, revisionOf } from '../../shared-domain/notices/calendar-entry.ts'
import { stickLine } from '../../shared-domain/notices/owed.ts'
import { safetyWords } from '../../shared-domain/safety-words.ts'
import type { Clock } from '../ground/clock.ts'
import { Refused } from '../ground/errors.ts'
import { describe, log } from '../ground/log.ts'
import type { Caller } from '../questions/identity.ts'
import { type RosterRow, readRoster } from '../questions/roster.ts'
import { feedBehind, feedsOf } from '../store/feeds.ts'
import { type Organisation, openOrganisation } from '../store/organisation.ts'
import type { Table } from '../store/table.ts'
import { calendarFileName, calendarText } from '../web/calendar-file.ts'
import { behindASecret } from '../web/web-page.ts'

export interface FeedParts {
  readonly table: Table
  readonly clock: Clock
  /** the address that notices come from */
  readonly from: string
}

/** What a function may answer at once is 6 MB, and an entry takes less than 2 KB; no crew carries so many. */
const mostSticks = 2000

export function buildFeed(parts: FeedParts): Hono {
  const app = new Hono()
  app.get('/feeds/:file', (context) => answer(parts, context.req.param('file')))
  app.notFound(() => problem(404, 'Nothing of this name exists'))
  return app
}

async function answer(parts: FeedParts, file: string): Promise<Response> {
  try {
    const text = await fileFor(parts, file)
    return text === undefined ? problem(404, 'Nothing of this name exists') : calendar(text)
  } catch (error) {
    if (error instanceof Refused && error.refusal.kind === 'not found')
      return problem(404, 'Nothing of this name exists')
    log('error', 'feed failed', { trouble: describe(error) })
    return problem(500, 'Something failed on our side')
  }
}

/** What never was, what was tampered with and what is revoked are answered alike; the log alone tells them apart. */
async function fileFor({ table, clock, from }: FeedParts, file: string): Promise<string | undefined> {
  const [, secret = ''] = /^([\w-]+)\.ics$/.exec(file) ?? []
  const pointer = await feedBehind(table, secret)
  if (pointer === undefined) {
    log('info', 'feed asked for by an address that never was one')
    return undefined
  }
  const { crewId, feedId } = pointer
  const organisation = openOrganisation(table, pointer.organisation)
  const feed = await feedsOf(organisation.table, organisation.keys, organisation.name).one(crewId, feedId)
  if (feed === undefined || feed.revokedAt !== null) {
    log('info', 'feed asked for that is revoked', { feedId })
    return undefined
  }
  const now = clock()
  const [crew, entries] = await Promise.all([
    organisation.registers.head('crew', crewId),
    entriesOf(organisation, crewId, now),
  ])
  const name = `Sticks of ${crew?.newest.body.name ?? crewId}`
  return calendarText({ organisation: organisation.name, name, safety: safetyWords, from, writtenAt: now, entries })
}

/** A stick that must not be used is left out: a calendar that follows a feed drops what is no longer in it. */
async function entriesOf(organisation: Organisation, crewId: string, now: Instant): Promise<CalendarEntry[]> {
  const crew: Caller = { personId: 'feed', role: 'crew', depots: [], crewId }
  const { rows, more } = await readRoster(organisation, crew, now, { after: '', limit: mostSticks })
  if (more) log('error', 'a feed does not hold all sticks of its crew', { crewId, after: rows.at(-1)?.place })
  const entries = await Promise.all(rows.map((row) => entryOf(organisation, row)))
  return entries.flatMap((entry) => (entry === null || entry.calledOff ? [] : [entry]))
}

async function entryOf({ registers, rulesOn }: Organisation, { stored, standing, today }: RosterRow) {
  const { stickId, state, depotId } = stored
  const [rules, depot] = await Promise.all([
    rulesOn(today),
    depotId === null ? undefined : registers.head('depot', depotId),
  ])
  const belonging = {
    stickId,
    crewId: state.crewId,
    crewName: null,
    depotName: depot?.newest.body.name ?? null,
    revision: revisionOf(state, rules, today),
  }
  return calendarEntry(stickLine(belonging, standing, today), today)
}

function calendar(text: string): Response {
  const headers = {
    ...behindASecret,
    'content-type': 'text/calendar; charset=utf-8; method=PUBLISH',
    'content-disposition': `inline; filename="${calendarFileName}"`,
  }
  return new Response(text, { headers })
}

function problem(status: number, title: string): Response {
  const headers = { ...behindASecret, 'content-type': 'application/problem+json' }
  return new Response(JSON.stringify({ type: 'about:blank', title, status }), { status, headers })
}
