/** Fields of the bench, large enough for gloves: each keeps what is typed into it at once. */
import type { BenchAnswer, BenchDraft } from '../../../shared-domain/bench-entry/draft.ts'
import type { BenchSheet, ChosenAtBench } from '../../../shared-domain/bench-entry/sheet.ts'
import type { BenchWords } from './bench-told.ts'
import { element } from './markup.ts'

/** A test on its way: the draft, and what may be done with it. */
export interface Bench {
  readonly words: BenchWords
  readonly sheet: BenchSheet
  readonly draft: () => BenchDraft
  /** Keeps it as it is now. */
  readonly change: (next: BenchDraft) => void
  /** Keeps it, and shows its stage from the beginning. */
  readonly show: (next: BenchDraft) => void
  readonly chosen: () => ChosenAtBench | null
}

let made = 0
const freshId = () => `bench-${++made}`

interface Labelled {
  readonly label: string
  readonly hint?: string | undefined
  readonly value: string
  readonly typed: (text: string) => void
}

export function textField({ label, hint, value, typed }: Labelled, looks: 'figure' | 'line' | 'text' = 'figure') {
  const id = freshId()
  const control = looks === 'text' ? element('textarea', { id, rows: '2' }) : element('input', { id, type: 'text' })
  if (looks === 'figure') control.setAttribute('inputmode', 'decimal')
  for (const [name, off] of [
    ['autocomplete', 'off'],
    ['spellcheck', 'false'],
  ] as const)
    control.setAttribute(name, off)
  control.value = value
  control.addEventListener('input', () => typed(control.value))
  return element('div', { class: 'field' }, element('label', { for: id }, label), ...hintOf(control, id, hint), control)
}

function hintOf(control: HTMLElement, id: string, hint: string | undefined): HTMLElement[] {
  if (hint === undefined) return []
  control.setAttribute('aria-describedby', `${id}-hint`)
  return [element('span', { class: 'hint', id: `${id}-hint` }, hint)]
}

type Options = readonly (readonly [value: string, text: string])[]

export function choiceField({ label, hint, value, typed }: Labelled, options: Options, empty: string) {
  const id = freshId()
  const control = element('select', { id })
  for (const [one, text] of [['', empty] as const, ...options]) {
    const option = element('option', { value: one }, text)
    option.selected = one === value
    control.append(option)
  }
  control.addEventListener('change', () => typed(control.value))
  return element('div', { class: 'field' }, element('label', { for: id }, label), ...hintOf(control, id, hint), control)
}

export function pickField({ label, value, typed }: Labelled, options: Options) {
  const name = freshId()
  const tiles = options.map(([one, text]) => {
    const input = element('input', { type: 'radio', name, value: one })
    input.checked = one === value
    input.addEventListener('change', () => typed(one))
    return element('label', { class: 'box' }, input, element('span', {}, text))
  })
  return element('fieldset', {}, element('legend', {}, label), element('div', { class: 'picks' }, ...tiles))
}

export function yesField(label: string, isTicked: boolean, typed: (yes: boolean) => void) {
  const input = element('input', { type: 'checkbox' })
  input.checked = isTicked
  input.addEventListener('change', () => typed(input.checked))
  return element('label', { class: 'box' }, input, element('span', {}, label))
}

/** An answer of the draft as a field. */
export function answerOf({ draft, change }: Bench, name: BenchAnswer, label: string): Labelled {
  return {
    label,
    value: draft().answers[name] ?? '',
    typed: (text) => change({ ...draft(), answers: { ...draft().answers, [name]: text } }),
  }
}

export const grouped = (legend: string, ...children: readonly (Node | string)[]) =>
  element('fieldset', { class: 'group' }, element('legend', {}, legend), ...children)
