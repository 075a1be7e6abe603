/** A form as it is shown: one field below the other, with what is wrong on top and at each field. */
import { html, raw } from 'hono/html'
import type { Markup } from '../../web/web-page.ts'
import type { PageWording } from '../wording.ts'
import type { Field, Filled, Form, FormFaults, FormPart, Option, Rows, Send, Typed } from './form.ts'
import { measureIn, textOf, type Unit } from './measure.ts'
import { type FlatField, flat, rowsFilled, rowsShown } from './rows.ts'

/** Rows that one press of their button adds. */
const moreRows = 3

export function formMarkup(form: Form, filled: Filled, wording: PageWording): Markup {
  const { title, lead, about = '', send, sends, act, back, preview, from } = form
  const parts = form.fields.map((part) => partMarkup(part, filled, wording))
  const head = html`<h1>${title}</h1>
${summary(flat(form.fields, filled.typed), filled.faults, wording)}
<p class="lead">${lead}</p>
${about}`
  if (send === null) return html`${head}<p><a href="${back.path}">${back.text}</a></p>`
  return html`${head}
${filled.preview ?? ''}
<form class="act" method="post"${act === undefined ? '' : raw(` data-act="${act}"`)}>
<button class="unseen" tabindex="-1" aria-hidden="true">${send}</button>
<input type="hidden" name="factId" value="${filled.factId}">
${from === undefined ? '' : html`<input type="hidden" name="from" value="${from}">`}
${sends === undefined ? '' : html`<div class="tiles">${sends.map(sendTile)}</div>`}
${parts}
<p class="send"><button${sends === undefined ? '' : raw(' class="second"')}>${send}</button>
${preview === undefined ? '' : html`<button name="preview" value="yes" class="second">${preview}</button>`}
<a href="${back.path}">${back.text}</a></p>
</form>`
}

/** A field of the same name adds values of its own. */
function sendTile({ name, value, text, picture }: Send): Markup {
  return html`<button class="tile" name="${name}" value="${value}">${picture ?? ''}<span>${text}</span></button>`
}

/** What is wrong stands on top, each with the way to its field: a reader of a screen hears it first. */
function summary(fields: readonly FlatField[], faults: FormFaults | null, { say }: PageWording): Markup | string {
  if (faults === null) return ''
  const inFields = fields.flatMap(({ name, label, within }) =>
    (faults.byField.get(name) ?? []).map((text) => {
      const field = within === undefined ? label : say('field within', { within, field: label })
      return html`<li><a href="#${idOf(name)}">${say('field and fault', { field, fault: text })}</a></li>`
    }),
  )
  return html`<div class="trouble" role="alert"><h2>${say('not taken yet')}</h2>
<ul>${inFields}${faults.others.map((text) => html`<li>${text}</li>`)}</ul></div>`
}

const idOf = (name: string) => `f${name.replaceAll('/', '-')}`

function partMarkup(part: FormPart, filled: Filled, wording: PageWording): Markup {
  if (part.kind === 'rows') return rowsMarkup(part, filled, wording)
  if (part.kind !== 'group') return row(part, filled, wording)
  const { legend, hint, fields, folded } = part
  const shown = fields.map((field) => row(field, filled, wording))
  if (!folded)
    return html`<fieldset class="group"><legend>${legend}</legend>${hintMarkup(hint)}
${shown}</fieldset>`
  const isOpen = fields.some(({ name }) => filled.faults?.byField.has(name))
  return html`<details class="more"${isOpen ? raw(' open') : ''}><summary>${legend}</summary>${hintMarkup(hint)}
${shown}</details>`
}

const hintMarkup = (hint: Markup | string | undefined) => (hint === undefined ? '' : html`<p class="hint">${hint}</p>`)

/**
 * No field of a row has to be filled in: an empty row is none. The first of the rows that were asked for is gone on in.
 */
function rowsMarkup(rows: Rows, filled: Filled, wording: PageWording): Markup {
  const { name, legend, hint, each } = rows
  const asked = filled.typed?.more?.[0] === name
  const [full, all] = [rowsFilled(rows, filled.typed), rowsShown(rows, filled.typed) + (asked ? moreRows : 0)]
  const shown = Array.from({ length: all }, (_, place) => {
    const fields = rows.row(`${name}/${place}`, place)
    const cells = fields.map((field, i) => {
      const isGoneOnIn = asked && place === full && i === 0
      return row(field, { ...filled, isInRow: true, isGoneOnIn }, wording)
    })
    return html`<fieldset class="row"><legend>${each(place + 1)}</legend>
${cells}</fieldset>`
  })
  const more = html`<button name="more" value="${name}" formnovalidate class="second">
${wording.say('more rows')}</button>`
  return html`<fieldset class="group rows"><legend>${legend}</legend>${hintMarkup(hint)}
${shown}<p>${more}</p></fieldset>`
}

interface Shown extends Filled {
  readonly isInRow?: boolean
  readonly isGoneOnIn?: boolean
}

function row(field: Field, shown: Shown, wording: PageWording): Markup {
  const { typed, faults, isInRow, isGoneOnIn } = shown
  const { say } = wording
  const { name, hint } = field
  const label = labelOf(field, wording)
  const id = idOf(name)
  const values = valuesOf(field, typed)
  if (field.kind === 'kept') return html`<input type="hidden" name="${name}" value="${values[0] ?? ''}">`
  const wrong = faults?.byField.get(name) ?? []
  const told = field.kind === 'measure' ? becomes(values[0] ?? '', field.unit, wording) : ''
  const hasHint = hint !== undefined || told !== ''
  const described = [...(hasHint ? [`${id}-hint`] : []), ...(wrong.length === 0 ? [] : [`${id}-wrong`])]
  const marks = html`${described.length === 0 ? '' : raw(` aria-describedby="${described.join(' ')}"`)}${
    wrong.length === 0 ? '' : raw(' aria-invalid="true"')
  }${isGoneOnIn ? raw(' autofocus') : ''}`
  const said = html`${hasHint ? html`<span class="hint" id="${id}-hint">${hint ?? ''} ${told}</span>` : ''}
${wrong.length === 0 ? '' : html`<span class="wrong" id="${id}-wrong">${wrong.join(' ')}</span>`}`
  const mayBeEmpty = field.optional && !isInRow
  const name_ = html`${label}${mayBeEmpty ? html` <span class="quiet">${say('may stay empty')}</span>` : ''}`
  const must = field.optional || isInRow ? '' : raw(' required')
  if (field.kind === 'choices' || field.kind === 'pick') {
    const boxes = field.options.map((option) => box(field, { option, ticked: values.includes(option[0]), must }))
    const { looks } = field
    return html`<fieldset id="${id}" tabindex="-1"${marks}><legend>${name_}</legend>${said}
${looks === undefined ? boxes : html`<div class="${looks}">${boxes}</div>`}</fieldset>`
  }
  if (field.kind === 'yes')
    return html`<div class="field">${said}<label class="box"><input type="checkbox" id="${id}"
name="${name}" value="yes"${values.includes('yes') ? raw(' checked') : ''}${marks}> ${label}</label></div>`
  return html`<div class="field"><label for="${id}">${name_}</label>${said}
${control(field, { id, value: values[0] ?? '', marks: html`${must}${marks}` })}</div>`
}

/** The reader's unit stands in the words on a length. */
function labelOf(field: Field, { say }: PageWording): string {
  const { kind, label } = field
  return kind === 'measure' ? say('label and unit', { label, unit: say(`unit ${field.unit}`) }) : label
}

/** A form that was sent is shown as it was sent. */
function valuesOf(field: Field, typed: Typed | null): readonly string[] {
  if (typed !== null) return typed[field.name] ?? []
  if (field.kind === 'choices') return field.values ?? []
  if (field.kind === 'measure') return field.length === undefined ? [] : [textOf(field.length, field.unit)]
  return field.value === undefined ? [] : [field.value]
}

/** What is typed in feet or inches is kept in metres or millimetres: the form says what it becomes. */
function becomes(text: string, unit: Unit, { say }: PageWording): string {
  if (text === '' || unit === 'm' || unit === 'mm') return ''
  const length = measureIn(text, unit)
  if (typeof length === 'string') return ''
  return unit === 'ft' ? say('becomes metres', { length }) : say('becomes millimetres', { length })
}

interface Box {
  readonly option: Option
  readonly ticked: boolean
  readonly must: ReturnType<typeof raw> | ''
}

/** Of boxes of which any number is taken none has to be ticked, as far as a browser can tell. */
function box(field: Field & { readonly kind: 'choices' | 'pick' }, { option, ticked, must }: Box): Markup {
  const { kind, name, looks } = field
  const [value, text, meaning, picture] = option
  const checked = ticked ? raw(' checked') : ''
  const input =
    kind === 'pick'
      ? html`<input type="radio" name="${name}" value="${value}"${must}${checked}>`
      : html`<input type="checkbox" name="${name}" value="${value}"${checked}>`
  if (looks === 'stick' && meaning !== undefined)
    return html`<label class="part">${input} <span aria-hidden="true">${text}</span>
<span class="unseen">${meaning}</span></label>`
  if (looks === 'tiles') return html`<label class="tile">${input} ${picture ?? ''}<span>${text}</span></label>`
  const more = meaning === undefined ? '' : html`<span class="quiet">${meaning}</span>`
  return html`<label class="box">${input} <span>${text} ${more}</span></label>`
}

interface Control {
  readonly id: string
  readonly value: string
  readonly marks: Markup
}

/** Numbers are typed as text: a browser's own field for numbers loses a decimal comma without a word. */
const types = {
  line: 'text',
  date: 'date',
  time: 'time',
  number: 'text',
  measure: 'text',
  list: 'text',
  address: 'email',
} as const

type Simple = Exclude<Field, { kind: 'choices' | 'pick' | 'yes' | 'kept' }>

function control(field: Simple, { id, value, marks }: Control): Markup {
  const { name } = field
  if (field.kind === 'text' || (field.kind === 'list' && field.of === 'lines'))
    return html`<textarea id="${id}" name="${name}" rows="3"${marks}>${value}</textarea>`
  if (field.kind === 'choice')
    return html`<select id="${id}" name="${name}"${marks}><option value=""></option>${field.options.map(
      ([one, text]) => html`<option value="${one}"${one === value ? raw(' selected') : ''}>${text}</option>`,
    )}</select>`
  // feet may be followed by inches, for which a keyboard of figures has no letters
  const isFigure = field.kind === 'number' || (field.kind === 'measure' && (field.unit === 'm' || field.unit === 'mm'))
  const decimal = isFigure ? raw(' inputmode="decimal"') : ''
  return html`<input id="${id}" type="${types[field.kind]}" name="${name}" value="${value}"${decimal}${marks}>`
}
