/**
 * The field into which readings are typed: which place it asks for, what Enter and Backspace do to the draft. No figure
 * that was typed is lost by going back.
 */
import { type NextPlace, nextPlaceIn, spanTooShort } from '../bench-test/next-place.ts'
import type { SurfaceState } from '../words.ts'
import { type BenchDraft, currentTyped, figureTyped, stateAt, type TypedReading } from './draft.ts'
import type { ChosenAtBench } from './sheet.ts'
import { measuredBy } from './test-of-draft.ts'

export type ReadingPlace = Omit<TypedReading, 'typed' | 'settled'>

/** What the field asks for. */
export type FieldAsks =
  | { readonly is: 'reading'; readonly place: ReadingPlace }
  /** a reading that stands, typed anew */
  | { readonly is: 'reading anew'; readonly place: ReadingPlace; readonly was: TypedReading }
  /** nothing of this state is missing */
  | { readonly is: 'nothing' }
  | { readonly is: typeof spanTooShort }

export function fieldAsks(draft: BenchDraft, chosen: ChosenAtBench): FieldAsks {
  const state = stateAt(draft.stage)
  if (state === undefined) return { is: 'nothing' }
  const was = draft.editing === null ? undefined : draft.readings[draft.editing.index]
  if (was !== undefined) return { is: 'reading anew', place: placeOfTyped(was), was }
  const next = nextPlaceIn(state, measuredBy(draft), chosen.at)
  if (next === spanTooShort) return { is: spanTooShort }
  const place = next === null ? null : asReadingPlace(next)
  const moved = elsewhere(draft, { state, place, chosen })
  return moved === null ? { is: 'nothing' } : { is: 'reading', place: moved }
}

function asReadingPlace({ state, section, quarterTurn, fromMetres, toMetres }: NextPlace): ReadingPlace | null {
  return quarterTurn === undefined ? null : { state, section, quarterTurn, fromMetres, toMetres }
}

const placeOfTyped = ({ typed: _, settled: __, ...place }: TypedReading): ReadingPlace => place

interface Beside {
  readonly state: SurfaceState
  readonly place: ReadingPlace | null
  readonly chosen: ChosenAtBench
}

/** A reading may be taken where its reader says: the strip then shows what that leaves unread. */
function elsewhere(draft: BenchDraft, { state, place, chosen: { at } }: Beside): ReadingPlace | null {
  const from = figureTyped(draft.elsewhere)
  if (from === null) return place
  const last = draft.readings.findLast((one) => one.state === state)
  const on = place ?? (last === undefined ? null : placeOfTyped(last))
  if (on === null) return null
  const { stick, instrument } = at
  const length = stick.sections?.find(({ name }) => name === on.section)?.lengthMetres ?? stick.workingLengthMetres
  const to = Math.min(Math.round((from + instrument.spanMetres) * 1000) / 1000, length)
  return from < 0 || from >= to ? place : { ...on, fromMetres: Math.round(from * 1000) / 1000, toMetres: to }
}

/** What Enter does: null where the field holds no current yet. */
export function entered(draft: BenchDraft, chosen: ChosenAtBench, settled: boolean): BenchDraft | null {
  const asked = fieldAsks(draft, chosen)
  if (asked.is === 'nothing' || asked.is === spanTooShort) return null
  const isEmpty = draft.typing.trim() === ''
  if (asked.is === 'reading anew') {
    if (!isEmpty && currentTyped(draft.typing) === null) return null
    // an empty field keeps the figure that stands
    const anew = isEmpty ? asked.was : { ...asked.was, typed: draft.typing.trim(), settled }
    return wentOn({ ...draft, typing: '', readings: replaced(draft, anew) })
  }
  if (currentTyped(draft.typing) === null) return null
  const reading = { ...asked.place, typed: draft.typing.trim(), settled }
  return { ...draft, typing: '', elsewhere: '', readings: [...draft.readings, reading] }
}

function replaced({ readings, editing }: BenchDraft, anew: TypedReading): readonly TypedReading[] {
  return readings.map((one, i) => (i === editing?.index ? anew : one))
}

function wentOn(draft: BenchDraft): BenchDraft {
  const { editing, readings, stage } = draft
  if (editing === null || editing.goesOn === 'new') return { ...draft, editing: null }
  const index = readings.findIndex(({ state }, i) => i > editing.index && state === stage)
  return { ...draft, editing: index < 0 ? null : { index, goesOn: 'following' } }
}

/** What Backspace does in an empty field: the reading before is typed anew. */
export function wentBack(draft: BenchDraft): BenchDraft {
  const before = draft.readings.slice(0, draft.editing?.index ?? draft.readings.length)
  const index = before.findLastIndex(({ state }) => state === draft.stage)
  return index < 0 ? draft : { ...draft, typing: '', editing: { index, goesOn: 'following' } }
}

/** Goes to one reading, and after it on to new ones. */
export function goneTo(draft: BenchDraft, index: number): BenchDraft {
  const found = draft.readings[index]
  if (found === undefined) return draft
  return { ...draft, stage: found.state, typing: '', elsewhere: '', editing: { index, goesOn: 'new' } }
}

export interface BenchProgress {
  readonly read: number
  /** those that are still to be read, at the fewest */
  readonly left: number
}

/** More than any stick has: a span that is hardly longer than the overlap asks for thousands. */
const mostLeft = 2000

export function progressOf(state: SurfaceState, draft: BenchDraft, { at }: ChosenAtBench): BenchProgress {
  const read = draft.readings.filter((one) => one.state === state).length
  const test = measuredBy(draft)
  const readings = [...(test[state]?.readings ?? [])]
  for (let left = 0; left < mostLeft; left++) {
    // of a state only its readings count for what is read next
    const next = nextPlaceIn(state, { [state]: { readings } }, at)
    if (next === null || next === spanTooShort || next.quarterTurn === undefined) return { read, left }
    const { section, quarterTurn, fromMetres, toMetres } = next
    readings.push({ section, quarterTurn, fromMetres, toMetres, leakageMicroamps: 0 })
  }
  return { read, left: mostLeft }
}
