/** The request that every handler is given, and the form of a route. */
import type * as z from 'zod'
import type { Instant } from '../../shared-domain/calendar.ts'
import type { Fault } from '../../shared-domain/fault.ts'
import type { Action } from '../../shared-domain/rights.ts'
import type { Asker } from '../questions/asker.ts'
import type { Directory } from '../questions/directory.ts'
import type { PaperToDraw } from '../questions/papers.ts'
import type { Proved } from '../questions/proof.ts'
import type { Actor, Sending } from '../recording/actor.ts'
import type { Organisation } from '../store/organisation.ts'
import type { Uploads } from '../store/uploads.ts'
import type { AnswerName } from './answer-schemas.ts'
import type { Shares } from './fair-shares.ts'
import type { Answer } from './problem.ts'

/** Whoever asks or records, at a door that knows where calendars fetch feeds. */
export interface Recorder extends Actor {
  /** address at which calendars fetch feeds */
  readonly feedsUrl: string
  /** when the request came, by the gateway's clock, which judges sessions and tokens */
  readonly arrivedAt: Instant
  /** the folder of a stick's proof; the page of the stick hands it out itself */
  readonly proofFile?: ProofFolder | undefined
  /** draws papers; left out at doors that print none */
  readonly paperFile?: PaperMaker | undefined
  /** where files come to; left out at doors that take none */
  readonly uploads?: (() => Promise<Uploads>) | undefined
  /** left out where nobody else waits for a turn */
  readonly shares?: Shares | undefined
}

export interface MadeFile {
  readonly name: string
  readonly bytes: Uint8Array<ArrayBuffer>
}

export type PaperMaker = (
  asker: Asker,
  drawn: { readonly paper: PaperToDraw; readonly directory: Directory; readonly codePath: string | undefined },
) => Promise<MadeFile>

/** Packs what proves a stick's records into one file. */
export type ProofFolder = (
  asker: Asker,
  drawn: { readonly proved: Proved; readonly directory: Directory },
) => Promise<MadeFile>

export interface Request<Body = unknown> extends Sending<Body>, Recorder {
  /** path parameters; empty where the path has none */
  readonly id: string
  readonly factId: string
  readonly feedId: string
  readonly query: { readonly [name: string]: string | undefined }
}

export interface Route<Body = never> {
  readonly method: 'GET' | 'PUT' | 'POST'
  readonly path: string
  readonly summary: string
  /** right that every caller needs here; the question or the recording behind the route asks whose things it reaches */
  readonly action: Action
  readonly query?: z.ZodType
  readonly body?: z.ZodType<Body>
  /** the body is a file, and no JSON */
  readonly bytes?: true
  /**
   * bodies here may report danger: taken on any number, and however they are written; lost letters are read as U+FFFD
   */
  readonly danger?: true
  /**
   * Refusal of callers who may not do this whatever they sent; `body` has not been checked. The route is asked for it
   * where what was sent has faults. Where nothing has, the handler itself refuses them.
   */
  readonly first?: (request: Request) => Promise<unknown>
  /**
   * names in the body that nobody entered on a register; told with the faults of the body, which has not been checked
   */
  readonly references?: (organisation: Organisation, body: unknown) => Promise<Fault[]>
  readonly answer: AnswerName
  /** edits here may loosen: such an edit waits for a second person, and 202 says so */
  readonly mayLoosen?: true
  readonly handle: (request: Request<Body>) => Promise<Answer>
}

/** A route as the table of all holds it: the type of its body stays inside it. */
export function route<Body>(one: Route<Body>): Route {
  return one as unknown as Route // the router parses the body by this very route's schema before it calls the handler
}
