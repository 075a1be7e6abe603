/** The beginning of every question: who asks, of which organisation, and when. */
import type { Instant } from '../../shared-domain/calendar.ts'
import type { Organisation } from '../store/organisation.ts'
import type { Caller } from './identity.ts'

export interface Asker {
  readonly organisation: Organisation
  readonly caller: Caller
  readonly now: Instant
}
