/** Why something that was asked for is not done, as data: doors and pages say it in their reader's words. */
import type { Fault, Refusing } from './fault.ts'
import type { Objection } from './state/refusal.ts'

/** What is malformed may be said in the English of the library that read it. */
export type Refusal =
  | { readonly kind: 'malformed'; readonly says: Refusing<'malformed'> | string }
  | { readonly kind: 'invalid'; readonly faults: readonly Fault[]; readonly more?: number }
  | { readonly kind: 'refused'; readonly reasons: readonly Objection[] }
  | { readonly kind: 'not signed in'; readonly says: Refusing<'not signed in'> }
  | { readonly kind: 'not allowed'; readonly says: Refusing<'not allowed'> }
  | { readonly kind: 'not found'; readonly says: Refusing<'none'> }
  | { readonly kind: 'too large'; readonly says: Refusing<'too large'> }
  | { readonly kind: 'try again' }
  /** the share of whoever asks is used up for so many seconds */
  | { readonly kind: 'too many'; readonly seconds: number }
