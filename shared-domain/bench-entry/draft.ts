/**
 * A test as it is being taken down: everything stays as it was typed, so that a page that was closed goes on where it
 * was left.
 */
import { type Instant, isInstant } from '../calendar.ts'
import { hourPutRight } from '../device/device-clock.ts'
import type { DevicePerson } from '../device/waiting-report.ts'
import { type Construction, type QuarterTurn, type SurfaceState, surfaceStates } from '../words.ts'
import type { BenchSheet, ChosenAtBench } from './sheet.ts'

/** The trade's order. */
export const benchStages = [
  'examination',
  'before dry',
  'dry',
  'before wet',
  'wet',
  'after',
  'withstand',
  'send',
] as const
export type BenchStage = (typeof benchStages)[number]

/** Answers that are one text each. */
export const benchAnswers = [
  'instrumentId',
  'procedureId',
  'reason',
  'demonstrationId',
  'testedBy',
  'gloss',
  'cleaned',
  'waxed',
  'celsius',
  'humidity',
  'water',
  'conductivity',
  'appearance',
  'note',
] as const
export type BenchAnswer = (typeof benchAnswers)[number]

export interface TypedReading {
  readonly state: SurfaceState
  readonly section?: string | undefined
  readonly quarterTurn: QuarterTurn
  readonly fromMetres: number
  readonly toMetres: number
  /** the figure as it was typed, in microamperes */
  readonly typed: string
  readonly settled: boolean
}

export interface TypedDefect {
  readonly kind: string
  readonly atMetres: string
  readonly open: boolean
}

/** How too much water lies on a stick. */
export const tooWet = ['film', 'drip line'] as const
export type TooWet = (typeof tooWet)[number]

/** A row of a withstand test. */
export interface TypedWithstand {
  readonly state: SurfaceState
  readonly section?: string | undefined
  readonly fromMetres: string
  readonly toMetres: string
  readonly kilovolts: string
  readonly seconds: string
  readonly outcome: string
}

export interface BenchDraft {
  /** the shape in which it is kept, so that a later build knows what it reads */
  readonly shape: 1
  readonly stickId: string
  /** made with the draft, so that a test which is sent twice is one fact */
  readonly factId: string
  readonly by: DevicePerson
  /** the name of whoever began it */
  readonly byName: string
  /** the moment of beginning, by the clock of the device */
  readonly begunAt: Instant
  /** the same by the clock of the service; null until it was first about to be sent */
  readonly happenedAt: Instant | null
  /** the stick's newest test that its author knows of */
  readonly knows: string | null
  readonly stage: BenchStage
  readonly method: 'readings' | 'withstand'
  readonly answers: Readonly<Partial<Record<BenchAnswer, string>>>
  readonly defects: readonly TypedDefect[]
  /** figures of open and check readings, by `checkKey` */
  readonly checks: Readonly<Record<string, string>>
  readonly readings: readonly TypedReading[]
  readonly withstand: readonly TypedWithstand[]
  /** a first wet pass with too much water: kept, and not judged; null where there was none */
  readonly dried: { readonly appearance: TooWet; readonly readings: readonly TypedReading[] } | null
  /** digits in the field that Enter has not taken yet */
  readonly typing: string
  /** the reading that is typed anew, and whether the one after it is gone on to; null while new ones are read */
  readonly editing: { readonly index: number; readonly goesOn: 'following' | 'new' } | null
  /** the beginning of the next reading, where it is not read at the place that is asked for */
  readonly elsewhere: string
  /** questions that were answered with "it is right", by what they ask */
  readonly meant: readonly string[]
}

interface Beginning {
  readonly sheet: BenchSheet
  readonly factId: string
  readonly now: Instant
}

export function beginDraft({ sheet, factId, now }: Beginning): BenchDraft {
  const { instrumentId, procedureId, reason, tester } = sheet.begins
  return {
    ...{ shape: 1, stickId: sheet.stickId, factId, by: sheet.who, byName: tester, begunAt: now, happenedAt: null },
    ...{ knows: sheet.newest?.factId ?? null, stage: 'examination', method: 'readings' },
    answers: { instrumentId, procedureId, reason, testedBy: tester },
    ...{
      defects: [],
      checks: {},
      readings: [],
      withstand: [],
      dried: null,
      typing: '',
      editing: null,
      elsewhere: '',
      meant: [],
    },
  }
}

/** The stick is dried and read wet once more; a test has one such pass at most. */
export function driedOnce(draft: BenchDraft, appearance: TooWet): BenchDraft {
  const [wet, others] = [true, false].map((isWet) => draft.readings.filter(({ state }) => (state === 'wet') === isWet))
  if (draft.dried !== null || wet === undefined || others === undefined || wet.length === 0) return draft
  const answers = { ...draft.answers, appearance: '' }
  const anew = { typing: '', editing: null, elsewhere: '', stage: 'before wet' } as const
  return { ...draft, ...anew, answers, readings: others, dried: { appearance, readings: wet } }
}

/** Only what reads as a draft is one: another build, or somebody else, may have written there too. */
export function isBenchDraft(kept: unknown): kept is BenchDraft {
  if (typeof kept !== 'object' || kept === null) return false
  const { shape, stickId, factId, begunAt, readings, stage } = kept as Readonly<Record<string, unknown>>
  const isText = typeof stickId === 'string' && typeof factId === 'string' && typeof begunAt === 'string'
  return (
    shape === 1 && isText && isInstant(begunAt) && Array.isArray(readings) && benchStages.includes(stage as BenchStage)
  )
}

/** The hour is put right once, before the first sending: sent again, it is the same test. */
export function draftToSend(draft: BenchDraft, secondsOff: number): BenchDraft {
  return draft.happenedAt === null ? { ...draft, happenedAt: hourPutRight(draft.begunAt, secondsOff) } : draft
}

/** A decimal comma counts as a point. Null where it is no figure yet; the sign is for degrees alone. */
export function figureTyped(text: string): number | null {
  const plain = text.trim().replace(',', '.')
  return /^-?(\d+\.?\d*|\.\d+)$/.test(plain) ? Number(plain) : null
}

/** The house's own bound, that of a body too: no leakage current is larger. */
const mostMicroamps = 1_000_000

export function currentTyped(text: string): number | null {
  const figure = figureTyped(text)
  return figure === null || figure < 0 || figure > mostMicroamps ? null : figure
}

export interface CheckPlace {
  readonly state: SurfaceState
  readonly when: 'before' | 'after'
  /** of several check pieces of a state the first is 0 */
  readonly piece: number
}

export const checkKey = ({ state, when, piece }: CheckPlace, what: 'open' | 'check'): string =>
  `${state} ${when} ${piece} ${what}`

/** Null until an instrument and a procedure of the sheet are chosen. */
export function chosenAt({ answers }: Pick<BenchDraft, 'answers'>, sheet: BenchSheet): ChosenAtBench | null {
  const procedure = sheet.procedures.find(({ id }) => id === answers.procedureId)?.body
  const instrument = sheet.instruments.find(({ id }) => id === answers.instrumentId)?.body
  if (procedure === undefined || instrument === undefined) return null
  const { stick } = sheet
  return {
    at: { stick, procedure, instrument },
    by: {
      stick,
      procedure,
      calibrations: [instrument],
      instrumentSpanMetres: instrument.spanMetres,
      instrumentKilovolts: instrument.kilovolts,
      instrumentHertz: instrument.hertz,
      expandedUncertaintyPercent: instrument.expandedUncertaintyPercent,
    },
  }
}

/** Stages of this test, in their order; wood is read dry alone, and a check after is asked for where it is needed. */
export function stagesOf(
  { method }: Pick<BenchDraft, 'method'>,
  { construction, asksAfter }: { readonly construction: Construction; readonly asksAfter: boolean },
): readonly BenchStage[] {
  if (method === 'withstand') return ['examination', 'withstand', 'send']
  const wet: readonly BenchStage[] = construction === 'wood' ? [] : ['before wet', 'wet']
  return ['examination', 'before dry', 'dry', ...wet, ...(asksAfter ? (['after'] as const) : []), 'send']
}

export const stateAt = (stage: BenchStage): SurfaceState | undefined => surfaceStates.find((state) => state === stage)
