/** The faults of what was sent, each with where, what came, what would be right. */
import type * as z from 'zod'
import type { Fault } from '../../shared-domain/fault.ts'
import { cutText } from './echo.ts'

/**
 * The most faults that one answer tells. More are of no use to whoever reads them, and an answer has a largest size.
 */
export const mostFaults = 100

export interface Faulty {
  readonly faults: readonly Fault[]
  /** number of faults beyond these */
  readonly more: number
}

/** The faults of one input, each with where, what came, what would be right. */
export function faultsOf(error: z.ZodError, input: unknown): Faulty {
  const faults: Fault[] = []
  let more = 0
  for (const issue of error.issues) {
    const keys = issue.code === 'unrecognized_keys' ? issue.keys : []
    const paths = issue.code === 'unrecognized_keys' ? keys.map((key) => [...issue.path, key]) : [issue.path]
    const room = mostFaults - faults.length
    for (const path of paths.slice(0, room)) {
      faults.push({ pointer: pointerTo(path), came: valueAt(input, path), expected: expected(issue) })
    }
    more += Math.max(0, paths.length - room)
  }
  return { faults, more }
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
      return issue.message
    case 'unrecognized_keys':
      return 'nothing: this name is not known here'
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

/** The path as a pointer of RFC 6901. A name of megabytes is not sent back whole. */
export function pointerTo(path: readonly PropertyKey[]): string {
  return path.map((step) => `/${cutText(String(step), 100).replaceAll('~', '~0').replaceAll('/', '~1')}`).join('')
}

function valueAt(input: unknown, path: readonly PropertyKey[]): unknown {
  let value: unknown = input
  for (const step of path) {
    if (value === null || typeof value !== 'object' || !Object.hasOwn(value, step)) return null
    value = (value as Record<PropertyKey, unknown>)[step]
  }
  return value
}
