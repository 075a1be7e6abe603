/** What every handler is given, and the form of a route. */
import type * as z from 'zod'
import type { Fault } from '../../shared-domain/fault.ts'
import type { Action } from '../../shared-domain/rights.ts'
import type { Sending } from '../recording/actor.ts'
import type { Organisation } from '../store/organisation.ts'
import type { AnswerName } from './answer-schemas.ts'
import type { Answer } from './problem.ts'

export interface Request<Body = unknown> extends Sending<Body> {
  /** path parameters; empty where the path has none */
  readonly id: string
  readonly factId: string
  readonly feedId: string
  readonly query: { readonly [name: string]: string | undefined }
  /** where calendars fetch feeds */
  readonly feedsUrl: string
}

export interface Route<Body = never> {
  readonly method: 'GET' | 'PUT' | 'POST'
  readonly path: string
  readonly summary: string
  /** what whoever comes here must have a right to; to whose, the question or the recording behind it asks */
  readonly action: Action
  readonly query?: z.ZodType
  readonly body?: z.ZodType<Body>
  /** what comes in here may report danger: taken on any number, and however it is written; lost letters are read as U+FFFD */
  readonly danger?: true
  /**
   * Refuses who may not do this whatever they sent; `body` has not been checked. Asked where what was sent has faults, and
   * by the handler itself where it has none.
   */
  readonly first?: (request: Request) => Promise<unknown>
  /** what the body names of the registers and nobody entered; told with the faults of the body, which has not been checked */
  readonly references?: (organisation: Organisation, body: unknown) => Promise<Fault[]>
  readonly answer: AnswerName
  /** where the edit would loosen it waits for a second person, and 202 says so */
  readonly mayLoosen?: true
  readonly handle: (request: Request<Body>) => Promise<Answer>
}

/** Keeps the body's type inside one route while the table holds them all. */
export function route<Body>(one: Route<Body>): Route {
  return one as unknown as Route // the router parses the body by this very route's schema before it calls the handler
}
