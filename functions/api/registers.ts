/** Depots, crews, people, instruments and procedures: put an edition, look one up, list them. */
import * as z from 'zod'
import { procedureWarnings } from '../../shared-domain/bench-test/procedure-warnings.ts'
import { type CalendarDate, calendarDate, localDateAt } from '../../shared-domain/calendar.ts'
import {
  calibrationAhead,
  crew,
  depot,
  type Instrument,
  instrument,
  type Procedure,
  person,
  procedure,
} from '../../shared-domain/registers.ts'
import type { Role } from '../../shared-domain/words.ts'
import { invalid, notAllowed, notFound, Refused } from '../ground/errors.ts'
import { benchAndAbove, everybody, managers } from '../questions/identity.ts'
import { fieldsOf, isReferring, referenceFaults, referencesOf } from '../recording/references.ts'
import { checkEntryFits } from '../recording/room.ts'
import type { RegisterKind } from '../store/keys.ts'
import type { Bodies, Edition, Head } from '../store/registers.ts'
import { list, registerAnswer } from './answer-schemas.ts'
import { type Request, type Route, route } from './request.ts'

const registers = [
  { kind: 'depot', path: 'depots', schema: depot, puts: managers, sees: everybody },
  { kind: 'crew', path: 'crews', schema: crew, puts: managers, sees: everybody },
  { kind: 'person', path: 'people', schema: person, puts: managers, sees: managers },
  { kind: 'instrument', path: 'instruments', schema: instrument, puts: benchAndAbove, sees: benchAndAbove },
  { kind: 'procedure', path: 'procedures', schema: procedure, puts: managers, sees: benchAndAbove },
] as const satisfies readonly {
  kind: RegisterKind
  path: string
  schema: z.ZodType
  puts: readonly Role[]
  sees: readonly Role[]
}[]

const onADay = z.strictObject({ on: calendarDate.optional() })

export const registerRoutes: Route[] = [
  ...registers.flatMap((register): Route[] => [
    route({
      method: 'PUT',
      path: `/v1/${register.path}/:id`,
      summary: `Add an edition of this ${register.kind}`,
      allowed: register.puts,
      body: register.schema as z.ZodType<Bodies[typeof register.kind]>,
      ...(register.kind === 'crew' ? { references: referencesOf('crew') } : {}),
      ...(register.kind === 'person' ? { first: checkRank } : {}),
      answer: registerAnswer,
      handle: (request) => putEdition(register.kind, request),
    }),
    route({
      method: 'GET',
      path: `/v1/${register.path}/:id`,
      summary: `This ${register.kind} as it is today, or on \`?on=DATE\``,
      allowed: register.sees,
      query: onADay,
      answer: registerAnswer,
      handle: (request) => getOne(register.kind, request),
    }),
    route({
      method: 'GET',
      path: `/v1/${register.path}`,
      summary: `The register of ${register.path}`,
      allowed: register.sees,
      answer: list(registerAnswer),
      handle: async ({ organisation }) => {
        const heads: Head<unknown>[] = await organisation.registers.heads(register.kind)
        return {
          status: 200,
          body: { items: heads.map((head) => shownAs(register.kind, head.id, head.newest)), next: null },
        }
      },
    }),
  ]),
]

export async function putEdition<K extends RegisterKind>(kind: K, request: Request<Bodies[K]>) {
  const { organisation, body, id } = request
  const today = await todayFor(kind, request)
  if (kind === 'person') await checkRank(request)
  const unknown = isReferring(kind) ? await referenceFaults(organisation, kind, body) : []
  if (unknown.length > 0) throw invalid(...unknown)
  if (kind === 'instrument') await checkCalibration(request as unknown as Request<Instrument>) // the kind decides the body's type
  const entry = {
    body,
    effectiveFrom: body.effectiveFrom ?? today,
    recordedAt: request.now,
    recordedBy: request.caller.personId,
  }
  checkEntryFits(entry)
  for (let tries = 0; tries < 5; tries++) {
    const added = await organisation.registers.add(kind, id, entry)
    if (added === 'lost') continue
    return { status: added.outcome === 'first' ? 201 : 200, body: shownAs(kind, id, added.edition) }
  }
  throw new Refused({ kind: 'try again' })
}

/** Only an owner makes an owner, or changes one. */
async function checkRank({ organisation, caller, id, body }: Request<unknown>): Promise<void> {
  if (caller.role === 'owner') return
  const present = (await organisation.registers.head('person', id))?.newest.body.role
  if (fieldsOf(body).role === 'owner' || present === 'owner')
    throw notAllowed('Only an owner may enter or change an owner.')
}

/** A depot's own zone where there is one; the register's dates are otherwise those of UTC. */
async function todayFor<K extends RegisterKind>(
  kind: K,
  { organisation, body, now }: Request<Bodies[K]>,
): Promise<CalendarDate> {
  if ('timeZone' in body) return localDateAt(now, body.timeZone)
  const depotId = kind === 'crew' && 'depotId' in body ? body.depotId : undefined
  return localDateAt(now, await organisation.zoneAt(depotId ?? null))
}

/** An instrument belongs to no depot: its day has come where it has come to any of them. */
async function checkCalibration({ organisation, body, now }: Request<Instrument>): Promise<void> {
  const zones = (await organisation.registers.heads('depot')).map(({ newest }) => newest.body.timeZone)
  const days = ['UTC', ...zones].map((zone) => localDateAt(now, zone)).sort()
  const faults = calibrationAhead(body, days.at(-1) ?? localDateAt(now, 'UTC'))
  if (faults.length > 0) throw invalid(...faults)
}

async function getOne(kind: RegisterKind, { organisation, id, query, now }: Request) {
  const on = query.on as CalendarDate | undefined
  const edition: Edition<unknown> | undefined = await organisation.registers.inForce(
    kind,
    id,
    on ?? localDateAt(now, 'UTC'),
  )
  if (edition === undefined) throw notFound()
  return { status: 200, body: shownAs(kind, id, edition) }
}

function shownAs(kind: RegisterKind, id: string, edition: Edition<unknown>) {
  if (kind !== 'procedure') return shown(id, edition)
  return { ...shown(id, edition), warnings: procedureWarnings(edition.body as Procedure) } // the kind decides the body's type
}

export function shown(id: string, { edition, effectiveFrom, recordedAt, recordedBy, body }: Edition<unknown>) {
  return { ...(body as object), id, edition, effectiveFrom, recordedAt, recordedBy }
}
