/** Every register but those of sticks and policies: put an edition of an entry, look one up, list them. */
import * as z from 'zod'
import type { CalendarDate } from '../../shared-domain/calendar.ts'
import { calendarDate } from '../../shared-domain/date-fields.ts'
import {
  crew,
  demonstration,
  depot,
  instrument,
  organisation,
  type Person,
  person,
  procedure,
} from '../../shared-domain/registers.ts'
import { notFound } from '../ground/errors.ts'
import { checkMayEdit, type Editing } from '../questions/edit-rights.ts'
import { entriesFor, entryFor, toEnter, toRead } from '../questions/registers.ts'
import { isReferring, referencesOf } from '../recording/references.ts'
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
  { kind: 'demonstration', path: 'demonstrations', schema: demonstration },
  { kind: 'organisation', path: 'organisations', schema: organisation },
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
      ...(isReferring(register.kind) ? { references: referencesOf(register.kind) } : {}),
      first: (request) => checkMayPut(register.kind, request),
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

/** The only organisation that a caller can put is their own. */
async function checkMayPut(kind: RegisterKind, request: Request<unknown>): Promise<void> {
  if (kind === 'organisation' && request.id !== request.organisation.name)
    throw notFound({ is: 'none: organisation', organisation: request.id })
  await checkMayEdit(kind, request)
}

async function put<K extends RegisterKind>(kind: K, request: Request<Bodies[K]>) {
  await checkMayPut(kind, request)
  if (kind !== 'person') return putEdition(kind, request)
  // the kind decides the body's type
  return putEdition(kind, request, () => checkPerson(request as Editing as Editing<Person>))
}

async function getOne(kind: RegisterKind, request: Request) {
  const { id, query } = request
  const entry = await entryFor(request, { kind, id, on: query.on as CalendarDate | undefined }) // parsed by `onADay`
  return { status: 200, body: await entryView(kind, id, entry) }
}

async function getAll(kind: RegisterKind, request: Request) {
  const { entries, next } = await entriesFor(request, { kind, ...pageAsked(request.query, isNumber) })
  const items = await Promise.all(entries.map((entry) => entryView(kind, entry.id, entry)))
  return { status: 200, body: { items, next: cursorTo(next) } }
}
