/**
 * A form as data, and as it is shown. A field is named by its place in the body of the request that the form becomes (a
 * pointer of RFC 6901, such as `/to/crewId`), so that whatever the request finds wrong there is said beside the field.
 */
import { html, raw } from 'hono/html'
import type { Markup } from '../../web/web-page.ts'
import type { PageWording } from '../wording.ts'

interface Any {
  readonly name: `/${string}`
  readonly label: string
  /** what would be right, in the words of whoever fills it in */
  readonly hint?: string
  /** what stands in it at first */
  readonly value?: string
  readonly optional?: true
}

export type Option = readonly [value: string, text: string]

export type Field = Any &
  (
    | { readonly kind: 'line' | 'text' | 'date' | 'time' | 'number' | 'address' }
    /** of a `choice` one is taken; where `isJson`, the values are written as JSON */
    | { readonly kind: 'choice'; readonly options: readonly Option[]; readonly isJson?: true }
    /** of `choices` any number is taken */
    | { readonly kind: 'choices'; readonly options: readonly Option[] }
    /** a box to tick: true or false */
    | { readonly kind: 'yes' }
  )

export interface Form {
  readonly title: string
  /** what it does and what follows, before anything is asked */
  readonly lead: Markup | string
  readonly fields: readonly Field[]
  /** what stands in the body without being asked for */
  readonly fixed?: Readonly<Record<string, unknown>>
  /** the words on the button */
  readonly send: string
  /** the way back without having done anything */
  readonly back: { readonly path: string; readonly text: string }
}

/** What was typed, by the names of fields. */
export type Typed = Readonly<Record<string, readonly string[]>>

export interface FormFaults {
  /** what is wrong, by the name of the field that it is wrong in */
  readonly byField: ReadonlyMap<string, readonly string[]>
  /** what is wrong in none of them */
  readonly others: readonly string[]
}

export interface Filled {
  readonly typed: Typed
  readonly faults: FormFaults | null
  /** the id of the fact to come, so that a form that is sent twice is one fact */
  readonly factId: string
}

export function formMarkup({ title, lead, fields, send, back }: Form, filled: Filled, wording: PageWording): Markup {
  return html`<h1>${title}</h1>
${summary(fields, filled.faults, wording)}
<p class="lead">${lead}</p>
<form class="act" method="post">
<input type="hidden" name="factId" value="${filled.factId}">
${fields.map((field) => row(field, filled, wording))}
<p class="send"><button>${send}</button> <a href="${back.path}">${back.text}</a></p>
</form>`
}

/** What is wrong stands on top, each with the way to its field: a reader of a screen hears it first. */
function summary(fields: readonly Field[], faults: FormFaults | null, { say }: PageWording): Markup | string {
  if (faults === null) return ''
  const inFields = fields.flatMap(({ name, label }) =>
    (faults.byField.get(name) ?? []).map(
      (text) => html`<li><a href="#${idOf(name)}">${say('field and fault', { field: label, fault: text })}</a></li>`,
    ),
  )
  return html`<div class="trouble" role="alert"><h2>${say('not recorded')}</h2>
<ul>${inFields}${faults.others.map((text) => html`<li>${text}</li>`)}</ul></div>`
}

const idOf = (name: string) => `f${name.replaceAll('/', '-')}`

function row(field: Field, { typed, faults }: Filled, { say }: PageWording): Markup {
  const { name, label, hint, optional } = field
  const id = idOf(name)
  const wrong = faults?.byField.get(name) ?? []
  const described = [...(hint === undefined ? [] : [`${id}-hint`]), ...(wrong.length === 0 ? [] : [`${id}-wrong`])]
  const marks = html`${described.length === 0 ? '' : raw(` aria-describedby="${described.join(' ')}"`)}${
    wrong.length === 0 ? '' : raw(' aria-invalid="true"')
  }`
  const values = typed[name] ?? (field.value === undefined ? [] : [field.value])
  const said = html`${hint === undefined ? '' : html`<span class="hint" id="${id}-hint">${hint}</span>`}
${wrong.length === 0 ? '' : html`<span class="wrong" id="${id}-wrong">${wrong.join(' ')}</span>`}`
  const name_ = html`${label}${optional ? html` <span class="quiet">${say('may stay empty')}</span>` : ''}`
  if (field.kind === 'choices')
    return html`<fieldset id="${id}" tabindex="-1"${marks}><legend>${name_}</legend>${said}
${field.options.map(([value, text]) => box({ name, value, text, ticked: values.includes(value) }))}</fieldset>`
  if (field.kind === 'yes')
    return html`<div class="field">${said}<label class="box"><input type="checkbox" id="${id}" name="${name}" value="yes"${
      values.includes('yes') ? raw(' checked') : ''
    }${marks}> ${label}</label></div>`
  return html`<div class="field"><label for="${id}">${name_}</label>${said}
${control(field, { id, value: values[0] ?? '', marks })}</div>`
}

interface Box {
  readonly name: string
  readonly value: string
  readonly text: string
  readonly ticked: boolean
}

function box({ name, value, text, ticked }: Box): Markup {
  const checked = ticked ? raw(' checked') : ''
  return html`<label class="box"><input type="checkbox" name="${name}" value="${value}"${checked}> ${text}</label>`
}

interface Control {
  readonly id: string
  readonly value: string
  readonly marks: Markup
}

/** Numbers are typed as text: a browser's own field for numbers loses a decimal comma without a word. */
const types = { line: 'text', date: 'date', time: 'time', number: 'text', address: 'email' } as const

function control(field: Exclude<Field, { kind: 'choices' | 'yes' }>, { id, value, marks }: Control): Markup {
  const { name, optional } = field
  const must = optional ? '' : raw(' required')
  if (field.kind === 'text')
    return html`<textarea id="${id}" name="${name}" rows="3"${must}${marks}>${value}</textarea>`
  if (field.kind === 'choice')
    return html`<select id="${id}" name="${name}"${must}${marks}><option value=""></option>${field.options.map(
      ([one, text]) => html`<option value="${one}"${one === value ? raw(' selected') : ''}>${text}</option>`,
    )}</select>`
  const decimal = field.kind === 'number' ? raw(' inputmode="decimal"') : ''
  return html`<input id="${id}" type="${types[field.kind]}" name="${name}" value="${value}"${decimal}${must}${marks}>`
}
