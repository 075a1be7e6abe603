/** The faults of what was sent, each with where, what came, what would be right. */
import type * as z from 'zod'
import { type Expected, expectedBy, type Fault } from '../../shared-domain/fault.ts'
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

function expected(issue: z.core.$ZodIssue): Fault['expected'] {
  switch (issue.code) {
    case 'invalid_type':
      return issue.message.startsWith('Invalid input') ? ofType(issue.expected) : expectedBy(issue.message)
    case 'invalid_value':
      return oneOf(issue.values.map((value) => JSON.stringify(value)))
    case 'too_small':
      return noSmaller(issue)
    case 'too_big':
      return noBigger(issue)
    case 'invalid_format':
    case 'invalid_union':
    case 'custom':
    case 'invalid_key':
    case 'invalid_element':
    case 'not_multiple_of':
      return expectedBy(issue.message)
    case 'unrecognized_keys':
      return { is: 'right: nothing known' }
  }
}

const types: { readonly [type: string]: Expected | undefined } = {
  string: { is: 'right: a string' },
  number: { is: 'right: a number' },
  int: { is: 'right: a whole number' },
  boolean: { is: 'right: true or false' },
  object: { is: 'right: an object' },
  array: { is: 'right: an array' },
  tuple: { is: 'right: a tuple' },
  record: { is: 'right: a record' },
  nonoptional: { is: 'right: a nonoptional' },
}

/** No schema here asks for another type. */
const ofType = (type: string) => types[type] ?? `a ${type}`

const oneOf = (values: readonly string[]): Expected =>
  values.length === 1
    ? { is: 'right: value', value: values[0] ?? '' }
    : { is: 'right: one of', values: values.join(', ') }

function noSmaller({ origin, inclusive, minimum }: z.core.$ZodIssueTooSmall): Expected {
  const least = Number(minimum)
  if (origin === 'string') return { is: 'right: letters at least', least }
  if (origin === 'array') return { is: 'right: entries at least', least }
  return { is: inclusive === false ? 'right: more than' : 'right: at least', least }
}

function noBigger({ origin, inclusive, maximum }: z.core.$ZodIssueTooBig): Expected {
  const most = Number(maximum)
  if (origin === 'string') return { is: 'right: letters at most', most }
  if (origin === 'array') return { is: 'right: entries at most', most }
  return { is: inclusive === false ? 'right: less than' : 'right: at most', most }
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
