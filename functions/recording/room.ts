/** The table keeps 400 KB an item. What does not fit is refused in words before the table refuses it without any. */
import type { Happening, RecordedFact } from '../../shared-domain/facts.ts'
import type { StickState } from '../../shared-domain/state/state.ts'
import { Refused, refused } from '../ground/errors.ts'

/** An entry leaves room for the names under which it lies in the table. */
const largestEntry = 390_000

export function checkEntryFits(entry: unknown): void {
  const bytes = sizeOf(entry)
  if (bytes <= largestEntry) return
  throw new Refused({
    kind: 'too large',
    says: { is: 'too large: entry', bytes, most: largestEntry },
  })
}

/** A survey of a stick of 20 m, every reading over its limit, is about 250 KB. */
export function checkFactFits(fact: RecordedFact): void {
  const bytes = sizeOf(fact)
  if (bytes <= largestEntry) return
  throw new Refused({ kind: 'too large', says: { is: 'too large: record', bytes, most: largestEntry } })
}

/**
 * The most that a state may take for a fact of each kind. The rest is left to what others have to say of the stick, and
 * the last of it to danger.
 */
const mostOfState: { readonly [kind in Happening['kind']]?: number } = {
  registered: 250_000,
  'corrective step': 320_000,
  used: 320_000,
  moved: 320_000,
  'certificate received': 320_000,
  released: 320_000,
}

/** A fact that may take a stick out of people's hands is kept however much is known of the stick. */
function speaksOfDanger(happening: Happening): boolean {
  if (happening.kind === 'moved') return ['missing', 'found', 'scrapped'].includes(String(happening.move.to))
  return mostOfState[happening.kind] === undefined
}

export function checkStateFits(before: StickState, after: StickState, happening: Happening): void {
  if (speaksOfDanger(happening)) return
  const most = mostOfState[happening.kind] ?? 0
  const bytes = sizeOf(after)
  if (bytes <= most || bytes <= sizeOf(before)) return
  const isEntry = happening.kind === 'registered'
  const is = isEntry ? 'refused: no room for editions' : 'refused: no room before a test'
  throw refused({ code: 'no-room', refuses: { is, bytes, most } })
}

const sizeOf = (value: unknown) => Buffer.byteLength(JSON.stringify(value))
