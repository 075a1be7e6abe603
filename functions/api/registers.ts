/** Depots, crews, people, instruments and procedures: put an edition, look one up, list them. */
import * as z from 'zod'
import type { CalendarDate } from '../../shared-domain/calendar.ts'
import { calendarDate } from '../../shared-domain/date-fields.ts'
import { crew, depot, instrument, type Person, person, procedure } from '../../shared-domain/registers.ts'
import { entriesFor, entryFor, toRead } from '../questions/registers.ts'
import { checkMayEdit, type Editing, toEnter } from '../recording/edit-rights.ts'
import { referencesOf } from '../recording/references.ts'
import type { RegisterKind } from '../store/keys.ts'
import type { Bodies } from '../store/registers.ts'
import { cursorTo, pageAsked, pageQuery } from './paging.ts'
import { checkPerson } from './person-edition.ts'
import { putEdition } from './put-edition.ts'
import { entryView, isNumber } from './register-view.ts'
import { type Request, type Route, route } from './request.ts'

const registers = [
  { kind: 'depot', path: 'depots', schema: depot },
  { kind: 'crew', path: 'crews', schema: crew },
  { kind: 'person', path: 'people', schema: person },
  { kind: 'instrument', path: 'instruments', schema: instrument },
  { kind: 'procedure', path: 'procedures', schema: procedure },
] as const satisfies readonly { kind: RegisterKind; path: string; schema: z.ZodType }[]

const onADay = z.lazy(() => z.strictObject({ on: calendarDate.optional() }))

export const registerRoutes: Route[] = [
  ...registers.flatMap((register): Route[] => [
    route({
      method: 'PUT',
      path: `/v1/${register.path}/:id`,
      summary: `Add an edition of this ${register.kind}`,
      action: toEnter[register.kind],
      body: register.schema as z.ZodType<Bodies[typeof register.kind]>,
      ...(register.kind === 'crew' ? { references: referencesOf('crew') } : {}),
      first: (request) => checkMayEdit(register.kind, request),
      answer: 'register',
      mayLoosen: true,
      handle: (request) => put(register.kind, request),
    }),
    route({
      method: 'GET',
      path: `/v1/${register.path}/:id`,
      summary: `This ${register.kind} as it is today, or on \`?on=DATE\``,
      action: toRead[register.kind],
      query: onADay,
      answer: 'register',
      handle: (request) => getOne(register.kind, request),
    }),
    route({
      method: 'GET',
      path: `/v1/${register.path}`,
      summary: `The register of ${register.path}`,
      action: toRead[register.kind],
      query: pageQuery,
      answer: 'list of register',
      handle: (request) => getAll(register.kind, request),
    }),
  ]),
]

async function put<K extends RegisterKind>(kind: K, request: Request<Bodies[K]>) {
  await checkMayEdit(kind, request)
  if (kind === 'person') await checkPerson(request as Editing as Editing<Person>) // the kind decides the body's type
  return putEdition(kind, request)
}

async function getOne(kind: RegisterKind, request: Request) {
  const { id, query } = request
  const entry = await entryFor(request, { kind, id, on: query.on as CalendarDate | undefined }) // parsed by `onADay`
  return { status: 200, body: entryView(kind, id, entry) }
}

async function getAll(kind: RegisterKind, request: Request) {
  const { entries, next } = await entriesFor(request, { kind, ...pageAsked(request.query, isNumber) })
  return {
    status: 200,
    body: { items: entries.map((entry) => entryView(kind, entry.id, entry)), next: cursorTo(next) },
  }
}
