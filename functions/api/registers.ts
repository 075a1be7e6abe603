/** Depots, crews, people, instruments and procedures: put an edition, look one up, list them. */
import * as z from 'zod'
import type { CalendarDate } from '../../shared-domain/calendar.ts'
import { calendarDate } from '../../shared-domain/date-fields.ts'
import { crew, depot, instrument, person, procedure } from '../../shared-domain/registers.ts'
import type { Action } from '../../shared-domain/rights.ts'
import { entriesFor, entryFor, toRead } from '../questions/registers.ts'
import { referencesOf } from '../recording/references.ts'
import type { RegisterKind } from '../store/keys.ts'
import type { Bodies } from '../store/registers.ts'
import { cursorTo, pageAsked, pageQuery } from './paging.ts'
import { checkRank, putEdition } from './put-edition.ts'
import { entryView, isNumber } from './register-view.ts'
import { type Request, type Route, route } from './request.ts'

const registers = [
  { kind: 'depot', path: 'depots', schema: depot, toEnter: 'enter a depot' },
  { kind: 'crew', path: 'crews', schema: crew, toEnter: 'enter a crew' },
  { kind: 'person', path: 'people', schema: person, toEnter: 'enter a person' },
  { kind: 'instrument', path: 'instruments', schema: instrument, toEnter: 'enter an instrument' },
  { kind: 'procedure', path: 'procedures', schema: procedure, toEnter: 'enter a procedure' },
] as const satisfies readonly { kind: RegisterKind; path: string; schema: z.ZodType; toEnter: Action }[]

const onADay = z.lazy(() => z.strictObject({ on: calendarDate.optional() }))

export const registerRoutes: Route[] = [
  ...registers.flatMap((register): Route[] => [
    route({
      method: 'PUT',
      path: `/v1/${register.path}/:id`,
      summary: `Add an edition of this ${register.kind}`,
      action: register.toEnter,
      body: register.schema as z.ZodType<Bodies[typeof register.kind]>,
      ...(register.kind === 'crew' ? { references: referencesOf('crew') } : {}),
      ...(register.kind === 'person' ? { first: checkRank } : {}),
      answer: 'register',
      mayLoosen: true,
      handle: (request) => putEdition(register.kind, request),
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
