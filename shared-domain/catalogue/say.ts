/**
 * Says a message of a catalogue in a reader's language and units. Messages are written in Unicode MessageFormat 2 (LDML
 * 48, part 9): a value in braces has, where it needs one, a function that says how it is told.
 */
import { MessageFormat } from 'messageformat'
import type { MessageFunction } from 'messageformat/functions'
import type { UnitSystem } from '../words.ts'
import { dateIn, lengthIn, listIn, monthIn, periodsIn, plainFigureIn, smallLengthIn, type Tongue } from './values.ts'

export type Value = string | number
export type Values = { readonly [name: string]: Value | undefined }
export type Messages = { readonly [name: string]: string }
/** The same messages in another language. */
export type Translated<English extends Messages> = { readonly [name in keyof English]: string }

/** A phrase that stands in a sentence as a value, told by a message of its own. */
export interface Phrase {
  readonly is: string
  readonly [name: string]: Value | Phrase | readonly Phrase[]
}
/** Values as data: phrases are said before the message that they stand in. */
export type SaidValues = { readonly [name: string]: Value | Phrase | readonly Phrase[] | undefined }

type NameOf<Place> = Place extends `${infer Name} ${string}` ? Name : Place
type PlacesIn<Text> = Text extends `${string}{$${infer Place}}${infer Rest}` ? Place | PlacesIn<Rest> : never
/** The values that a message needs. */
export type ValuesOf<Text> = { readonly [place in PlacesIn<Text> as NameOf<place>]: Value }
/** What is said with a message: nothing, or one object of values. */
export type Filling<Text> = PlacesIn<Text> extends never ? [] : [ValuesOf<Text>]

type SaidValueOf<Place> = Place extends `${string} :said` ? Phrase | readonly Phrase[] : Value
type SaidValuesOf<Text> = { readonly [place in PlacesIn<Text> as NameOf<place>]: SaidValueOf<place> }

/** A message with its values, as data. */
export type SaidOf<English extends Messages> = {
  readonly [name in keyof English & string]: { readonly is: name } & SaidValuesOf<English[name]>
}[keyof English & string]

/** Single words of records, by their kind and their English. A word that is left out is said as it is recorded. */
export type Vocabulary = { readonly [kind: string]: { readonly [english: string]: string } }

export interface Speech {
  /** A value that is missing, or is of no use to its function, is an error of the caller's and is thrown. */
  readonly message: (text: string, values: Values) => string
  readonly word: (kind: string, english: string) => string
  readonly date: (date: string) => string
  readonly list: (names: readonly string[]) => string
}

export function speechIn(tongue: Tongue, units: UnitSystem, vocabulary: Vocabulary): Speech {
  const read = new Map<string, MessageFormat<string>>()
  const word = (kind: string, english: string) => vocabulary[kind]?.[english] ?? english
  const functions = functionsFor(tongue, units, word)
  const readOnce = (text: string) => {
    const known = read.get(text) ?? new MessageFormat<string>(tongue.locale, text, { bidiIsolation: 'none', functions })
    read.set(text, known)
    return known
  }
  return {
    word,
    date: (date) => dateIn(tongue, date),
    list: (names) => listIn(tongue, names),
    message: (text, values) =>
      readOnce(text).format(values, (error) => {
        throw error
      }),
  }
}

/** Words of records are listed with a comma between two of them. */
const eachWord = (list: string, word: (one: string) => string) => list.split(', ').map(word).join(', ')

type Told = ReturnType<MessageFunction<string>>

function functionsFor(
  tongue: Tongue,
  units: UnitSystem,
  word: Speech['word'],
): Record<string, MessageFunction<string>> {
  return {
    date: (_, __, input) => told(dateIn(tongue, textOf(input))),
    month: (_, __, input) => told(monthIn(tongue, textOf(input))),
    periods: (_, __, input) => told(periodsIn(tongue, textOf(input))),
    figure: (_, __, input) => told(plainFigureIn(tongue, numberOf(input))),
    length: (_, { unit }, input) => told(lengthIn({ ...tongue, units, isBare: unit === 'after' }, numberOf(input))),
    small: (_, __, input) => told(smallLengthIn({ ...tongue, units }, numberOf(input))),
    said: (_, __, input) => told(textOf(input)),
    word: (_, { of }, input) => told(word(textOf(of), textOf(input))),
    words: (_, { of }, input) => told(eachWord(textOf(input), (one) => word(textOf(of), one))),
  }
}

function textOf(input: unknown): string {
  if (input === undefined || input === null) throw new TypeError('a value of a message is missing')
  return String(input)
}

function numberOf(input: unknown): number {
  const number = textOf(input).trim() === '' ? Number.NaN : Number(input)
  if (Number.isNaN(number)) throw new TypeError(`${textOf(input)} is no number`)
  return number
}

/** Its type asks for more than a message needs. */
function told(text: string): Told {
  const type = 'said'
  return { type, toString: () => text, valueOf: () => text, toParts: () => [{ type, value: text }] } as unknown as Told
}
