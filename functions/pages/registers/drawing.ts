/**
 * Fields of entries, each drawn with what stands in it: forms are made of them, and what an entry says is read off
 * them.
 */

import { canonical } from '../../../shared-domain/canonical.ts'
import type { UnitSystem } from '../../../shared-domain/words.ts'
import type { Directory } from '../../questions/directory.ts'
import type { Markup } from '../../web/web-page.ts'
import type { Field, FieldGroup, FormPart, Option, Rows } from '../acts/form.ts'
import type { Unit } from '../acts/measure.ts'
import type { PageWording } from '../wording.ts'

export interface Drawing {
  readonly wording: PageWording
  readonly directory: Directory
  /** numbers of demonstrations that a procedure may name */
  readonly demonstrations: readonly string[]
}

/** An entry's fields, with what stands in the body; nothing stands in a new one. */
export type Draw<Body> = (body: Body | undefined, drawing: Drawing) => readonly FormPart[]

type Name = Field['name']
interface More {
  readonly hint?: Markup | string | undefined
  readonly optional?: boolean | undefined
}

const rest = ({ hint, optional }: More) => ({
  ...(hint === undefined || hint === '' ? {} : { hint }),
  ...(optional ? { optional: true as const } : {}),
})
const standing = (value: string | number | undefined) => (value === undefined ? {} : { value: String(value) })

/** A field of one value, by its kind. */
const simple =
  (kind: 'line' | 'text' | 'date' | 'number' | 'address') =>
  (name: Name, label: string, ...[value, more = {}]: readonly [value?: string | number, more?: More]): Field => ({
    kind,
    name,
    label,
    ...standing(value),
    ...rest(more),
  })

export const lineField = simple('line')
export const dateField = simple('date')
export const number = simple('number')
export const address = simple('address')

interface Chosen extends More {
  readonly options: readonly Option[]
  readonly isJson?: true
  readonly value?: string | undefined
  readonly values?: readonly string[] | undefined
}

export const choice = (name: Name, label: string, { options, isJson, value, ...more }: Chosen): Field => ({
  kind: 'choice',
  name,
  label,
  options,
  ...(isJson ? { isJson } : {}),
  ...standing(value),
  ...rest(more),
})

export const pick = (name: Name, label: string, { options, isJson, value, ...more }: Chosen): Field => ({
  kind: 'pick',
  name,
  label,
  options,
  ...(isJson ? { isJson } : {}),
  ...standing(value),
  ...rest(more),
})

export const several = (name: Name, label: string, { options, values, ...more }: Chosen): Field => ({
  kind: 'choices',
  name,
  label,
  options,
  ...(values === undefined ? {} : { values }),
  ...rest(more),
})

export const tick = (
  name: Name,
  label: string,
  ...[value, more = {}]: readonly [value?: boolean, more?: More]
): Field => ({
  kind: 'yes',
  name,
  label,
  ...(value ? { value: 'yes' } : {}),
  ...rest(more),
})

/** Part of an entry that no form asks for goes on in the next edition as it is. */
export function kept(name: Name, label: string, value: object): Field[] {
  const stated = Object.fromEntries(Object.entries(value).filter(([, one]) => one !== undefined))
  return Object.keys(stated).length === 0 ? [] : [{ kind: 'kept', name, label, value: canonical(stated) }]
}

export const group = (legend: string, fields: readonly Field[], hint?: string): FieldGroup => ({
  kind: 'group',
  legend,
  fields,
  ...(hint === undefined ? {} : { hint }),
})

interface Listed<Row> {
  readonly legend: string
  readonly hint: string
  readonly each: Rows['each']
  readonly standing: readonly Row[] | undefined
  readonly optional?: true
  readonly spare?: number
}

export function rows<Row>(
  name: Name,
  { legend, hint, each, standing: all = [], optional, spare = 2 }: Listed<Row>,
  row: (at: Name, one: Row | undefined) => readonly Field[],
): Rows {
  return {
    kind: 'rows',
    name,
    legend,
    hint,
    each,
    row: (at, place) => row(at, all[place]),
    filled: all.length,
    spare,
    ...(optional ? { optional } : {}),
  }
}

/** A length along a stick, in the reader's unit. */
export const along = (wording: PageWording, name: Name, labelled: Labelled): Field =>
  measure(wording, name, { ...labelled, unit: unitOf(wording.units, 'm', 'ft'), feet: 'hint feet' })
/** A length across a stick. */
export const across = (wording: PageWording, name: Name, labelled: Labelled): Field =>
  measure(wording, name, { ...labelled, unit: unitOf(wording.units, 'mm', 'in'), feet: 'hint inches' })

interface Labelled extends More {
  readonly label: string
  readonly length: number | undefined
}

const unitOf = (units: UnitSystem, metric: Unit, customary: Unit) => (units === 'metric' ? metric : customary)

interface Measured extends Labelled {
  readonly unit: Unit
  readonly feet: 'hint feet' | 'hint inches'
}

function measure({ say }: PageWording, name: Name, { label, length, unit, feet, hint, optional }: Measured): Field {
  const isMetric = unit === 'm' || unit === 'mm'
  return {
    kind: 'measure',
    name,
    label,
    unit,
    length,
    ...rest({ hint: hint ?? (isMetric ? undefined : say(feet)), optional }),
  }
}

/** Words of the trade to choose from, in the reader's language. */
export const wordsOf = ({ word }: PageWording, kind: string, all: readonly string[]): Option[] =>
  all.map((one) => [one, word(kind, one)])
