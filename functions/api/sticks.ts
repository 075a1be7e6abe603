/** A stick's registration, the lesser facts about it, and what is known of it on a date. */
import { randomUUID } from 'node:crypto'
import * as z from 'zod'
import { type CalendarDate, calendarDate, localDateAt } from '../../shared-domain/calendar.ts'
import type { RecordedFact } from '../../shared-domain/facts.ts'
import { registerId, type Stick, stick } from '../../shared-domain/registers.ts'
import { inOrder, replay } from '../../shared-domain/state/fold.ts'
import { asJudgedNow } from '../../shared-domain/state/judged-again.ts'
import { standingOn } from '../../shared-domain/state/standing.ts'
import { registrationOn } from '../../shared-domain/state/state.ts'
import { invalid, notAllowed, notFound, Refused } from '../ground/errors.ts'
import { everybody, managers, maySee } from '../questions/identity.ts'
import type { Entry } from '../recording/entry.ts'
import { type FactDoorName, factDoors } from '../recording/fact-kinds.ts'
import { type Outcome, record } from '../recording/record.ts'
import { fieldsOf, isReferring, referencesOf } from '../recording/references.ts'
import { canonical } from '../store/registers.ts'
import type { StoredStick } from '../store/sticks.ts'
import { factAnswer, list, stepAnswer, stickAnswer } from './answer-schemas.ts'
import { cut, listCursor } from './cut.ts'
import type { Answer } from './problem.ts'
import { type Request, type Route, route } from './request.ts'
import { stickView } from './stick-view.ts'
import { keepUnplaced } from './unplaced-reports.ts'

const asOf = z.strictObject({ on: calendarDate.optional(), asKnownOn: calendarDate.optional() })

/** All but the bench test, whose answer tells its verdict. */
const lesserDoors = (Object.keys(factDoors) as FactDoorName[]).filter((door) => door !== 'bench-tests')

export const stickRoutes: Route[] = [
  route({
    method: 'PUT',
    path: '/v1/sticks/:id',
    summary: 'Register a stick, or add an edition of its entry',
    allowed: managers,
    body: stick,
    first: registering,
    references: referencesOf('stick'),
    answer: stickAnswer,
    handle: register,
  }),
  route({
    method: 'GET',
    path: '/v1/sticks/:id',
    summary:
      'Where it stands today; `?on=DATE` from the facts that occurred by then, `&asKnownOn=DATE` from those recorded by then',
    allowed: everybody,
    query: asOf,
    answer: stickAnswer,
    handle: show,
  }),
  route({
    method: 'GET',
    path: '/v1/sticks/:id/facts',
    summary: 'Its history, in order of time; a long one in parts, to be gone on with by `?cursor=`',
    allowed: everybody,
    query: z.strictObject({ cursor: listCursor.optional() }),
    answer: list(factAnswer),
    handle: history,
  }),
  ...lesserDoors.map((door) =>
    route({
      method: 'POST',
      path: `/v1/sticks/:id/${door}`,
      summary: factDoors[door].summary,
      allowed: factDoors[door].allowed,
      ...('danger' in factDoors[door] && factDoors[door].danger ? { danger: true as const } : {}),
      body: factDoors[door].body as z.ZodType<never>,
      first: (request) => mayReport(request, door),
      ...(isReferring(door) ? { references: referencesOf(door) } : {}),
      answer: stepAnswer,
      handle: (request) => step(request, door),
    }),
  ),
]

/** Word of danger is anybody's to bring, of any number. */
async function mayReport(request: Request<unknown>, door: FactDoorName): Promise<void> {
  const { to, sound } = fieldsOf(request.body)
  const isDanger = door === 'defects' || (door === 'condition-checks' && sound === false)
  if (isDanger || (door === 'moves' && (to === 'missing' || to === 'found'))) return
  await seen(request)
}

/** The stick, if there is one yet, and the crew it is entered for, if this caller may enter it there. */
async function registering({ id, body, organisation, caller }: Request<unknown>) {
  const known = await organisation.sticks.stored(id)
  const crewId = registerId.safeParse(fieldsOf(body).crewId).data
  const crew = crewId === undefined ? undefined : await organisation.registers.head('crew', crewId)
  const depotId = (known === undefined ? crew?.newest.body.depotId : known.depotId) ?? null
  if (!maySee(caller, { crewId: known?.state.crewId ?? crewId ?? null, depotId })) {
    throw notAllowed('This stick belongs to a depot that is not yours.')
  }
  return { known, crew, depotId }
}

async function register(request: Request<Stick>) {
  const { crew, depotId } = await registering(request)
  const { id, body, organisation, now } = request
  if (body.crewId !== undefined && crew === undefined) {
    throw invalid({ pointer: '/crewId', came: body.crewId, expected: 'a crew on the register' })
  }
  const today = localDateAt(now, await organisation.zoneAt(depotId))
  if (body.effectiveFrom !== undefined && body.effectiveFrom > today) {
    throw invalid({
      pointer: '/effectiveFrom',
      came: body.effectiveFrom,
      expected: `a date not after ${today}, today at its depot`,
    })
  }
  const outcome = await record(request, id, {
    factId: randomUUID(),
    occurredOn: body.effectiveFrom ?? today,
    dateField: 'effectiveFrom',
    kind: 'registered',
    body,
    createsStick: { depotId },
    isKnown: (state, day) => canonical(registrationOn(state, day)?.stick) === canonical(body),
    happening: async () => ({ kind: 'registered', stick: body }),
  })
  const status = outcome.news && outcome.fact.seq === 1 ? 201 : 200
  return { status, body: stickView(outcome.stick, outcome.standing, outcome.today) }
}

async function step(request: Request<never>, door: FactDoorName) {
  const entry = await factDoors[door].entry(request)
  if (!entry.danger) return told(entry, await record(request, request.id, entry))
  try {
    return told(entry, await record(request, request.id, entry))
  } catch (error) {
    if (!(error instanceof Refused) || error.refusal.kind !== 'not found') throw error
    return keepUnplaced(request, door, entry)
  }
}

/** Who may not see the stick learns that the report is kept, and nothing of the stick. */
function told({ factId }: Entry, { news, maySee, remarks, stick, standing, today }: Outcome): Answer {
  const said = remarks.length === 0 ? {} : { remarks }
  const shown = maySee ? { stick: stickView(stick, standing, today) } : { stickId: stick.stickId, recorded: true }
  return { status: news ? 201 : 200, body: { factId, ...shown, ...said } }
}

/** The stick, if it exists and this caller may see it. */
export async function seen({ organisation, caller, id }: Request<unknown>): Promise<StoredStick> {
  const known = await organisation.sticks.stored(id)
  if (known === undefined) throw notFound()
  if (!maySee(caller, { crewId: known.state.crewId, depotId: known.depotId })) {
    throw notAllowed('This stick belongs to another crew or depot.')
  }
  return known
}

async function show(request: Request) {
  return { status: 200, body: await present(request, await seen(request)) }
}

async function present({ organisation, query, now }: Request<unknown>, known: StoredStick) {
  const { on, asKnownOn } = query as { on?: CalendarDate; asKnownOn?: CalendarDate }
  const zone = await organisation.zoneAt(known.depotId)
  const day = on ?? asKnownOn ?? localDateAt(now, zone)
  const rules = await organisation.rulesOn(day)
  if (on === undefined && asKnownOn === undefined) return stickView(known, standingOn(known.state, day, rules), day)
  const facts = await organisation.sticks.facts(known.stickId)
  const recorded = facts.filter((fact) => asKnownOn === undefined || localDateAt(fact.recordedAt, zone) <= asKnownOn)
  const [first] = inOrder(recorded.filter((fact) => fact.kind === 'registered'))
  if (first === undefined) throw notFound()
  // a judgement counts from when it is known, and moves no test in time
  const occurred = asJudgedNow(recorded).filter((fact) => fact.occurredOn <= day || fact.factId === first.fact.factId)
  const state = replay(occurred)
  return stickView({ ...known, state }, standingOn(state, day, rules), day)
}

async function history(request: Request) {
  const known = await seen(request)
  const facts = inOrder(await request.organisation.sticks.facts(known.stickId))
  const keyOf = ({ place }: (typeof facts)[number]) =>
    [place.instant, place.rank, String(place.seq).padStart(8, '0')].join('#')
  return { status: 200, body: cut(facts, keyOf, ({ fact }) => shownFact(fact), request.query.cursor) }
}

function shownFact(fact: RecordedFact) {
  const { factId, seq, occurredOn, at, recordedAt, recordedBy, ...happening } = fact
  return { factId, occurredOn, at: at ?? null, recordedAt, recordedBy, seq, ...happening }
}
