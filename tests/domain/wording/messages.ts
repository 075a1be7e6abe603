/** The messages of the catalogue as they lie in its files, in English and in Spanish, and what each is filled with. */
import { isSelectMessage, type Model, parseMessage } from 'messageformat'
import { bench as englishBench, benchQueue as englishBenchQueue } from '../../../shared-domain/catalogue/en/bench.ts'
import { calendar as englishCalendar } from '../../../shared-domain/catalogue/en/calendar.ts'
import { charts as englishCharts } from '../../../shared-domain/catalogue/en/charts.ts'
import { confirmation as englishConfirmation } from '../../../shared-domain/catalogue/en/confirmation.ts'
import { device as englishDevice } from '../../../shared-domain/catalogue/en/device.ts'
import { fleet as englishFleet } from '../../../shared-domain/catalogue/en/fleet.ts'
import { forms as englishForms } from '../../../shared-domain/catalogue/en/forms.ts'
import { furtherPages } from '../../../shared-domain/catalogue/en/further-pages.ts'
import { holds as englishHolds } from '../../../shared-domain/catalogue/en/holds.ts'
import { imports as englishImports } from '../../../shared-domain/catalogue/en/imports.ts'
import { instruments as englishInstruments } from '../../../shared-domain/catalogue/en/instruments.ts'
import { english } from '../../../shared-domain/catalogue/en/language.ts'
import { mails as englishMails } from '../../../shared-domain/catalogue/en/mails.ts'
import { misfits as englishMisfits } from '../../../shared-domain/catalogue/en/misfits.ts'
import { morning as englishMorning } from '../../../shared-domain/catalogue/en/morning.ts'
import { noticeLog as englishNoticeLog } from '../../../shared-domain/catalogue/en/notice-log.ts'
import { outlook as englishOutlook } from '../../../shared-domain/catalogue/en/outlook.ts'
import { pages as englishPages } from '../../../shared-domain/catalogue/en/pages.ts'
import { papers as englishPapers } from '../../../shared-domain/catalogue/en/papers.ts'
import { personSignIn as englishPersonSignIn } from '../../../shared-domain/catalogue/en/person-sign-in.ts'
import { places as englishPlaces } from '../../../shared-domain/catalogue/en/places.ts'
import { plan as englishPlan } from '../../../shared-domain/catalogue/en/plan.ts'
import { proof as englishProof } from '../../../shared-domain/catalogue/en/proof.ts'
import { questions as englishQuestions } from '../../../shared-domain/catalogue/en/questions.ts'
import { reasons as englishReasons } from '../../../shared-domain/catalogue/en/reasons.ts'
import { recalls as englishRecalls } from '../../../shared-domain/catalogue/en/recalls.ts'
import { refusing as englishRefusals } from '../../../shared-domain/catalogue/en/refusals.ts'
import { registers as englishRegisters } from '../../../shared-domain/catalogue/en/registers.ts'
import { signIn as englishSignIn } from '../../../shared-domain/catalogue/en/sign-in.ts'
import { telling as englishTelling } from '../../../shared-domain/catalogue/en/telling.ts'
import { truck as englishTruck } from '../../../shared-domain/catalogue/en/truck.ts'
import { warnings as englishWarnings } from '../../../shared-domain/catalogue/en/warnings.ts'
import { ways as englishWays } from '../../../shared-domain/catalogue/en/ways.ts'
import { whys as englishWhys } from '../../../shared-domain/catalogue/en/whys.ts'
import { benchInSpanish, benchQueueInSpanish } from '../../../shared-domain/catalogue/es/bench.ts'
import { calendarInSpanish as spanishCalendar } from '../../../shared-domain/catalogue/es/calendar.ts'
import { chartsInSpanish as spanishCharts } from '../../../shared-domain/catalogue/es/charts.ts'
import { confirmationInSpanish as spanishConfirmation } from '../../../shared-domain/catalogue/es/confirmation.ts'
import { deviceInSpanish as spanishDevice } from '../../../shared-domain/catalogue/es/device.ts'
import { fleetInSpanish as spanishFleet } from '../../../shared-domain/catalogue/es/fleet.ts'
import { formsInSpanish as spanishForms } from '../../../shared-domain/catalogue/es/forms.ts'
import { furtherPagesInSpanish } from '../../../shared-domain/catalogue/es/further-pages.ts'
import { holdsInSpanish as spanishHolds } from '../../../shared-domain/catalogue/es/holds.ts'
import { importsInSpanish as spanishImports } from '../../../shared-domain/catalogue/es/imports.ts'
import { instrumentsInSpanish as spanishInstruments } from '../../../shared-domain/catalogue/es/instruments.ts'
import { spanish } from '../../../shared-domain/catalogue/es/language.ts'
import { mailsInSpanish as spanishMails } from '../../../shared-domain/catalogue/es/mails.ts'
import { misfitsInSpanish as spanishMisfits } from '../../../shared-domain/catalogue/es/misfits.ts'
import { morningInSpanish as spanishMorning } from '../../../shared-domain/catalogue/es/morning.ts'
import { noticeLogInSpanish as spanishNoticeLog } from '../../../shared-domain/catalogue/es/notice-log.ts'
import { outlookInSpanish as spanishOutlook } from '../../../shared-domain/catalogue/es/outlook.ts'
import { pagesInSpanish as spanishPages } from '../../../shared-domain/catalogue/es/pages.ts'
import { papersInSpanish as spanishPapers } from '../../../shared-domain/catalogue/es/papers.ts'
import { personSignInInSpanish as spanishPersonSignIn } from '../../../shared-domain/catalogue/es/person-sign-in.ts'
import { placesInSpanish as spanishPlaces } from '../../../shared-domain/catalogue/es/places.ts'
import { planInSpanish as spanishPlan } from '../../../shared-domain/catalogue/es/plan.ts'
import { proofInSpanish as spanishProof } from '../../../shared-domain/catalogue/es/proof.ts'
import { questionsInSpanish as spanishQuestions } from '../../../shared-domain/catalogue/es/questions.ts'
import { reasonsInSpanish as spanishReasons } from '../../../shared-domain/catalogue/es/reasons.ts'
import { recallsInSpanish as spanishRecalls } from '../../../shared-domain/catalogue/es/recalls.ts'
import { refusingInSpanish as spanishRefusals } from '../../../shared-domain/catalogue/es/refusals.ts'
import { registersInSpanish as spanishRegisters } from '../../../shared-domain/catalogue/es/registers.ts'
import { signInInSpanish as spanishSignIn } from '../../../shared-domain/catalogue/es/sign-in.ts'
import { tellingInSpanish as spanishTelling } from '../../../shared-domain/catalogue/es/telling.ts'
import { truckInSpanish as spanishTruck } from '../../../shared-domain/catalogue/es/truck.ts'
import { warningsInSpanish as spanishWarnings } from '../../../shared-domain/catalogue/es/warnings.ts'
import { waysInSpanish as spanishWays } from '../../../shared-domain/catalogue/es/ways.ts'
import { whysInSpanish as spanishWhys } from '../../../shared-domain/catalogue/es/whys.ts'
import type { Spoken } from '../../../shared-domain/catalogue/languages.ts'
import type { Language } from '../../../shared-domain/words.ts'

export const spoken: { readonly [language in Language]: Spoken } = { en: english, es: spanish }

type Expression = Model.Expression
type Pattern = Model.Pattern
type Part = { readonly [name: string]: string }

/** Its parts, by the names of their files. A test looks that none is left out. */
export const catalogue: { readonly [language in Language]: { readonly [part: string]: Part } } = {
  en: {
    calendar: englishCalendar,
    charts: englishCharts,
    confirmation: englishConfirmation,
    truck: englishTruck,
    device: englishDevice,
    fleet: englishFleet,
    forms: englishForms,
    holds: englishHolds,
    bench: { ...englishBenchQueue, ...englishBench },
    imports: englishImports,
    instruments: englishInstruments,
    mails: englishMails,
    misfits: englishMisfits,
    morning: englishMorning,
    'notice-log': englishNoticeLog,
    outlook: englishOutlook,
    pages: englishPages,
    'further-pages': furtherPages,
    'person-sign-in': englishPersonSignIn,
    places: englishPlaces,
    papers: englishPapers,
    plan: englishPlan,
    proof: englishProof,
    questions: englishQuestions,
    reasons: englishReasons,
    recalls: englishRecalls,
    registers: englishRegisters,
    refusals: englishRefusals,
    telling: englishTelling,
    warnings: englishWarnings,
    'sign-in': englishSignIn,
    ways: englishWays,
    whys: englishWhys,
  },
  es: {
    calendar: spanishCalendar,
    charts: spanishCharts,
    confirmation: spanishConfirmation,
    truck: spanishTruck,
    device: spanishDevice,
    fleet: spanishFleet,
    forms: spanishForms,
    holds: spanishHolds,
    bench: { ...benchQueueInSpanish, ...benchInSpanish },
    imports: spanishImports,
    instruments: spanishInstruments,
    mails: spanishMails,
    misfits: spanishMisfits,
    morning: spanishMorning,
    'notice-log': spanishNoticeLog,
    outlook: spanishOutlook,
    pages: spanishPages,
    'further-pages': furtherPagesInSpanish,
    'person-sign-in': spanishPersonSignIn,
    places: spanishPlaces,
    papers: spanishPapers,
    plan: spanishPlan,
    proof: spanishProof,
    questions: spanishQuestions,
    reasons: spanishReasons,
    recalls: spanishRecalls,
    registers: spanishRegisters,
    refusals: spanishRefusals,
    telling: spanishTelling,
    warnings: spanishWarnings,
    'sign-in': spanishSignIn,
    ways: spanishWays,
    whys: spanishWhys,
  },
}

interface Paired {
  readonly part: string
  readonly name: string
  readonly en: string
  readonly es: string
}

/** Every English message with what stands for it in Spanish: empty where nothing does. */
export const messages: readonly Paired[] = Object.entries(catalogue.en).flatMap(([part, own]) =>
  Object.entries(own).map(([name, en]) => ({ part, name, en, es: catalogue.es[part]?.[name] ?? '' })),
)

/** A value that a message is filled with, and how it is told. */
export interface Placeholder {
  readonly name: string
  /** none where it is told as it is */
  readonly told?: string | undefined
  readonly options: { readonly [option: string]: string }
}

function placeholderOf({ arg, functionRef }: Expression): Placeholder[] {
  if (arg?.type !== 'variable') return []
  const options = Object.entries(functionRef?.options ?? {}).map(([option, value]) => [
    option,
    value.type === 'literal' ? value.value : `$${value.name}`,
  ])
  return [{ name: arg.name, told: functionRef?.name, options: Object.fromEntries(options) }]
}

const inPattern = (pattern: Pattern): Placeholder[] =>
  pattern.flatMap((piece) => (typeof piece === 'object' && piece.type === 'expression' ? placeholderOf(piece) : []))

/** What a message says where its values are of one number: the keys of that number, and what it is filled with. */
interface Variant {
  readonly keys: readonly string[]
  readonly placeholders: readonly Placeholder[]
  /** its own words, between the values */
  readonly words: readonly string[]
}

const wordsOf = (pattern: Pattern) => pattern.filter((piece) => typeof piece === 'string')

export function variantsOf(text: string): Variant[] {
  const message = parseMessage(text)
  if (!isSelectMessage(message))
    return [{ keys: [], placeholders: inPattern(message.pattern), words: wordsOf(message.pattern) }]
  return message.variants.map(({ keys, value }) => ({
    keys: keys.map((key) => (key.type === '*' ? '*' : key.value)),
    placeholders: inPattern(value),
    words: wordsOf(value),
  }))
}

/** What a message looks at before it says anything. */
export function declaredIn(text: string): Placeholder[] {
  return parseMessage(text).declarations.flatMap(({ value }) => placeholderOf(value))
}

/** Everything that a message needs, each once. */
export function neededBy(text: string): Placeholder[] {
  const all = [...declaredIn(text), ...variantsOf(text).flatMap(({ placeholders }) => placeholders)]
  return [...new Map(all.toReversed().map((one) => [one.name, one])).values()].map(
    ({ name }) => all.find((one) => one.name === name && one.told !== undefined) ?? { name, options: {} },
  )
}

export const isPlural = (text: string): boolean => isSelectMessage(parseMessage(text))
