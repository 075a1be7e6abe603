/** The one place where a refusal becomes an answer: problem details after RFC 9457. */
import type { Fault } from '../../shared-domain/fault.ts'
import type { Refusal } from '../ground/errors.ts'
import { contract } from './contract.ts'
import { brief, cutText } from './echo.ts'
import { shownObjection } from './english.ts'
import { mostFaults } from './faults.ts'

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
    case 'not signed in':
      return { ...details(401, 'Not signed in', { detail: refusal.detail }), headers: { 'www-authenticate': 'Bearer' } }
    case 'not allowed':
      return details(403, 'Not allowed', { detail: refusal.detail })
    case 'not found':
      return details(404, 'Nothing of this name exists', { detail: `There is no ${cutText(refusal.what, 400)}.` })
    case 'refused':
      return details(409, 'The rules refuse this step', { reasons: refusal.reasons.map(shownObjection) })
    case 'too large':
      return details(413, 'The body is too large', { detail: refusal.detail })
    case 'invalid':
      return details(422, `${faultyPart(refusal.faults)} has faults`, {
        errors: told(refusal.faults, refusal.more ?? 0),
      })
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

export function noSuchAddress(): Answer {
  return details(404, 'There is no such address', { detail: `No route has this path: ${contract} lists them all.` })
}

export function notDoneHere(allow: string): Answer {
  return { ...details(405, 'This is not done at this address', { detail: `Here: ${allow}.` }), headers: { allow } }
}

function details(status: number, title: string, more: Record<string, unknown> = {}): Answer {
  return { status, contentType: problemType, body: { type: 'about:blank', title, status, ...more } }
}

const parts = { path: 'The address', query: 'The query', body: 'The body' } as const
type Part = keyof typeof parts

function faultyPart(faults: readonly Fault[]): string {
  const [part = 'body', ...others] = new Set(faults.map((one): Part => one.in ?? 'body'))
  return others.length === 0 ? parts[part] : 'What was sent'
}

type Told = Omit<Fault, 'in'> & { readonly in: Part }

/** The faults that one answer holds, each cut to what is needed to find it. A last line counts the faults left out. */
function told(faults: readonly Fault[], more: number): Told[] {
  const short = faults.slice(0, mostFaults).map(shortened)
  const untold = faults.length - short.length + more
  if (untold === 0) return short
  const expected = `none; the first ${mostFaults} are told`
  return [...short, { in: 'body', pointer: '', came: `${untold} more faults`, expected }]
}

const shortened = ({ in: part, pointer, came, expected }: Fault): Told => ({
  in: part ?? 'body',
  pointer: cutText(pointer, 300),
  came: brief(came),
  expected: cutText(expected, 1000),
})
