/**
 * The actor: who records, in which organisation, and when. Recording takes no more of a request than that, as a
 * question does.
 */
import type { Asker } from '../questions/asker.ts'

export type Actor = Asker

/** An actor who sends a body. */
export interface Sending<Body> extends Actor {
  readonly body: Body
}
