/** The one place where a refusal becomes an answer: problem details after RFC 9457. */
import type * as z from 'zod'
import type { Fault } from '../../shared-domain/fault.ts'
import type { Refusal } from '../ground/errors.ts'

export interface Answer {
  readonly status: number
  readonly body: unknown
  readonly contentType?: string
  readonly headers?: Readonly<Record<string, string>>
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
      return details(422, 'What was sent has faults', { errors: told(refusal.faults, refusal.more ?? 0) })
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

export function notDoneHere(methods: readonly string[]): Answer {
  const allow = methods.join(', ')
  return { ...details(405, 'This is not done at this address', { detail: `Here: ${allow}.` }), headers: { allow } }
}

function details(status: number, title: string, more: Record<string, unknown> = {}): Answer {
  return { status, contentType: problemType, body: { type: 'about:blank', title, status, ...more } }
}

/** More are of no use to whoever reads them, and an answer has a largest size. */
export const mostFaults = 100

/** As many as are told, each cut to what is needed to find it, and a last line for the rest. */
function told(faults: readonly Fault[], more: number): Fault[] {
  const short = faults.slice(0, mostFaults).map(({ pointer, came, expected }) => ({
    pointer: cut(pointer, 300),
    came: brief(came),
    expected: cut(expected, 1000),
  }))
  const untold = faults.length - short.length + more
  if (untold === 0) return short
  const rest = { pointer: '', came: `${untold} more faults`, expected: `none; the first ${mostFaults} are told` }
  return [...short, rest]
}

export interface Faulty {
  readonly faults: readonly Fault[]
  /** how many more there are */
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

/** RFC 6901; a name of megabytes is not sent back whole. */
export function pointerTo(path: readonly PropertyKey[]): string {
  return path.map((step) => `/${cut(String(step), 100).replaceAll('~', '~0').replaceAll('/', '~1')}`).join('')
}

function valueAt(input: unknown, path: readonly PropertyKey[]): unknown {
  let value: unknown = input
  for (const step of path) {
    if (value === null || typeof value !== 'object' || !Object.hasOwn(value, step)) return null
    value = (value as Record<PropertyKey, unknown>)[step]
  }
  return value
}

const longestEcho = 200

/** A whole survey is not echoed back, nor anything else of its size or depth. */
function brief(value: unknown): unknown {
  if (typeof value === 'string') return cut(value, longestEcho)
  if (value === null || typeof value !== 'object') return Number.isFinite(value) ? value : (wordFor(value) ?? null)
  const text = beginningOf(value, longestEcho)
  return text.length > longestEcho ? cut(text, longestEcho) : value
}

/** JSON writes a number beyond its own range as nothing at all. */
function wordFor(value: unknown): unknown {
  return typeof value === 'number' ? 'a number too large to be read' : value
}

/** Its JSON, up to so many letters and a little more: what comes after them is not walked. */
function beginningOf(value: unknown, room: number): string {
  if (typeof value === 'string') return JSON.stringify(cut(value, room))
  if (value === null || typeof value !== 'object') return JSON.stringify(value) ?? 'null'
  const isList = Array.isArray(value)
  let text = isList ? '[' : '{'
  for (const name of Object.keys(value)) {
    if (text.length > room) return text
    const inner = beginningOf((value as Record<string, unknown>)[name], room - text.length)
    text += `${text.length > 1 ? ',' : ''}${isList ? '' : `${JSON.stringify(cut(name, room))}:`}${inner}`
  }
  return text + (isList ? ']' : '}')
}

/** Never between the halves of one letter. */
function cut(text: string, most: number): string {
  return text.length <= most ? text : `${text.slice(0, most).replace(/[\uD800-\uDBFF]$/, '')}…`
}
