/** Answers that are no success: problem details after RFC 9457. */
import { contract } from './contract.ts'

export interface Answer {
  readonly status: number
  readonly body: unknown
  readonly contentType?: string
  readonly headers?: Readonly<Record<string, string>>
}

export const problemType = 'application/problem+json'

export function unexpected(): Answer {
  return problemOf(500, 'Something failed on our side', {
    detail: 'Nothing of this request is confirmed. Send the same request again.',
  })
}

/** Nobody knows whether it was written: a request under its own id can be sent again. */
export function outOfReach(): Answer {
  const detail = 'The records do not answer. Nothing of this request is confirmed. Send the same request again.'
  return { ...problemOf(503, 'The records are out of reach', { detail }), headers: { 'retry-after': '5' } }
}

export function noSuchAddress(): Answer {
  return problemOf(404, 'There is no such address', { detail: `No route has this path: ${contract} lists them all.` })
}

export function notDoneHere(allow: string): Answer {
  return { ...problemOf(405, 'This is not done at this address', { detail: `Here: ${allow}.` }), headers: { allow } }
}

export function problemOf(status: number, title: string, more: Record<string, unknown> = {}): Answer {
  return { status, contentType: problemType, body: { type: 'about:blank', title, status, ...more } }
}
