/** Errors named for what the caller must do; `functions/requests/problem.ts` alone turns them into answers. */
import type { Fault, Refusing } from '../../shared-domain/fault.ts'
import type { Refusal } from '../../shared-domain/refusal.ts'
import type { Objection } from '../../shared-domain/state/refusal.ts'

export type { Refusal } from '../../shared-domain/refusal.ts'

export class Refused extends Error {
  readonly refusal: Refusal
  constructor(refusal: Refusal) {
    super(refusal.kind)
    this.refusal = refusal
  }
}

/** Networks tell by these codes that there was no answer, and clients by this name that none came in time. */
const unanswered = ['ECONNREFUSED', 'ECONNRESET', 'EPIPE', 'ETIMEDOUT', 'ENOTFOUND', 'EAI_AGAIN']

/** Tells whether an error of a client says that the service behind it did not answer. */
export function isOutOfReach(error: unknown): boolean {
  if (!(error instanceof Error)) return false
  const { name, code } = error as Error & { readonly code?: unknown }
  return name === 'TimeoutError' || unanswered.includes(String(code))
}

export const notFound = (says: Refusing<'none'>) => new Refused({ kind: 'not found', says })
export const invalid = (...faults: Fault[]) => new Refused({ kind: 'invalid', faults })
export const refused = (...reasons: Objection[]) => new Refused({ kind: 'refused', reasons })
export const notSignedIn = (says: Refusing<'not signed in'>) => new Refused({ kind: 'not signed in', says })
export const notAllowed = (says: Refusing<'not allowed'>) => new Refused({ kind: 'not allowed', says })
