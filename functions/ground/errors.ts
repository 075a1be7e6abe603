/** Errors named for what the caller must do; `functions/requests/problem.ts` alone turns them into answers. */
import type { Fault } from '../../shared-domain/fault.ts'
import type { Objection } from '../../shared-domain/state/refusal.ts'

/** `token`: it is not one of ours, or not for this API. */
export type NotSignedIn = 'token' | 'signed out' | 'ended'

export type Refusal =
  | { readonly kind: 'malformed'; readonly detail: string }
  | { readonly kind: 'invalid'; readonly faults: readonly Fault[]; readonly more?: number }
  | { readonly kind: 'refused'; readonly reasons: readonly Objection[] }
  | { readonly kind: 'not signed in'; readonly why: NotSignedIn; readonly detail: string }
  | { readonly kind: 'not allowed'; readonly detail: string }
  | { readonly kind: 'not found'; readonly what: string }
  | { readonly kind: 'too large'; readonly detail: string }
  | { readonly kind: 'try again' }

export class Refused extends Error {
  readonly refusal: Refusal
  constructor(refusal: Refusal) {
    super(refusal.kind)
    this.refusal = refusal
  }
}

/** `what` goes on after “There is no”: the kind of thing and the name it was asked for by. */
export const notFound = (what: string) => new Refused({ kind: 'not found', what })
export const invalid = (...faults: Fault[]) => new Refused({ kind: 'invalid', faults })
export const refused = (...reasons: Objection[]) => new Refused({ kind: 'refused', reasons })
export const notSignedIn = (why: NotSignedIn, detail: string) => new Refused({ kind: 'not signed in', why, detail })
export const notAllowed = (detail: string) => new Refused({ kind: 'not allowed', detail })
