/** What every handler is given, and the form of a route. */
import type * as z from 'zod'
import type { Instant } from '../../shared-domain/calendar.ts'
import type { Role } from '../../shared-domain/words.ts'
import type { Caller } from '../platform/identity.ts'
import type { Organisation } from '../platform/organisation.ts'
import type { Answer } from './problem.ts'

export interface Request<Body = unknown> {
  readonly organisation: Organisation
  readonly caller: Caller
  readonly now: Instant
  /** path parameters; empty where the path has none */
  readonly id: string
  readonly factId: string
  readonly feedId: string
  readonly query: { readonly [name: string]: string | undefined }
  /** where calendars fetch feeds */
  readonly feedsUrl: string
  /** parsed by the route's schema */
  readonly body: Body
}

export interface Route<Body = never> {
  readonly method: 'GET' | 'PUT' | 'POST'
  readonly path: string
  readonly summary: string
  readonly allowed: readonly Role[]
  /** what comes in here may report danger: taken however it is written, and on any number */
  readonly danger?: true
  readonly query?: z.ZodType
  readonly body?: z.ZodType<Body>
  readonly answer: z.ZodType
  readonly handle: (request: Request<Body>) => Promise<Answer>
}

export const everybody: readonly Role[] = ['crew', 'bench', 'manager', 'owner']
export const benchAndAbove: readonly Role[] = ['bench', 'manager', 'owner']
export const managers: readonly Role[] = ['manager', 'owner']

/** Keeps the body's type inside one route while the table holds them all. */
export function route<Body>(one: Route<Body>): Route {
  return one as unknown as Route // the router parses the body by this very route's schema before it calls the handler
}
