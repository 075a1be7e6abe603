/** The one place where a refusal becomes an answer. Its sentences are many, and are loaded with the first refusal. */
import { english } from '../../shared-domain/catalogue/en/language.ts'
import { refusing } from '../../shared-domain/catalogue/en/refusals.ts'
import type { Translated } from '../../shared-domain/catalogue/say.ts'
import type { Fault } from '../../shared-domain/fault.ts'
import type { Refusal } from '../../shared-domain/refusal.ts'
import type { Objection } from '../../shared-domain/state/refusal.ts'
import { faultIn, refusalIn, wordingIn } from '../../shared-domain/wording.ts'
import { brief, cutText } from './echo.ts'
import { mostFaults } from './faults.ts'
import { type Answer, problemOf } from './problem.ts'

/** Dates of a request are told back as programs write them. */
const withDatesAsSent = Object.fromEntries(
  Object.entries(refusing).map(([name, text]) => [name, text.replaceAll(' :date}', '}')]),
) as Translated<typeof refusing>

const wording = wordingIn<typeof refusing>(english, 'metric', withDatesAsSent)

const statuses = {
  malformed: 400,
  'not signed in': 401,
  'not allowed': 403,
  'not found': 404,
  refused: 409,
  'too large': 413,
  invalid: 422,
  'try again': 503,
  'too many': 429,
} as const satisfies { readonly [kind in Refusal['kind']]: number }

/** Longer than any sentence of ours about a name of the longest that is looked up. */
const longestDetail = 1000

export function problem(refusal: Refusal): Answer {
  const { title, details: why } = refusalIn(wording, refusal)
  const status = statuses[refusal.kind]
  switch (refusal.kind) {
    case 'refused':
      return problemOf(status, title, { reasons: refusal.reasons.map(shownObjection) })
    case 'invalid':
      return problemOf(status, title, { errors: faultsTold(refusal.faults, refusal.more ?? 0) })
    case 'not signed in':
      return { ...problemOf(status, title, { detail: why.join(' ') }), headers: { 'www-authenticate': 'Bearer' } }
    case 'too many':
      return {
        ...problemOf(status, title, { detail: why.join(' ') }),
        headers: { 'retry-after': String(refusal.seconds) },
      }
    case 'malformed':
    case 'not allowed':
    case 'not found':
    case 'too large':
    case 'try again':
      return problemOf(status, title, { detail: cutText(why.join(' '), longestDetail) })
  }
}

function shownObjection(objection: Objection) {
  const { stands: _, hold: __, refuses: ___, ...reason } = objection
  return { ...reason, text: wording.objection(objection) }
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
  expected: cutText(faultIn(wording, { expected }), 1000),
})
