/** What an entry says, and what an edition changed, field by field in a reader's words. */
import type { Field, FormPart, Rows } from '../acts/form.ts'
import type { PageWording } from '../wording.ts'

/** A value by its label; or a list, each row a value by its label. */
export type Said =
  | { readonly label: string; readonly text: string }
  | { readonly label: string; readonly rows: readonly (readonly Named[])[] }

interface Named {
  readonly label: string
  readonly text: string
}

/** All that stands in an entry; what states nothing is left out. */
export function saidIn(parts: readonly FormPart[], wording: PageWording): Said[] {
  return parts.flatMap((part): Said[] => {
    if (part.kind === 'rows') return part.filled === 0 ? [] : [{ label: part.legend, rows: rowsIn(part, wording) }]
    if (part.kind !== 'group') return named([part], wording)
    const within = part.legend
    return named(part.fields, wording).map(({ label, text }) => ({
      label: wording.say('field within', { within, field: label }),
      text,
    }))
  })
}

const rowsIn = ({ name, filled, row }: Rows, wording: PageWording) =>
  Array.from({ length: filled }, (_, place) => named(row(`${name}/${place}`, place), wording))

function named(fields: readonly Field[], wording: PageWording): Named[] {
  return fields.flatMap((field) => {
    const text = textIn(field, wording)
    return text === '' ? [] : [{ label: field.label, text }]
  })
}

function textIn(field: Field, wording: PageWording): string {
  const { say, day, list } = wording
  if (field.kind === 'yes') return field.value === 'yes' ? say('yes') : ''
  if (field.kind === 'choices') return list((field.values ?? []).map((value) => optionIn(field, value)))
  if (field.kind === 'measure') return measured(field, wording)
  const { value = '' } = field
  if (value === '') return ''
  if (field.kind === 'choice' || field.kind === 'pick') return optionIn(field, value)
  if (field.kind === 'date') return day(value)
  if (field.kind === 'list' && field.of === 'lines') return list(value.split('\n'))
  return value
}

function optionIn({ options }: Field & { readonly kind: 'choice' | 'pick' | 'choices' }, value: string): string {
  return options.find(([one]) => one === value)?.[1] ?? value
}

function measured({ length, unit }: Field & { readonly kind: 'measure' }, { say }: PageWording): string {
  if (length === undefined) return ''
  return unit === 'm' || unit === 'ft' ? say('length', { at: length }) : say('diameter', { across: length })
}

/** What an edition changed from the one before, a sentence each. */
export function changesIn(before: readonly Said[], after: readonly Said[], wording: PageWording): string[] {
  const labels = [...new Set([...before, ...after].map(({ label }) => label))]
  return labels.flatMap((label) => {
    const [was, is] = [before, after].map((all) => all.find((one) => one.label === label))
    const hasRows = [was, is].some((one) => one !== undefined && 'rows' in one)
    return hasRows
      ? rowsChanged(label, [rowsOf(was), rowsOf(is)], wording)
      : changed(label, [textOf(was), textOf(is)], wording)
  })
}

const textOf = (one: Said | undefined) => (one !== undefined && 'text' in one ? one.text : '')

type Both<Thing> = readonly [was: Thing, is: Thing]

function changed(field: string, [from, to]: Both<string>, { say }: PageWording): string[] {
  if (from === to) return []
  if (from === '') return [say('field first stated', { field, to })]
  return [to === '' ? say('field not stated', { field, from }) : say('field became', { field, from, to })]
}

type Row = readonly Named[]

export const rowInWords = (row: Row, { say }: Pick<PageWording, 'say'>): string =>
  row.map(({ label, text }) => say('field and fault', { field: label, fault: text })).join('; ')

const rowsOf = (one: Said | undefined): readonly Row[] => (one !== undefined && 'rows' in one ? one.rows : [])

const contentOf = (row: Row) => JSON.stringify(row)

/** A list has no names for its rows: one that went is taken for the new one that says most of the same, if any does. */
function rowsChanged(rows: string, [was, is]: Both<readonly Row[]>, wording: PageWording): string[] {
  const { say } = wording
  const came = without(is, was)
  return [
    ...without(was, is).map((before) => {
      const after = likest(before, came)
      if (after === undefined) return say('row went', { rows, what: rowInWords(before, wording) })
      came.splice(came.indexOf(after), 1)
      return say('row became', { rows, row: sameIn(before, after), what: differences(before, after, wording) })
    }),
    ...came.map((row) => say('row came', { rows, what: rowInWords(row, wording) })),
  ]
}

const textFor = (row: Row, name: string) => row.find(({ label }) => label === name)?.text ?? ''
const shared = (one: Row, other: Row) => one.filter(({ label, text }) => textFor(other, label) === text)

/** At least half of a row is the same. */
function likest(row: Row, others: readonly Row[]): Row | undefined {
  const [best] = others
    .map((other) => ({ other, same: shared(row, other).length }))
    .filter(({ other, same }) => same * 2 >= Math.max(row.length, other.length))
    .sort((a, b) => b.same - a.same)
  return best?.other
}

/** A row is known by the first of what it has in common with what it was. */
const sameIn = (one: Row, other: Row) =>
  shared(one, other)
    .slice(0, 3)
    .map(({ text }) => text)
    .join(', ')

function differences(before: Row, after: Row, wording: PageWording): string {
  const labels = [...new Set([...before, ...after].map(({ label }) => label))]
  return labels
    .flatMap((label) => changed(label, [before, after].map((row) => textFor(row, label)) as [string, string], wording))
    .join(' ')
}

/** Those of the first that the second has not, each as often as it is more often there. */
function without(all: readonly Row[], others: readonly Row[]): Row[] {
  const left = others.map(contentOf)
  return all.filter((one) => {
    const place = left.indexOf(contentOf(one))
    if (place >= 0) left.splice(place, 1)
    return place < 0
  })
}
