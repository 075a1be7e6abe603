/**
 * The actor: who records, in which organisation, and when. Recording takes no more of a request than that, as a
 * question does.
 */
import type { Asker } from '../questions/asker.ts'

export interface Actor extends Asker {
  /** the import whose rows are recorded: its digest tells of the sticks that must not be used any more */
  readonly importing?: string
}

/** An actor who sends a body. */
export interface Sending<Body> extends Actor {
  readonly body: Body
}
