/** The door of a stick's entry. */
import { registerId } from '../../shared-domain/identifiers.ts'
import { type Stick, stick } from '../../shared-domain/registers.ts'
import { may } from '../../shared-domain/rights.ts'
import { invalid, notAllowed } from '../ground/errors.ts'
import { fieldsOf } from '../ground/fields.ts'
import { todayAt } from '../questions/today.ts'
import { referencesOf } from '../recording/references.ts'
import { proposedView } from './proposals.ts'
import { recording } from './recording.ts'
import { type Request, type Route, route } from './request.ts'
import { stickView } from './stick-view.ts'

export const registrationRoutes: Route[] = [
  route({
    method: 'PUT',
    path: '/v1/sticks/:id',
    summary: 'Register a stick, or add an edition of its entry',
    action: 'enter a stick',
    body: stick,
    first: registering,
    references: referencesOf('stick'),
    answer: 'stick',
    mayLoosen: true,
    handle: register,
  }),
]

/**
 * The crew that the stick is entered for, and the depot where it lies. Where the stick goes from one crew to another,
 * the depots of both have to be the caller's.
 */
async function registering({ id, body, organisation, caller, now }: Request<unknown>) {
  const known = await organisation.sticks.stored(id)
  const crewId = registerId.safeParse(fieldsOf(body).crewId).data
  const crew = crewId === undefined ? undefined : await organisation.crewNow(crewId, now)
  const depotId = (known === undefined ? crew?.body.depotId : known.depotId) ?? null
  const goesTo = crewId === known?.state.crewId ? undefined : crew?.body.depotId
  const mayEnter = [depotId, goesTo ?? null].every((depot) =>
    may(caller, 'enter a stick', { crewId: null, depotId: depot }),
  )
  if (!mayEnter) {
    throw notAllowed({ is: 'not allowed: entry of a stick' })
  }
  return { crew, depotId }
}

async function register(request: Request<Stick>) {
  const { crew, depotId } = await registering(request)
  const { id, body } = request
  if (body.crewId !== undefined && crew === undefined) {
    throw invalid({ pointer: '/crewId', came: body.crewId, expected: { is: 'right: crew on the register' } })
  }
  const { today } = await todayAt(request, depotId)
  if (body.effectiveFrom !== undefined && body.effectiveFrom > today) {
    throw invalid({
      pointer: '/effectiveFrom',
      came: body.effectiveFrom,
      expected: { is: 'right: not after, at its depot', last: today },
    })
  }
  const registered = await (await recording()).register(request, { stickId: id, body, depotId, today })
  if (registered.outcome === 'proposed') return { status: 202, body: await proposedView(registered) }
  const { news, fact, stick, standing } = registered
  return { status: news && fact.seq === 1 ? 201 : 200, body: stickView(stick, standing, registered.today) }
}
