/** What is said of a stick, whoever prints it: its status, why it stands so, its holds, the reasons against a test. */
import type { Place } from './bench-test/places.ts'
import type { Warning } from './bench-test/procedure-warnings.ts'
import type { questions } from './catalogue/en/questions.ts'
import type { refusing } from './catalogue/en/refusals.ts'
import type { warnings } from './catalogue/en/warnings.ts'
import type { ways } from './catalogue/en/ways.ts'
import type { Core, Spoken } from './catalogue/languages.ts'
import {
  type Filling,
  type Messages,
  type SaidValues,
  type Speech,
  speechIn,
  type Translated,
  type Value,
  type Values,
} from './catalogue/say.ts'
import type { Fault } from './fault.ts'
import type { FleetEffect } from './loosening/effect.ts'
import type { Way } from './loosening/way.ts'
import type { Reason } from './reason.ts'
import type { Refusal } from './refusal.ts'
import type { Question } from './slips/question.ts'
import { type Detail, removedByDecisionCode, type SaidHold } from './state/hold.ts'
import type { Objection } from './state/refusal.ts'
import type { Standing, Why } from './state/standing.ts'
import type { Language, UnitSystem } from './words.ts'

/** Why a stick stands as it does; a sentence in English in what an earlier build wrote. */
interface ToSayWhy {
  readonly why: Why | string
  readonly removedFor?: Detail | undefined
  readonly holds: readonly SaidHold[]
}

export interface Wording<Own extends Messages> {
  readonly language: Language
  readonly units: UnitSystem
  /** A message of the catalogue of whoever asks. */
  readonly say: <Name extends keyof Own & string>(name: Name, ...values: Filling<Own[Name]>) => string
  readonly status: (one: Pick<Standing, 'status' | 'notPrimary'>) => string
  /** A single word of a record. */
  readonly word: (kind: string, english: string) => string
  readonly reason: (reason: Reason) => string
  /** Why it must not be used, and what alone clears that; without a full stop. */
  readonly hold: (hold: SaidHold) => { readonly text: string; readonly clearedBy: string }
  readonly why: (stands: ToSayWhy) => string
  /**
   * What a record holds, by the messages of whoever asks: its sentence, or the words that an earlier build recorded.
   */
  readonly told: (told: Told) => string
  readonly objection: (objection: Objection) => string
  /** a day as it was stated, whether or not there is such a day */
  readonly day: (stated: string) => string
  /** names one after the other, with the word for “and” before the last */
  readonly list: (names: readonly string[]) => string
}

/** A sentence of a record, and the place on a stick that it begins with. */
interface Told {
  readonly code: string
  readonly says?: ({ readonly is: string } & SaidValues) | undefined
  readonly text?: string | undefined
  readonly place?: Place | undefined
}

/** What a message means is read once for each language and system of units. */
const speeches = new WeakMap<Spoken, Map<UnitSystem, Speech>>()

function speechFor(spoken: Spoken, units: UnitSystem): Speech {
  const ofLanguage = speeches.get(spoken) ?? new Map<UnitSystem, Speech>()
  speeches.set(spoken, ofLanguage)
  const speech = ofLanguage.get(units) ?? speechIn(spoken, units, spoken.vocabulary)
  ofLanguage.set(units, speech)
  return speech
}

export function wordingIn<Own extends Messages>(spoken: Spoken, units: UnitSystem, own: Translated<Own>): Wording<Own> {
  const speech = speechFor(spoken, units)
  const by = { core: spoken.core, speech }
  const why = (stands: ToSayWhy) => whyIn(by, stands)
  const hold = (one: SaidHold) => holdIn(by, one)
  return {
    language: spoken.language,
    units,
    say: (name, ...[values]) => speech.message(own[name], values ?? {}),
    word: speech.word,
    status: ({ status, notPrimary }) =>
      notPrimary ? said(by, 'not primary', { status }) : speech.word('status', status),
    reason: (reason) => reasonIn(by, reason),
    hold,
    why,
    told: (told) => toldIn({ ...by, own }, told),
    objection: (one) => objectionIn({ ...by, own }, one),
    day: speech.date,
    list: speech.list,
  }
}

interface By {
  readonly core: Translated<Core>
  readonly speech: Speech
}

function said({ core, speech }: By, name: keyof Core, values: Values = {}): string {
  return speech.message(core[name], values)
}

/**
 * A record of another build may have no sentence here, or lack a value of it. That stops no word from reaching anybody.
 */
function saidIfKnown(by: By, name: string, values: Values): string | undefined {
  return ofMessages(by, { name, values, messages: by.core })
}

interface Sought {
  readonly name: string
  readonly values: Values
  readonly messages: Messages
}

function ofMessages({ speech }: By, { name, values, messages }: Sought): string | undefined {
  const message = Object.hasOwn(messages, name) ? messages[name] : undefined
  if (message === undefined) return undefined
  try {
    return speech.message(message, values)
  } catch {
    return undefined
  }
}

/**
 * In the words of whoever wrote it; what an earlier build recorded in English is quoted to readers of another language.
 */
function recorded(by: By, text: string): string {
  return said(by, 'recorded', { text })
}

function reasonIn(by: By, reason: Reason): string {
  const { code, says, text, state } = reason
  if (says === undefined) return text === undefined ? said(by, 'unknown', { code }) : recorded(by, text)
  const what = sentenceIn({ ...by, own: by.core }, says) ?? said(by, 'unknown', { code })
  // a finding of the examination tells its place itself
  return state === undefined ? what : said(by, 'at', { place: placeIn(by, reason), what })
}

/** "Dry, quarter turn 90°, 0.6 to 0.9 m" */
function placeIn(by: By, { state, section, quarterTurn, fromMetres: from, toMetres: to }: Place): string {
  const parts = [
    ...(state === undefined ? [] : [said(by, state)]),
    ...(section === undefined ? [] : [said(by, 'section', { section })]),
    ...(quarterTurn === undefined ? [] : [said(by, 'quarter turn', { turn: quarterTurn })]),
    ...(from === undefined || to === undefined ? [] : [said(by, 'span', { from, to })]),
  ]
  const text = parts.join(', ')
  return text.charAt(0).toUpperCase() + text.slice(1)
}

function holdIn(by: By, hold: SaidHold): { text: string; clearedBy: string } {
  const { code, detail } = hold
  const name = nameBy(code, detail)
  const leak = code === 'failed-test' ? leakIn(by, detail) : undefined
  const text = leak ?? saidIfKnown(by, `hold ${name}`, valuesOf(by, detail))
  const clearedBy = saidIfKnown(by, `cleared ${name}`, {})
  return {
    text: text ?? (hold.text === undefined ? said(by, 'hold unknown', { code }) : recorded(by, hold.text)),
    clearedBy: clearedBy ?? (hold.clearedBy === undefined ? said(by, 'cleared unknown') : recorded(by, hold.clearedBy)),
  }
}

/** Some holds of one code say different things. */
function nameBy(code: string, detail: Detail | undefined): string {
  if (detail?.event !== undefined) return 'test-after-event'
  if (detail?.recalledBy !== undefined) return `${code}, ${detail.recalledBy}`
  if (detail?.times !== undefined) return `${code}, again`
  if (detail?.beforeReadings) return `${code}, before the readings`
  if (detail?.undone === 'end of service') return `${code}, scrapped`
  if (detail?.wasMissing === false) return `${code}, not missed`
  return detail?.by === 'cleaning' ? `${code}, by cleaning` : code
}

/** A reading, as those who carry the stick say it; undefined where it failed by something else. */
function leakIn(by: By, detail: Detail | undefined): string | undefined {
  const { reason, more = 0 } = detail ?? {}
  if (reason?.says === undefined || reason.state === undefined) return undefined
  if (reason.says.is !== 'over the limit' && reason.says.is !== 'in the guard band') return undefined
  const name = reason.says.is === 'over the limit' ? 'hold reading-over-limit' : 'hold reading-in-guard-band'
  const { fromMetres, toMetres, says } = reason
  if (fromMetres === undefined || toMetres === undefined) return undefined
  const what = saidIfKnown(by, name, { ...says, state: said(by, reason.state), where: whereIn(by, reason) })
  return what === undefined || more === 0 ? what : said(by, 'and more', { what, more })
}

function whereIn(by: By, { section, quarterTurn, fromMetres: from, toMetres: to }: Reason): string {
  const span =
    section === undefined
      ? said(by, 'span from the working end', { from, to })
      : said(by, 'span of a section', { section, from, to })
  return quarterTurn === undefined ? span : `${span}, ${said(by, 'quarter turn', { turn: quarterTurn })}`
}

function valuesOf(by: By, detail: Detail | undefined): Values {
  if (detail === undefined) return {}
  const { reason, more = 0, beforeReadings: _, wasMissing: __, ...values } = detail
  if (reason === undefined) return values
  const what = reasonIn(by, reason)
  return { ...values, what: more === 0 ? what : said(by, 'and more', { what, more }) }
}

function whyIn(by: By, { why, holds, removedFor }: ToSayWhy): string {
  if (typeof why === 'string') return recorded(by, why)
  if (why.is === 'why held' && holds.length > 0) return holds.map((hold) => `${holdIn(by, hold).text}.`).join(' ')
  if (why.is === 'why removed' && removedFor !== undefined) return removedIn(by, removedFor)
  return saidIfKnown(by, why.is, why) ?? said(by, 'why unknown')
}

function removedIn(by: By, detail: Detail): string {
  const { code, text = '' } = detail.reason ?? {}
  // whoever says why adds the full stop
  if (code === removedByDecisionCode) return said(by, 'why removed by decision', { reason: text.replace(/\.$/, '') })
  return saidIfKnown(by, 'why removed from service', valuesOf(by, detail)) ?? said(by, 'why removed')
}

interface ByOwn extends By {
  readonly own: Messages
}

function toldIn(by: ByOwn, { code, says, text, place }: Told): string {
  if (says === undefined) return text === undefined ? said(by, 'unknown', { code }) : recorded(by, text)
  const placed = place === undefined ? says : { ...says, place: placeIn(by, place) }
  return sentenceIn(by, placed) ?? said(by, 'unknown', { code })
}

/** A sentence with the phrases that stand in it; undefined where there are no words for it, or for one of them. */
function sentenceIn(by: ByOwn, { is: name, ...values }: { readonly is: string } & SaidValues): string | undefined {
  const plain = Object.fromEntries(Object.entries(values).map(([of, value]) => [of, valueIn(by, value)]))
  return ofMessages(by, { name, values: plain, messages: by.own }) ?? saidIfKnown(by, name, plain)
}

function valueIn(by: ByOwn, value: SaidValues[string]): Value | undefined {
  if (typeof value !== 'object') return value
  const phrases = 'is' in value ? [value] : value
  const all = phrases.map((phrase) => sentenceIn(by, phrase))
  // a list without one of its members would say less than was recorded
  return all.includes(undefined) ? undefined : all.join(', ')
}

function objectionIn(by: ByOwn, { hold, stands, refuses, ...reason }: Objection): string {
  if (hold !== undefined) return holdIn(by, hold).text
  if (refuses !== undefined) return toldIn(by, { code: reason.code, says: refuses })
  const parts = [
    ...(reason.says === undefined && reason.text === undefined ? [] : [reasonIn(by, reason)]),
    ...(stands === undefined ? [] : [whyIn(by, stands)]),
  ]
  return parts.join(' ')
}

/**
 * Says how an edit or a correction would make something milder. Few readers meet one, so its messages are asked for
 * apart.
 */
export function wayIn({ told, hold: holdIn }: Wording<typeof ways>, way: Way | string): string {
  if (typeof way === 'string') return told({ code: '', text: way })
  const what = told(way)
  return way.hold === undefined ? what : `${what} ${holdIn(way.hold).text}.`
}

/**
 * Says what hangs on an edit, as it was counted when the edit was asked for; a second sentence where not all was
 * counted.
 */
export function effectIn({ say }: Wording<typeof ways>, fleet: FleetEffect): string[] {
  if (fleet.of === 'stick') return [say('effect stick', { was: fleet.inForce.status, is: fleet.proposed.status })]
  return [countedIn(say, fleet), ...(fleet.isWhole ? [] : [say('effect counted in part')])]
}

function countedIn(say: Wording<typeof ways>['say'], fleet: Exclude<FleetEffect, { readonly of: 'stick' }>): string {
  switch (fleet.of) {
    case 'rules': {
      const { sticks, newlyFit, dueLater, noLongerFit } = fleet
      return say('effect rules', { sticks, newlyFit, dueLater, noLongerFit })
    }
    case 'tests':
      return say('effect tests', { sticks: fleet.sticks, milder: fleet.milder })
    case 'sticks':
      return say('effect sticks', { sticks: fleet.sticks })
  }
}

/** What would be right at the place of a fault; without a full stop. */
export function faultIn({ told }: Wording<typeof refusing>, { expected }: Pick<Fault, 'expected'>): string {
  return saidOrWritten(told, expected)
}

/** What was refused, and why or what would be right, a sentence each. */
export function refusalIn(
  wording: Wording<typeof refusing>,
  refusal: Refusal,
): { readonly title: string; readonly details: readonly string[] } {
  const { say, told, objection } = wording
  switch (refusal.kind) {
    case 'invalid':
      return { title: say(faultyPart(refusal.faults)), details: refusal.faults.map((one) => faultIn(wording, one)) }
    case 'refused':
      return { title: say('title refused'), details: refusal.reasons.map(objection) }
    case 'try again':
      return { title: say('title try again'), details: [say('try again: nothing written')] }
    case 'too many':
      return { title: say('title too many'), details: [say('too many: wait', { seconds: refusal.seconds })] }
    case 'malformed':
    case 'not signed in':
    case 'not allowed':
    case 'not found':
    case 'too large':
      return { title: say(`title ${refusal.kind}`), details: [saidOrWritten(told, refusal.says)] }
  }
}

function faultyPart(faults: readonly Fault[]) {
  const [part = 'body', ...others] = new Set(faults.map((one) => one.in ?? 'body'))
  return others.length === 0 ? (`title invalid, ${part}` as const) : 'title invalid'
}

type SaidOrWritten = ({ readonly is: string } & SaidValues) | string
const saidOrWritten = (told: Wording<Messages>['told'], one: SaidOrWritten) =>
  told(typeof one === 'string' ? { code: '', text: one } : { code: one.is, says: one })

export const questionIn = ({ told }: Wording<typeof questions>, question: Question): string => told(question)
export const warningIn = ({ told }: Wording<typeof warnings>, warning: Warning): string => told(warning)

/** A language with the messages of whoever speaks it. */
export interface Speaker<Own extends Messages> {
  readonly spoken: Spoken
  readonly own: Translated<Own>
}

/** What a reader asked for, where they did. */
export interface Reader {
  readonly language?: Language | undefined
  readonly units?: UnitSystem | undefined
}
