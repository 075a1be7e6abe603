/** Who records, where, and when: all that recording takes of a request, which is what a question takes of it. */
import type { Asker } from '../questions/asker.ts'

export type Actor = Asker

/** One who sends a body. */
export interface Sending<Body> extends Actor {
  readonly body: Body
}
