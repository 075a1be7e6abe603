/** Who records, where, and when: all that recording takes of a request. */
import type { Instant } from '../../shared-domain/calendar.ts'
import type { Caller } from '../questions/identity.ts'
import type { Organisation } from '../store/organisation.ts'

export interface Actor {
  readonly organisation: Organisation
  readonly caller: Caller
  readonly now: Instant
}

/** One who sends a body. */
export interface Sending<Body> extends Actor {
  readonly body: Body
}
