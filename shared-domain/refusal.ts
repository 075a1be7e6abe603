/** Why something that was asked for is not done, as data: doors and pages say it in their reader's words. */
import type { Fault, Refusing } from './fault.ts'
import type { Objection } from './state/refusal.ts'

/** A sentence in English where it is no data yet, or is another library's. */
export type Refusal =
  | { readonly kind: 'malformed'; readonly says: Refusing<'malformed'> | string }
  | { readonly kind: 'invalid'; readonly faults: readonly Fault[]; readonly more?: number }
  | { readonly kind: 'refused'; readonly reasons: readonly Objection[] }
  | { readonly kind: 'not signed in'; readonly says: Refusing<'not signed in'> }
  | { readonly kind: 'not allowed'; readonly says: Refusing<'not allowed'> | string }
  | { readonly kind: 'not found'; readonly says: Refusing<'none'> }
  | { readonly kind: 'too large'; readonly says: Refusing<'too large'> }
  | { readonly kind: 'try again' }
