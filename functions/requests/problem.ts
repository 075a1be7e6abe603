/** The one place where a refusal becomes an answer: problem details after RFC 9457. */
import type { Fault } from '../../shared-domain/fault.ts'
import type { Refusal } from '../../shared-domain/refusal.ts'
import { contract } from './contract.ts'
import { brief, cutText } from './echo.ts'
import { shownFault, shownObjection, shownRefusal } from './english.ts'
import { mostFaults } from './faults.ts'

export interface Answer {
  readonly status: number
  readonly body: unknown
  readonly contentType?: string
  readonly headers?: Readonly<Record<string, string>>
}

export const problemType = 'application/problem+json'

const statuses = {
  malformed: 400,
  'not signed in': 401,
  'not allowed': 403,
  'not found': 404,
  refused: 409,
  'too large': 413,
  invalid: 422,
  'try again': 503,
} as const satisfies { readonly [kind in Refusal['kind']]: number }

/** Longer than any sentence of ours about a name of the longest that is looked up. */
const longestDetail = 1000

export function problem(refusal: Refusal): Answer {
  const { title, details: why } = shownRefusal(refusal)
  const status = statuses[refusal.kind]
  switch (refusal.kind) {
    case 'refused':
      return details(status, title, { reasons: refusal.reasons.map(shownObjection) })
    case 'invalid':
      return details(status, title, { errors: faultsTold(refusal.faults, refusal.more ?? 0) })
    case 'not signed in':
      return { ...details(status, title, { detail: why.join(' ') }), headers: { 'www-authenticate': 'Bearer' } }
    case 'malformed':
    case 'not allowed':
    case 'not found':
    case 'too large':
    case 'try again':
      return details(status, title, { detail: cutText(why.join(' '), longestDetail) })
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

interface Told {
  readonly in: 'path' | 'query' | 'body'
  readonly pointer: string
  readonly came: unknown
  readonly expected: string
}

/** The faults that one answer holds, each cut to what is needed to find it. A last line counts the faults left out. */
function faultsTold(faults: readonly Fault[], more: number): Told[] {
  const short = faults.slice(0, mostFaults).map(shortened)
  const untold = faults.length - short.length + more
  if (untold === 0) return short
  const expected = { is: 'right: none of the others', most: mostFaults } as const
  return [...short, shortened({ pointer: '', came: `${untold} more faults`, expected })]
}

const shortened = ({ in: part, pointer, came, expected }: Fault): Told => ({
  in: part ?? 'body',
  pointer: cutText(pointer, 300),
  came: brief(came),
  expected: cutText(shownFault({ expected }), 1000),
})
