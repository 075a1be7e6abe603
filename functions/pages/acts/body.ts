/** What was typed into a form, as the body of its request. */
import type { Field, Typed } from './form.ts'

/** Whatever was left empty is left out, so that the request says of it what it says of what is missing. */
export function bodyOf(fields: readonly Field[], typed: Typed, fixed: Readonly<Record<string, unknown>>): object {
  const body: Level = structuredClone(fixed) as Level
  for (const field of fields) {
    const steps = field.name.slice(1).split('/')
    const value = valueTyped(field, typed[field.name] ?? [])
    if (value === undefined) takeOut(body, steps)
    else put(body, steps, value)
  }
  return withoutHoles(body) as object
}

type Level = Record<string, unknown> | unknown[]

function valueTyped(field: Field, texts: readonly string[]): unknown {
  if (field.kind === 'yes') return texts.includes('yes')
  if (field.kind === 'choices') return texts.filter((text) => text !== '')
  const text = texts[0]?.trim() ?? ''
  if (text === '') return undefined
  if (field.kind === 'number') return numberIn(text)
  return field.kind === 'choice' && field.isJson ? fromJson(text) : text.replaceAll('\r\n', '\n')
}

/** A decimal comma counts as a point. What is no number stays as it was typed, and the request says what is wrong. */
function numberIn(text: string): number | string {
  const plain = text.replace(/^([+-]?\d+),(\d+)$/, '$1.$2')
  return /^[+-]?\d+(\.\d+)?$/.test(plain) ? Number(plain) : text
}

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
  at[step] ??= isPlace(next) ? [] : {}
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
