/** Says the entries of the catalogue, holds and reasons in a reader's language and units. */
import { type CalendarDate, inWords, isCalendarDate } from '../../shared-domain/calendar.ts'
import type { Addressee, StickLine } from '../../shared-domain/notices/notice.ts'
import { metres, millimetres } from '../../shared-domain/quantities.ts'
import type { Reason } from '../../shared-domain/reason.ts'
import { type Detail, removedByDecisionCode } from '../../shared-domain/state/hold.ts'
import { neverTested } from '../../shared-domain/state/standing.ts'
import type { Language, UnitSystem } from '../../shared-domain/words.ts'
import { catalogue, type Entry, type EntryName } from './catalogue.ts'
import { reasons } from './reasons.ts'
import { words } from './words.ts'

interface Reader {
  readonly language: Language
  readonly units: UnitSystem
}

type Value = string | number
type Values = { readonly [place: string]: Value | undefined }
type PlacesIn<Text> = Text extends `${string}{${infer Place}}${infer Rest}` ? NameOf<Place> | PlacesIn<Rest> : never
type NameOf<Place> = Place extends `${infer Name}:${string}` ? Name : Place
type ValuesOf<Name extends EntryName> = { readonly [place in PlacesIn<(typeof catalogue)[Name]['en']>]: Value }

export interface Wording {
  readonly language: Language
  say<Name extends EntryName>(
    name: Name,
    ...values: PlacesIn<(typeof catalogue)[Name]['en']> extends never ? [] : [ValuesOf<Name>]
  ): string
  status(line: Pick<StickLine, 'status' | 'notPrimary'>): string
  hold(hold: StickLine['holds'][number]): { text: string; clearedBy: string }
  why(line: StickLine): string
  /** a day as it was stated, whether or not there is such a day */
  day(stated: string): string
}

export function wordingFor({ language = 'en', units = 'metric' }: Pick<Addressee, 'language' | 'units'>): Wording {
  const reader = { language, units }
  return {
    language,
    say: (name, ...[values]) => filled(catalogue[name], values ?? {}, reader),
    status: ({ status, notPrimary }) =>
      notPrimary ? filled(catalogue['not primary'], { status }, reader) : wordIn(words.status, status, language),
    hold: (hold) => holdFor(hold, reader),
    why: (line) => whyFor(line, reader),
    day: (stated) => (isCalendarDate(stated) ? dateFor(stated, reader) : stated),
  }
}

/** As recorded where it is English in metres, but for readings; built anew from what it is made of otherwise. */
function holdFor(
  { code, text, clearedBy, detail }: StickLine['holds'][number],
  reader: Reader,
): { text: string; clearedBy: string } {
  const leaks = code === 'failed-test' ? leakFor(detail, reader) : undefined
  if (isAsRecorded(reader)) return { text: leaks ?? text, clearedBy }
  const name = sentenceOf(code, detail)
  return {
    text: leaks ?? built(`hold ${name}`, valuesOf(detail, reader), reader) ?? quoted(text, reader),
    clearedBy: built(`cleared ${name}`, {}, reader) ?? quoted(clearedBy, reader),
  }
}

/** Some holds of one code say different things. */
function sentenceOf(code: string, detail: Detail | undefined): string {
  if (detail?.event !== undefined) return 'test-after-event'
  if (detail?.times !== undefined) return `${code}, again`
  if (detail?.beforeReadings) return `${code}, before the readings`
  if (detail?.undone === 'end of service') return `${code}, scrapped`
  if (detail?.wasMissing === false) return `${code}, not missed`
  return detail?.by === 'cleaning' ? `${code}, by cleaning` : code
}

/** A reading, as those who carry the stick say it; undefined where the recorded sentence is not one of a reading. */
function leakFor(detail: Detail | undefined, reader: Reader): string | undefined {
  const { reason, more = 0 } = detail ?? {}
  if (reason?.state === undefined || reason.fromMetres === undefined || reason.toMetres === undefined) return undefined
  const sentence = reason.text.slice(`${placeFor(reason, asRecorded)}: `.length)
  const entry = reason.code === 'reading-in-guard-band' ? reasons['in the guard band'] : reasons['over the limit']
  const values = {
    ...readBack(entry, sentence),
    state: filled(catalogue[reason.state], {}, reader),
    where: whereOnStick(reason, reader),
  }
  const what = built(`hold ${reason.code}`, values, reader)
  return what === undefined || more === 0 ? what : filled(catalogue['and more'], { what, more }, reader)
}

function whereOnStick({ section, quarterTurn, fromMetres: from, toMetres: to }: Reason, reader: Reader): string {
  const span =
    section === undefined
      ? filled(catalogue['span from the working end'], { from, to }, reader)
      : filled(catalogue['span of a section'], { section, from, to }, reader)
  return quarterTurn === undefined
    ? span
    : `${span}, ${filled(catalogue['quarter turn'], { turn: quarterTurn }, reader)}`
}

function whyFor({ status, why, dueOn, removedFor, duty }: StickLine, reader: Reader): string {
  if (isAsRecorded(reader)) return why
  if (why === neverTested) return built('why never tested', {}, reader) ?? quoted(why, reader)
  if (removedFor?.reason?.code === removedByDecisionCode) return decided(why, reader)
  const undated = status === 'in service' && dueOn === null
  const looked = `why ${status}, look`
  const name = undated ? 'why in service without a date' : duty === 'look' && isEntry(looked) ? looked : `why ${status}`
  const values = { ...valuesOf(removedFor, reader), ...(dueOn === null ? {} : { dueOn }), ...ownValues(name, why) }
  return built(name, values, reader) ?? quoted(why, reader)
}

function decided(why: string, reader: Reader): string {
  const entry = catalogue['why removed by decision']
  return filled(entry, readBack(entry, why) ?? {}, reader)
}

/** The date of the sentence itself, and the words of the rule; not what a stick failed by, which is English to the end. */
function ownValues(name: string, why: string): Values {
  if (!isEntry(name) || name === 'why removed from service') return {}
  return readBack(catalogue[name], why) ?? {}
}

function isEntry(name: string): name is EntryName {
  return Object.hasOwn(catalogue, name)
}

function isAsRecorded({ language, units }: Reader): boolean {
  return language === 'en' && units === 'metric'
}

/** What was kept before sentences had parts can only be quoted. */
function quoted(text: string, reader: Reader): string {
  return filled(catalogue.recorded, { text }, reader)
}

function built(name: string, values: Values, reader: Reader): string | undefined {
  const entry: Entry | undefined = isEntry(name) ? catalogue[name] : undefined
  if (entry === undefined || placesOf(entry.en).some((place) => values[place.name] === undefined)) return undefined
  return filled(entry, values, reader)
}

function valuesOf(detail: Detail | undefined, reader: Reader): Values {
  if (detail === undefined) return {}
  const { reason, more = 0, beforeReadings: _, wasMissing: __, ...values } = detail
  if (reason === undefined) return values
  const what = reasonFor(reason, reader)
  return { ...values, what: more === 0 ? what : filled(catalogue['and more'], { what, more }, reader) }
}

const asRecorded: Reader = { language: 'en', units: 'metric' }

/**
 * A recorded reason begins with its place, except where the sentence itself tells it.
 * @lintignore the tests say every reason again in the language it was recorded in
 */
export function reasonFor(reason: Reason, reader: Reader): string {
  const recordedPlace = `${placeFor(reason, asRecorded)}: `
  if (!reason.text.startsWith(recordedPlace)) return sentenceFor(reason.text, reader)
  const what = sentenceFor(reason.text.slice(recordedPlace.length), reader)
  return filled(catalogue.at, { place: placeFor(reason, reader), what }, reader)
}

function placeFor({ state, section, quarterTurn, fromMetres, toMetres }: Reason, reader: Reader): string {
  const parts = [
    ...(state === undefined ? [] : [filled(catalogue[state], {}, reader)]),
    ...(section === undefined ? [] : [filled(catalogue.section, { section }, reader)]),
    ...(quarterTurn === undefined ? [] : [filled(catalogue['quarter turn'], { turn: quarterTurn }, reader)]),
    ...(fromMetres === undefined || toMetres === undefined
      ? []
      : [filled(catalogue.span, { from: fromMetres, to: toMetres }, reader)]),
  ]
  const text = parts.join(', ')
  return text.charAt(0).toUpperCase() + text.slice(1)
}

function sentenceFor(recorded: string, reader: Reader): string {
  for (const entry of Object.values<Entry>(reasons)) {
    const values = readBack(entry, recorded)
    if (values !== undefined) return filled(entry, values, reader)
  }
  return quoted(recorded, reader)
}

interface Place {
  readonly name: string
  readonly kind: string
}

const inBraces = /\{(\w+)(?::(\w+))?\}/g

/** @lintignore the test holds both languages of an entry to the same places */
export function placesOf(text: string): Place[] {
  return [...text.matchAll(inBraces)].map(([, name = '', kind = 'text']) => ({ name, kind }))
}

function filled(entry: Entry, values: Values, reader: Reader): string {
  return entry[reader.language].replace(inBraces, (_, name: string, kind = 'text') =>
    told(values[name] ?? '', kind, reader),
  )
}

function told(value: Value, kind: string, reader: Reader): string {
  switch (kind) {
    case 'text':
    case 'number':
      return String(value)
    case 'date':
      return dateFor(value as CalendarDate, reader)
    case 'periods':
      return periodsFor(String(value), reader)
    case 'length':
      return lengthFor(Number(value), reader)
    case 'figure':
      return reader.units === 'metric' ? String(rounded(Number(value))) : lengthFor(Number(value), reader)
    case 'small':
      return smallLengthFor(Number(value), reader)
    default:
      return wordIn(words[kind as keyof typeof words], String(value), reader.language)
  }
}

function wordIn(spanish: { readonly [word: string]: string }, english: string, language: Language): string {
  return language === 'es' && Object.hasOwn(spanish, english) ? (spanish[english] ?? english) : english
}

const spanishMonths = 'enero febrero marzo abril mayo junio julio agosto septiembre octubre noviembre diciembre'.split(
  ' ',
)
const englishMonths = 'January February March April May June July August September October November December'.split(' ')

function dateFor(date: CalendarDate, { language }: Reader): string {
  if (language === 'en') return inWords(date)
  const [year, month, day] = date.split('-').map(Number)
  return `${day} de ${spanishMonths[(month ?? 1) - 1]} de ${year}`
}

const englishDate = `(\\d{1,2}) (${englishMonths.join('|')}) (\\d{4})`

function dateIn(english: string): CalendarDate {
  const [, day = '', month = '', year = ''] = new RegExp(`^${englishDate}$`).exec(english) ?? []
  const number = englishMonths.indexOf(month) + 1
  return `${year}-${String(number).padStart(2, '0')}-${day.padStart(2, '0')}` as CalendarDate
}

/** "2 March 2026 to 1 March 2027, …" */
function periodsFor(english: string, reader: Reader): string {
  if (reader.language === 'en') return english
  return english
    .replaceAll(/(?<=\d{4}) to (?=\d)/g, ' a ')
    .replaceAll(new RegExp(englishDate, 'g'), (date) => dateFor(dateIn(date), reader))
}

/** One foot is 0.3048 m and one inch 25.4 mm, both exactly (NIST SP 811, 2008 edition, B.8). */
const millimetresPerInch = 25.4
const inchesPerFoot = 12

/** Tenths of an inch are finer than a tape laid along a stick. */
function lengthFor(length: number, { units, language }: Reader): string {
  if (units === 'metric') return `${rounded(length)} m`
  const tenths = Math.round((millimetres(length) / millimetresPerInch) * 10)
  const feet = Math.floor(tenths / (inchesPerFoot * 10))
  const inches = (tenths - feet * inchesPerFoot * 10) / 10
  const names = unitNames[language]
  const inFeet = `${feet} ${feet === 1 ? names.foot : names.feet}`
  if (inches === 0) return inFeet
  return feet === 0 ? `${inches} ${names.inches}` : `${inFeet} ${inches} ${names.inches}`
}

/** Hundredths of an inch tell every millimetre from the next. */
function smallLengthFor(length: number, { units, language }: Reader): string {
  if (units === 'metric') return `${length} mm`
  return `${Math.round((length / millimetresPerInch) * 100) / 100} ${unitNames[language].inches}`
}

const unitNames = {
  en: { foot: 'ft', feet: 'ft', inches: 'in' },
  es: { foot: 'pie', feet: 'pies', inches: 'pulg' },
} as const satisfies { readonly [language in Language]: object }

function rounded(length: number): number {
  return metres(millimetres(length))
}

const number = '(-?\\d+(?:\\.\\d+)?(?:e[+-]?\\d+)?)'
const patternOf: { readonly [kind: string]: string } = {
  text: '(.+)',
  periods: '(.+)',
  number,
  date: `(${englishDate.replaceAll('(', '(?:')})`,
  length: `${number} m`,
  small: `${number} mm`,
}

const patterns = new Map<Entry, RegExp>()

/** The values of a finished English sentence, or undefined where it is not this one. */
function readBack(entry: Entry, english: string): Values | undefined {
  const pattern = patterns.get(entry) ?? patternFor(entry.en)
  patterns.set(entry, pattern)
  const found = pattern.exec(english)
  if (found === null) return undefined
  const places = placesOf(entry.en)
  return Object.fromEntries(
    places.map(({ name, kind }, i) => [name, kind === 'date' ? dateIn(found[i + 1] ?? '') : found[i + 1]]),
  )
}

function patternFor(english: string): RegExp {
  const literals = english.split(/\{\w+(?::\w+)?\}/).map((text) => text.replace(/[.*+?^${}()|[\]\\]/g, '\\$&'))
  const kinds = placesOf(english).map(({ kind }) => patternOf[kind] ?? oneOf(kind as keyof typeof words))
  return new RegExp(`^${literals.map((literal, i) => literal + (kinds[i] ?? '')).join('')}$`, 's')
}

function oneOf(dictionary: keyof typeof words): string {
  return `(${Object.keys(words[dictionary]).join('|')})`
}
