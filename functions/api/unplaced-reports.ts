/**
 * Reports of danger on a number that no stick has: kept as they came, told to the managers, and placed by one of them once it
 * is known which stick is meant. Then the report stands at its own hour, as if it had found its stick at once.
 */
import * as z from 'zod'
import { type Instant, localDateAt } from '../../shared-domain/calendar.ts'
import { owedForUnplaced, reportedIn } from '../../shared-domain/notices/owed.ts'
import { registerId } from '../../shared-domain/registers.ts'
import { unknown as unknownState } from '../../shared-domain/state/state.ts'
import { shownText } from '../../shared-domain/text.ts'
import { invalid, notFound, Refused, refused } from '../ground/errors.ts'
import { managers } from '../questions/identity.ts'
import { standingToday } from '../questions/standing-today.ts'
import type { Entry } from '../recording/entry.ts'
import { type FactDoorName, factDoors } from '../recording/fact-kinds.ts'
import { record } from '../recording/record.ts'
import { noticeWrite } from '../store/notices.ts'
import type { Organisation } from '../store/organisation.ts'
import { bodyHash, mostInOneTransaction } from '../store/sticks.ts'
import { readAs, readOne, type Write } from '../store/table.ts'
import { list, stepAnswer, unplacedReport } from './answer-schemas.ts'
import { cut, listCursor } from './cut.ts'
import type { Answer } from './problem.ts'
import { type Request, type Route, route } from './request.ts'
import { stickView } from './stick-view.ts'

interface Unplaced {
  readonly factId: string
  readonly number: string
  readonly door: FactDoorName
  readonly body: object
  readonly bodyHash: string
  readonly recordedAt: Instant
  readonly recordedBy: string
  readonly placed: { readonly stickId: string; readonly by: string; readonly at: Instant } | null
}

const longestNumber = 120

/** Answers 202: nobody can say yet which stick must not be used. */
export async function keepUnplaced(request: Request<never>, door: FactDoorName, entry: Entry): Promise<Answer> {
  const { organisation, caller, now, id, body } = request
  // of a number of which nothing can be shown the report is all there is
  const number = shownText(id).text.trim().slice(0, longestNumber) || '?'
  const hash = bodyHash(entry.kind, number, body)
  const known = await organisation.sticks.guard(entry.factId)
  const answer = {
    status: 202,
    body: {
      factId: entry.factId,
      number,
      recorded: true,
      told: 'No stick has this number. The managers are told, and find out which stick is meant. Do not use it.',
      ...(entry.remarks?.length ? { remarks: entry.remarks } : {}),
    },
  }
  if (known !== undefined) {
    if (known.bodyHash === hash) return answer
    throw refused({ code: 'fact-id-used', text: `The factId ${entry.factId} already stands for another fact.` })
  }
  const { table, keys, name } = organisation
  const kept: Unplaced = {
    factId: entry.factId,
    number,
    door,
    body,
    bodyHash: hash,
    recordedAt: now,
    recordedBy: caller.personId,
    placed: null,
  }
  const guard = { ...keys.guard(entry.factId), entity: 'guard', bodyHash: hash }
  const notices = await noticesOf(request, entry, number)
  const { done } = await table.transact([
    table.putNew({ ...keys.unplacedReport(entry.factId), entity: 'unplaced report', ...kept }),
    table.putNew(guard),
    ...notices.slice(0, mostInOneTransaction - 2).map((owed) => noticeWrite(table, keys, name, owed, now)),
  ])
  // somebody sent the same at the same moment: what stands now is looked at
  return done ? answer : keepUnplaced(request, door, entry)
}

async function noticesOf({ organisation, caller, now }: Request<never>, entry: Entry, unknownNumber: string) {
  const day = localDateAt(now, await organisation.zoneAt(null))
  const people = await organisation.registers.allInForce('person', day)
  const reporter = (await organisation.registers.inForce('person', caller.personId, day))?.body.name
  const happening = await entry.happening({ state: unknownState, today: day })
  const { on, at, note, ...what } = reportedIn(happening)
  const said = { ...what, on, ...(at === undefined ? {} : { at }), ...(note ? { note } : {}) }
  const report = { ...said, reportedBy: reporter ?? caller.personId, unknownNumber }
  return owedForUnplaced(report, entry.factId, people, day)
}

export const unplacedReportRoutes: Route[] = [
  route({
    method: 'GET',
    path: '/v1/unplaced-reports',
    summary: 'Reports of danger on numbers that no stick has, those still to be placed first',
    allowed: managers,
    query: z.strictObject({ cursor: listCursor.optional() }),
    answer: list(unplacedReport),
    handle: async ({ organisation, query }) => {
      const reports = await unplacedOf(organisation)
      return { status: 200, body: cut(reports, orderOf, shown, query.cursor) }
    },
  }),
  route({
    method: 'POST',
    path: '/v1/unplaced-reports/:factId/place',
    summary: 'Say which stick a report was about: it stands at its own hour then',
    allowed: managers,
    body: z.strictObject({ stickId: registerId }),
    answer: stepAnswer,
    handle: place,
  }),
]

async function unplacedOf({ table, keys }: Organisation): Promise<Unplaced[]> {
  const items = readAs<Unplaced>(await table.all({ partition: ['pk', keys.unplacedReports()], consistent: true }))
  return items.sort((a, b) => (orderOf(a) < orderOf(b) ? -1 : 1))
}

const orderOf = ({ placed, recordedAt, factId }: Unplaced) => [placed === null ? 0 : 1, recordedAt, factId].join('#')

function shown({ factId, number, door, body, recordedAt, recordedBy, placed }: Unplaced) {
  return { factId, number, what: door, body, recordedAt, recordedBy, placed }
}

/** Of two who place it at once one is first; the other is answered by what stands then. */
async function place(request: Request<{ stickId: string }>): Promise<Answer> {
  try {
    return await placeNow(request)
  } catch (error) {
    if (!(error instanceof Refused) || error.refusal.kind !== 'try again') throw error
    return placeNow(request)
  }
}

async function placeNow(request: Request<{ stickId: string }>): Promise<Answer> {
  const { organisation, caller, now, body } = request
  const { table, keys } = organisation
  const factId = request.factId.toLowerCase()
  const item = await table.get(keys.unplacedReport(factId))
  if (item === undefined) throw notFound()
  const kept = readOne<Unplaced>(item)
  if (kept.placed !== null && kept.placed.stickId !== body.stickId) {
    throw refused({ code: 'placed-already', text: `This report was placed with stick ${kept.placed.stickId}.` })
  }
  const present = await organisation.sticks.stored(body.stickId)
  if (present === undefined)
    throw invalid({ pointer: '/stickId', came: body.stickId, expected: 'a stick on the register' })
  if (kept.placed !== null) {
    const today = localDateAt(now, await organisation.zoneAt(present.depotId))
    const standing = await standingToday(organisation, present, now)
    return { status: 200, body: { factId, stick: stickView(present, standing, today) } }
  }
  const asSent = { ...request, id: body.stickId, body: kept.body as never }
  const entry = await factDoors[kept.door].entry(asSent)
  const placed = { stickId: body.stickId, by: caller.personId, at: now }
  const waited = {
    recordedAt: kept.recordedAt,
    recordedBy: kept.recordedBy,
    bodyHash: kept.bodyHash,
    placed: placedWrite(organisation, factId, placed),
  }
  const outcome = await record(asSent, body.stickId, { ...entry, waited })
  return {
    status: 201,
    body: {
      factId,
      stick: stickView(outcome.stick, outcome.standing, outcome.today),
      ...(outcome.remarks.length > 0 ? { remarks: outcome.remarks } : {}),
    },
  }
}

function placedWrite({ table, keys }: Organisation, factId: string, placed: object): Write {
  return table.change(keys.unplacedReport(factId), {
    UpdateExpression: 'SET #placed = :placed',
    ConditionExpression: '#placed = :nowhere',
    ExpressionAttributeNames: { '#placed': 'placed' },
    ExpressionAttributeValues: { ':placed': placed, ':nowhere': null },
  })
}
