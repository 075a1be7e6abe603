/** What was typed into a form, as the body of its request. */
import type { Field, FormPart, Typed } from './form.ts'
import { measureIn, numberIn, textOf } from './measure.ts'
import { rowsFilled, rowsOf } from './rows.ts'

/** Whatever was left empty is left out, so that the request says of it what it says of what is missing. */
export function bodyOf(parts: readonly FormPart[], typed: Typed, fixed: Readonly<Record<string, unknown>>): object {
  const body: Level = structuredClone(fixed) as Level
  for (const part of parts) {
    const fields =
      part.kind === 'rows' ? rowsOf(part, rowsFilled(part, typed)) : part.kind === 'group' ? part.fields : [part]
    if (part.kind === 'rows' && fields.length === 0 && !part.optional) put(body, stepsTo(part.name), [])
    for (const field of fields) {
      const value = valueTyped(field, typed[field.name] ?? [])
      if (value === undefined) takeOut(body, stepsTo(field.name))
      else put(body, stepsTo(field.name), value)
    }
  }
  return withoutHoles(body) as object
}

type Level = Record<string, unknown> | unknown[]

const stepsTo = (name: string) => name.slice(1).split('/')

function valueTyped(field: Field, texts: readonly string[]): unknown {
  if (field.kind === 'yes') return texts.includes('yes') || (field.optional ? undefined : false)
  if (field.kind === 'choices') return chosen(field, texts)
  const text = texts[0]?.trim() ?? ''
  if (text === '') return undefined
  if (field.kind === 'number') return numberIn(text)
  if (field.kind === 'measure') return measured(field, text)
  if (field.kind === 'list') return field.of === 'lines' ? linesIn(text) : numbersIn(text)
  if (field.kind === 'kept') return fromJson(text)
  const isJson = (field.kind === 'choice' || field.kind === 'pick') && field.isJson
  return isJson ? fromJson(text) : text.replaceAll('\r\n', '\n')
}

function chosen({ optional }: Field, texts: readonly string[]): readonly string[] | undefined {
  const all = texts.filter((text) => text !== '')
  return optional && all.length === 0 ? undefined : all
}

/** A length that nobody changed is not rounded. */
function measured({ unit, length }: Field & { readonly kind: 'measure' }, text: string): number | string {
  return length !== undefined && text === textOf(length, unit) ? length : measureIn(text, unit)
}

const linesIn = (text: string) =>
  text
    .split(/[\r\n]+/)
    .map((line) => line.trim())
    .filter((line) => line !== '')

const numbersIn = (text: string) => text.split(/[\s,;]+/).map(numberIn)

/** Such a value was written by the form itself, unless somebody changed it: then it stays as it came. */
function fromJson(text: string): unknown {
  try {
    return JSON.parse(text)
  } catch {
    return text
  }
}

const isPlace = (step: string) => /^\d+$/.test(step)

/** The steps are names of fields that the house wrote, and none of them is that of a prototype. */
function put(level: Level, [step = '', next, ...rest]: readonly string[], value: unknown): void {
  const at = level as Record<string, unknown>
  if (next === undefined) {
    at[step] = value
    return
  }
  if (typeof at[step] !== 'object' || at[step] === null) at[step] = isPlace(next) ? [] : {}
  put(at[step] as Level, [next, ...rest], value)
}

/** What was emptied does not stay as it was. */
function takeOut(level: Level, [step = '', ...rest]: readonly string[]): void {
  const at = level as Record<string, unknown>
  const inner = at[step]
  if (rest.length === 0) delete at[step]
  else if (typeof inner === 'object' && inner !== null) takeOut(inner as Level, rest)
}

/** A row of a list that was left empty is no row. */
function withoutHoles(value: unknown): unknown {
  if (Array.isArray(value)) return value.filter((one) => one !== undefined).map(withoutHoles)
  if (typeof value !== 'object' || value === null) return value
  return Object.fromEntries(Object.entries(value).map(([name, inner]) => [name, withoutHoles(inner)]))
}
