/** The one place where a refusal becomes an answer: problem details after RFC 9457. */
import type * as z from 'zod'
import type { Fault } from '../../shared-domain/fault.ts'
import type { Refusal } from '../platform/errors.ts'

export interface Answer {
  readonly status: number
  readonly body: unknown
  readonly contentType?: string
}

export const problemType = 'application/problem+json'

export function problem(refusal: Refusal): Answer {
  switch (refusal.kind) {
    case 'malformed':
      return details(400, 'The body is not JSON', { detail: refusal.detail })
    case 'not allowed':
      return details(403, 'Not allowed', { detail: refusal.detail })
    case 'not found':
      return details(404, 'Nothing of this name exists')
    case 'refused':
      return details(409, 'The rules refuse this step', { reasons: refusal.reasons })
    case 'too large':
      return details(413, 'The body is too large', { detail: refusal.detail })
    case 'invalid':
      return details(422, 'The body has faults', { errors: refusal.faults })
    case 'try again':
      return details(503, 'Others were writing at the same time', {
        detail: 'Nothing was written. Send the same request again.',
      })
  }
}

export function unexpected(): Answer {
  return details(500, 'Something failed on our side', {
    detail: 'Nothing of this request is confirmed. Send the same request again.',
  })
}

function details(status: number, title: string, more: Record<string, unknown> = {}): Answer {
  return { status, contentType: problemType, body: { type: 'about:blank', title, status, ...more } }
}

/** Every fault of one input, each with where, what came, what would be right. */
export function faultsOf(error: z.ZodError, input: unknown): Fault[] {
  return error.issues.flatMap((issue): Fault[] => {
    if (issue.code === 'unrecognized_keys') {
      return issue.keys.map((key) => ({
        pointer: pointerTo([...issue.path, key]),
        came: valueAt(input, [...issue.path, key]),
        expected: 'nothing: this name is not known here',
      }))
    }
    return [{ pointer: pointerTo(issue.path), came: valueAt(input, issue.path), expected: expected(issue) }]
  })
}

function expected(issue: z.core.$ZodIssue): string {
  switch (issue.code) {
    case 'invalid_type':
      return issue.message.startsWith('Invalid input') ? article(issue.expected) : issue.message
    case 'invalid_value':
      return issue.values.length === 1
        ? JSON.stringify(issue.values[0])
        : `one of ${issue.values.map((value) => JSON.stringify(value)).join(', ')}`
    case 'too_small':
      return `${sizeWord(issue.origin)}${issue.inclusive === false ? 'more than' : 'at least'} ${issue.minimum}`
    case 'too_big':
      return `${sizeWord(issue.origin)}${issue.inclusive === false ? 'less than' : 'at most'} ${issue.maximum}`
    case 'invalid_format':
      return issue.format === 'uuid' ? 'a UUID' : issue.message
    case 'invalid_union':
    case 'custom':
    case 'invalid_key':
    case 'invalid_element':
    case 'not_multiple_of':
    case 'unrecognized_keys':
      return issue.message
  }
}

function article(type: string): string {
  if (type === 'int') return 'a whole number'
  if (type === 'boolean') return 'true or false'
  return /^[aeiou]/.test(type) ? `an ${type}` : `a ${type}`
}

function sizeWord(origin: string): string {
  if (origin === 'string') return 'a length of '
  return origin === 'array' ? 'a number of entries of ' : ''
}

/** RFC 6901. */
function pointerTo(path: readonly PropertyKey[]): string {
  return path.map((step) => `/${String(step).replaceAll('~', '~0').replaceAll('/', '~1')}`).join('')
}

function valueAt(input: unknown, path: readonly PropertyKey[]): unknown {
  let value: unknown = input
  for (const step of path) {
    if (value === null || typeof value !== 'object' || !Object.hasOwn(value, step)) return null
    value = (value as Record<PropertyKey, unknown>)[step]
  }
  return brief(value)
}

/** A whole survey is not echoed back. */
function brief(value: unknown): unknown {
  const text = JSON.stringify(value) ?? 'null'
  return text.length > 300 ? `${text.slice(0, 300)}…` : value
}
