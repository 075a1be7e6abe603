/**
 * What is seen of a draft before it is sent: questions where a figure looks slipped, what is missing or over a limit.
 * Nothing here decides: the verdict is the service's, by the one rule there is.
 */
import type { BenchTest, Withstand } from '../bench-test/bench-test.ts'
import { statesAskedOf } from '../bench-test/places.ts'
import { type Mark, stripsOf } from '../bench-test/strip.ts'
import {
  aliveDoubts,
  ambientMissing,
  calibrationDoubts,
  checkDoubts,
  conductivityMissing,
} from '../bench-test/trust.ts'
import { airSlipped, checkSlipped, conductivitySlipped, kilovoltsSlipped } from '../slips/figures.ts'
import type { OddPlace } from '../slips/question.ts'
import { farFromNeighbours, offFromLastTest } from '../slips/readings.ts'
import type { SurfaceState } from '../words.ts'
import { type BenchAnswer, type BenchDraft, type BenchStage, chosenAt } from './draft.ts'
import { progressOf } from './reading.ts'
import type { BenchSheet, ChosenAtBench } from './sheet.ts'
import { testOfDraft } from './test-of-draft.ts'

export interface BenchQuestion extends OddPlace {
  /** what it asks, with the figure: once answered it is not asked again of that figure */
  readonly key: string
  /** the place of the reading in the draft; null where it asks about something else */
  readonly reading: number | null
}

const finders = [checkSlipped, conductivitySlipped, airSlipped, kilovoltsSlipped, farFromNeighbours, offFromLastTest]

/** Of one place only the first is asked. */
export function questionsOf(draft: BenchDraft, sheet: BenchSheet, chosen: ChosenAtBench): BenchQuestion[] {
  const test = testOfDraft(draft, sheet)
  const tests = { by: chosen.by, earlier: sheet.earlier }
  const first = new Map<string, OddPlace>()
  for (const one of finders.flatMap((find) => find(test, tests)))
    if (!first.has(one.pointer)) first.set(one.pointer, one)
  return [...first.values()]
    .map((one) => ({ ...one, key: keyOf(one), reading: readingAt(draft, one.pointer) }))
    .filter(({ key }) => !draft.meant.includes(key))
}

/** The usual figure moves with each reading: a question is the same as long as the figure it asks about is. */
function keyOf({ pointer, says }: OddPlace): string {
  return `${pointer} ${'reads' in says ? says.reads : JSON.stringify(says)}`
}

function readingAt({ readings }: BenchDraft, pointer: string): number | null {
  const [, state, place] = /^\/(dry|wet)\/readings\/(\d+)\//.exec(pointer) ?? []
  if (state === undefined) return null
  const own = readings.flatMap((one, i) => (one.state === state ? [i] : []))
  return own[Number(place)] ?? null
}

/** States for which a check after the last reading is asked for: by the procedure, or since nothing else shows life. */
export function statesToCheckAfter(
  draft: BenchDraft,
  sheet: BenchSheet,
  chosen: ChosenAtBench | null,
): readonly SurfaceState[] {
  if (chosen === null || draft.method === 'withstand') return []
  const { procedure } = chosen.by
  // a check that was taken takes the doubt away, and stays on the page all the same
  const test = { ...testOfDraft(draft, sheet), instrumentChecks: [] }
  return statesAskedOf(sheet.stick.construction).filter((state) => {
    const isRead = (test[state]?.readings.length ?? 0) > 0
    const isAsked = procedure.checks.some((piece) => piece.state === state && piece.afterToo === true)
    return isRead && (isAsked || aliveDoubts(state, test, procedure).length > 0)
  })
}

/** Something that stands out, and the stage at which it is mended. */
export interface BenchLack {
  readonly is: (typeof benchLacks)[number]
  readonly stage: BenchStage
  readonly state?: SurfaceState
  readonly count?: number
  /** without it the service takes no test */
  readonly stops: boolean
}

export const benchLacks = [
  'no instrument',
  'no procedure',
  'no reason',
  'no tester',
  'no gloss',
  'no water',
  'nothing measured',
  'withstand row open',
  'out of calibration',
  'not cleaned',
  'open defects',
  'air missing',
  'conductivity missing',
  'checks in doubt',
  'places unread',
  'over the limit',
  'not settled',
  'not shown alive',
  'questions open',
] as const

type Found = Omit<BenchLack, 'stops'>
const when = (isSo: boolean, one: Found): Found[] => (isSo ? [one] : [])

/** What lacks or stands out, the first that the service would refuse the test for before all others. */
export function lackingIn(draft: BenchDraft, sheet: BenchSheet): BenchLack[] {
  const chosen = chosenAt(draft, sheet)
  const seen = chosen === null ? [] : seenIn(draft, sheet, chosen)
  return [
    ...stopping(draft, sheet).map((one) => ({ ...one, stops: true })),
    ...seen.map((one) => ({ ...one, stops: false })),
  ]
}

function stopping(draft: BenchDraft, sheet: BenchSheet): Found[] {
  const { answers, method, readings, dried } = draft
  const lacks = (name: BenchAnswer) => (answers[name] ?? '').trim() === ''
  const stage = 'examination'
  const rows = testOfDraft(draft, sheet).withstand ?? []
  const isWetRead = method === 'readings' && (dried !== null || readings.some(({ state }) => state === 'wet'))
  return [
    ...when(lacks('instrumentId'), { is: 'no instrument', stage }),
    ...when(lacks('procedureId'), { is: 'no procedure', stage }),
    ...when(lacks('reason'), { is: 'no reason', stage }),
    ...when(lacks('testedBy'), { is: 'no tester', stage }),
    ...when(lacks('gloss'), { is: 'no gloss', stage }),
    ...when(isWetRead && (lacks('water') || lacks('appearance')), { is: 'no water', stage: 'before wet' }),
    ...when(
      rows.some((row) => !isWhole(row)),
      { is: 'withstand row open', stage: 'withstand' },
    ),
  ]
}

const isWhole = ({ fromMetres, toMetres, kilovolts, seconds, outcome }: Withstand) =>
  fromMetres < toMetres && kilovolts > 0 && seconds > 0 && (outcome as string) !== ''

function seenIn(draft: BenchDraft, sheet: BenchSheet, chosen: ChosenAtBench): Found[] {
  const test = testOfDraft(draft, sheet)
  const states = statesAskedOf(sheet.stick.construction)
  const measured = draft.readings.length + (test.withstand?.length ?? 0)
  const stage = 'examination'
  const openDefects = test.examination.defects.filter(({ open }) => open).length
  const questions = questionsOf(draft, sheet, chosen).length
  return [
    ...when(calibrationDoubts(test, chosen.by.calibrations).length > 0, { is: 'out of calibration', stage }),
    ...when(!test.cleaned, { is: 'not cleaned', stage }),
    ...when(openDefects > 0, { is: 'open defects', stage, count: openDefects }),
    ...when(ambientMissing(test, chosen.by.procedure).length > 0, { is: 'air missing', stage }),
    ...when(measured === 0, { is: 'nothing measured', stage }),
    ...(draft.method === 'withstand'
      ? []
      : states.flatMap((state) => seenOfState(state, { draft, sheet, chosen, test }))),
    ...when(conductivityMissing(test, chosen.by.procedure).length > 0, {
      is: 'conductivity missing',
      stage: 'before wet',
    }),
    ...when(questions > 0, { is: 'questions open', stage: 'send', count: questions }),
  ]
}

interface SeenIn {
  readonly draft: BenchDraft
  readonly sheet: BenchSheet
  readonly chosen: ChosenAtBench
  readonly test: BenchTest
}

function seenOfState(state: SurfaceState, { draft, chosen, test }: SeenIn): Found[] {
  const { left, read } = progressOf(state, draft, chosen)
  const marks = stripsOf(test, chosen.by)
    .filter((strip) => strip.state === state)
    .flatMap(({ turns }) => turns.flatMap(({ cells }) => cells.map(({ mark }) => mark)))
  const count = (of: Mark) => marks.filter((mark) => mark === of).length
  const over = count('over limit') + count('in guard band')
  const { procedure } = chosen.by
  const inDoubt = read > 0 && checkDoubts(state, test, procedure).length > 0
  return [
    ...when(inDoubt, { is: 'checks in doubt', stage: state === 'dry' ? 'before dry' : 'before wet', state }),
    ...when(left > 0, { is: 'places unread', stage: state, state, count: left }),
    ...when(over > 0, { is: 'over the limit', stage: state, state, count: over }),
    ...when(count('not settled') > 0, { is: 'not settled', stage: state, state, count: count('not settled') }),
    ...when(aliveDoubts(state, test, procedure).length > 0, { is: 'not shown alive', stage: 'after', state }),
  ]
}
