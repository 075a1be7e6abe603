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
    detail: `The entry takes ${bytes} bytes; at most ${largestEntry} can be kept.`,
  })
}

/** A survey of a stick of 20 m, every reading over its limit, is about 250 KB. */
export function checkFactFits(fact: RecordedFact): void {
  const bytes = sizeOf(fact)
  if (bytes <= largestEntry) return
  const detail = `With its verdict the record takes ${bytes} bytes; at most ${largestEntry} can be kept.`
  throw new Refused({ kind: 'too large', detail })
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
  throw refused({ code: 'no-room', text: `${whatIsFull(happening)} ${bytes} bytes of ${most}. Nothing was changed.` })
}

function whatIsFull({ kind }: Happening): string {
  return kind === 'registered'
    ? 'Its entry was changed so often that no more editions can be kept with the stick; register it under a new number:'
    : 'So much is recorded since its last full bench test that no more of this kind can be kept before the next one:'
}

const sizeOf = (value: unknown) => Buffer.byteLength(JSON.stringify(value))
