/** Each paper is given this besides what it is about. */
import type { Instant } from '../../../shared-domain/calendar.ts'
import type { PageWording } from '../wording.ts'

export interface Printing {
  readonly wording: PageWording
  readonly organisation: string
  /** the name of the depot that the stick belongs to; null where nobody knows */
  readonly place: string | null
  readonly at: Instant
  /** the address that the code on it leads to; undefined for papers that bear none */
  readonly codeUrl: string | undefined
}
